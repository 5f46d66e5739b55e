"""How suspects of losses are spoken of: in words first, and never as a verdict."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from math import exp

from pinset.chain.histories import Shared
from pinset.chain.stages import Stage
from pinset.learning.losses.by_stage import Compared, StageLosses
from pinset.learning.losses.ranking import Ranked
from pinset.services.clock import farm_time
from pinset.services.losses.days import dated
from pinset.services.losses.names import KINDS
from pinset.services.words import joined, plural

STAGES = {
    Stage.TUBE: "tubes",
    Stage.PLATE: "plates",
    Stage.LIQUID: "liquid cultures",
    Stage.GRAIN: "grain spawn",
    Stage.SAWDUST: "sawdust spawn",
    Stage.BLOCK: "blocks",
    Stage.BOTTLE: "bottles",
    Stage.BED: "beds",
}


def times_words(ratio: float) -> str:
    """Return a ratio as growers say it.

    Examples
    --------
    >>> times_words(3.71), times_words(0.5), times_words(1.02)
    ('3.7 times', '0.5 times', 'about as much as')
    """
    if 0.95 < ratio < 1.05:  # noqa: PLR2004 - no more than rounding
        return "about as much as"
    return f"{times(ratio)} times"


def times(ratio: float) -> str:
    """Return a ratio in two figures, from ten on in whole numbers.

    Examples
    --------
    >>> times(0.6612), times(5.71), times(264.3)
    ('0.66', '5.7', '264')
    """
    return f"{ratio:.2g}" if ratio < 9.95 else f"{ratio:.0f}"  # noqa: PLR2004


def effect_sentence(found: Ranked) -> str:
    """Return how much more is lost with a suspect, with its range and what it rests on."""
    suspect = found.suspect
    behind = f"{plural(suspect.lots, 'lot')}, {plural(suspect.vessels, 'unit')}"
    ends = f"from {times(suspect.low)} to {times(suspect.high)}"
    if not suspect.lots:
        return (
            f"nothing it stands behind was looked at yet; by what is known of it alone "
            f"{times_words(suspect.ratio)} the usual losses ({ends} times, with 95 % certainty)."
        )
    return (
        f"{times_words(suspect.ratio)} the usual losses ({ends} times, with 95 % "
        f"certainty): {suspect.lost} lost in {behind}, about {max(0.0, suspect.excess):.0f} more "
        "than usual."
    )


def chance_words(found: Ranked) -> str:
    """Return how sure it is that losses are raised, in words."""
    raised = found.suspect.raised
    if found.suspect.too_few_lots:
        return (
            f"It rests on too few lots to say much: the chance that it raises losses by half or "
            f"more is put at {_percent(raised)}."
        )
    return f"The chance that it raises losses by half or more: {_percent(raised)}."


def _percent(chance: float) -> str:
    if chance > 0.99:  # noqa: PLR2004
        return "over 99 %"
    return "under 1 %" if chance < 0.01 else f"{100.0 * chance:.0f} %"  # noqa: PLR2004


def alike_words(found: Ranked, names: Sequence[str]) -> str:
    """Return what a suspect is confused with, and what would tell them apart; empty: nothing."""
    if not names:
        return ""
    what = KINDS[found.alike[0].kind]
    same = "the same lots as" if len(names) == 1 else "the same lots as each of"
    return (
        f"It stands behind (nearly) {same} {joined(list(names))}: counting alone cannot tell them "
        f"apart. Next time put one lot of the {KINDS[found.kind]} through another {what}."
    )


def signs_words(found: Ranked) -> str:
    """Return what signs seen on its lots say, in words; empty: nothing."""
    kind = KINDS[found.kind]
    parts = []
    if found.signs_for:
        parts.append(
            f"signs on {plural(found.signs_for, 'of its lots', 'of its lots')} point to a {kind}"
        )
    if found.signs_against:
        parts.append(f"signs on {found.signs_against} point elsewhere")
    if not parts:
        return ""
    said = f"What was seen: {joined(parts)}."
    return f"{said} Such signs are common practice, no source, and count for little."


def physics_words(found: Ranked) -> str:
    """Return what physics expected of it before any count; empty: nothing."""
    times = exp(found.suspect.expected)
    if times < 1.05:  # noqa: PLR2004
        return ""
    if found.kind is Shared.COOK:
        return (
            f"By its lethality alone {times_words(times)} the usual losses were to be expected; "
            "the counts pull from there. A prediction is not a proof."
        )
    return (
        f"By its settle plates or open minutes alone {times_words(times)} the usual losses were to "
        "be expected; the counts pull from there. A prediction is not a proof."
    )


def stage_sentence(stage: StageLosses) -> str:
    """Return how a stage fares lately, in one sentence."""
    name = STAGES.get(stage.stage, stage.stage.value)
    lately = stage.lately
    if not lately.lots:
        return f"No {name} made in the last eight weeks."
    if not lately.looked_at and not lately.found:
        return (
            f"Nobody has looked yet at the {plural(lately.units, 'unit')} of {name} made in the "
            "last eight weeks."
        )
    against = _against(lately)
    change = ""
    if stage.is_worse:
        change = " It has got worse: more than lots differ by chance."
    elif stage.is_better:
        change = " It has got better."
    were = "was" if lately.found == 1 else "were"
    return (
        f"Of {plural(lately.units, 'unit')} of {name} made in the last eight weeks "
        f"{lately.found} {were} seen contaminated; by their routes {few(lately.expected)} should "
        f"have shown by now{against}.{change}"
    )


def _against(spell: Compared) -> str:
    if spell.ratio is None or spell.low is None or spell.high is None:
        return " (too few to compare)"
    if spell.low <= 1.0 <= spell.high:
        return ": within what chance does"
    if not spell.found:
        return f": fewer than chance does (at most {times(spell.high)} times as many)"
    ends = f"from {times(spell.low)} to {times(spell.high)} times"
    return f": {times_words(spell.ratio)} as many ({ends})"


def few(units: float) -> str:
    """Return about how many units, with little said as such.

    Examples
    --------
    >>> few(0.2), few(1.4), few(12.6)
    ('under 1', '1', '13')
    """
    return "under 1" if units < 0.5 else f"{units:.0f}"  # noqa: PLR2004 - no more than rounding


def day_words(moment: datetime, zone: str) -> str:
    """Return the farm's day of a moment, with its year where that is another one."""
    return dated(farm_time(moment, zone).date(), zone)
