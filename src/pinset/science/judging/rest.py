"""What hangs on a core that may read too high.

It begins above every other probe while all are at rest, or the chamber stood above the steam of
its gauge through the hold.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pinset.errors import Finding, Severity
from pinset.science.judging.findings import Given, seen_f0
from pinset.science.judging.hold_runs import held_in
from pinset.science.judging.records import Probe, Role, Rule, Values
from pinset.science.judging.rest_offset import Readings, above_at_rest
from pinset.science.steam.check import SteamCheck


def with_rest(
    seconds: Values, given: Sequence[Given], steam: SteamCheck | None
) -> tuple[Given, ...]:
    """Return probes, the cores with by how much they may read too high.

    Parameters
    ----------
    seconds : ndarray, shape (n,)
        Rising times of all readings. [s]
    given : sequence of Given
        Probes with theirs.
    steam : SteamCheck or None
        How the chamber lay to the steam of its gauge.
    """
    placed = [each.probe for each in given if each.probe.role is not Role.OTHER]
    excess_k = steam.superheat_k if steam is not None else 0.0
    words = steam.superheat_in_words if steam is not None else ""
    found = []
    for each in given:
        if each.probe.role is not Role.CORE:
            found.append(each)
            continue
        others = [
            other
            for other in placed
            if other is not each.probe and not (other.role is Role.CORE and other.doubt)
        ]
        above = above_at_rest(
            seconds,
            _readings(each.probe),
            [_readings(other) for other in others if other.role is Role.CHAMBER],
            [_readings(other) for other in others if other.role is Role.CORE],
        )
        above = 0.0 if each.probe.is_filled_warm else above
        found.append(replace(each, above_k=above, steam_k=excess_k, steam_words=words))
    return tuple(found)


def _readings(probe: Probe) -> Readings:
    return probe.temperature_c, probe.error_k


def lowered(given: Given, rule: Rule) -> tuple[float, float | None]:
    """Return F0 and the longest hold, in min, if a core reads so much too high throughout."""
    off_k = given.above_k + given.steam_k
    pieces = [(seconds, celsius - off_k) for seconds, celsius in given.pieces()]
    f0 = sum(seen_f0(*each) for each in pieces)
    if rule.hold_c is None:
        return f0, None
    return f0, held_in(pieces, rule.hold_c).sure


def said_of_rest(given: Given, rule: Rule) -> str:
    """Return what a core has if it reads so much too high throughout, as part of a sentence."""
    f0, hold = lowered(given, rule)
    said = [] if rule.f0 is None else [f"F0 {f0:.1f} min"]
    if hold is not None:
        said.append(f"{hold:.0f} min at {rule.hold_in_words}")
    why = [given.steam_words] if given.steam_k else []
    if given.above_k:
        why.append(f"it begins {given.above_k:.1f} K above every other probe while all are at rest")
    return (
        f"{'; and '.join(why)}; if it reads so much too high throughout, it has "
        f"{' and '.join(said)}"
    )


def is_lower_short(given: Given, rule: Rule) -> bool:
    """Return whether a core may read too high and would then fall short of a rule."""
    return bool(given.above_k or given.steam_k) and rule.is_short(*lowered(given, rule))


def said_of_high(given: Sequence[Given], rule: Rule) -> str:
    """Return what a cook that passes hangs on where cores may read too high, as sentences."""
    return "".join(
        f" {each.probe.name} may read too high: {said_of_rest(each, rule)}."
        for each in given
        if each.above_k or each.steam_k
    )


def findings_of_rest(given: Sequence[Given]) -> list[Finding]:
    """Return a finding for each core that may read too high."""
    return [
        Finding(
            "cook.reads-high",
            Severity.WARNING,
            each.probe.name,
            f"{each.probe.name} begins {each.above_k:.1f} K above every other probe while all are "
            "at rest: it may read too high.",
            "Compare the probes in the same water. If the load was filled in so much warmer, say "
            "so.",
            say=("filled=warmer",),
        )
        for each in given
        if each.above_k
    ]
