"""The choices about a doubtful lot, in words, and which of them is proposed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from pinset.chain.stages import FRUITING_STAGES, Stage, noun_of
from pinset.planning.ask.lot_choices import Choice, LessSure, LotOutcomes, Outcome
from pinset.services.book_reader import Reader
from pinset.services.promises.chance_words import in_seasons
from pinset.services.words import joined, plural, short_day

HOPELESS = 0.5
"""From this chance of a unit on, a lot is proposed to be taken out; our own choice."""

LITTLE_G = 500.0
LITTLE_SHARE = 0.004
"""So little more or less, or that share of what is promised, decides nothing: plans that cost alike
differ by as much. [g] [-]"""

UNIT_G = 1000.0
"""A sold unit counts as a kilogram where two choices are compared; our own choice. [g]"""

MOST_NAMED = 3
_MOTHERS = frozenset({Stage.TUBE, Stage.PLATE, Stage.LIQUID})


@dataclass(frozen=True, slots=True)
class Line:
    """One choice."""

    key: str
    name: str
    what: str
    cost: str
    less_sure: tuple[str, ...]
    grams: float  # promised and handed over, less than with a sound lot
    units: float
    day: date | None  # to look again, to be used by, to be held until


@dataclass(frozen=True, slots=True)
class Lot:
    """A lot that is asked about, with what is thought of it."""

    code: str
    variety: str
    step: str
    stage: Stage
    generation: int
    standing: int
    chance: float  # of each unit, that it is lost yet
    shown: float
    expected_lost: float
    shown_on: date
    use_by: date
    by_route: bool = False  # no lot was looked at yet that says more
    found: int = 0  # units of it that were seen contaminated
    is_looked_at: bool = True
    last_of: str = ""  # what of its line ends with it

    @property
    def is_mother(self) -> bool:
        """Whether one bad unit is one too many: a culture, or grain made from one."""
        return self.stage in _MOTHERS or (self.stage is Stage.GRAIN and self.generation <= 1)

    def sentence(self, reader: Reader) -> str:
        """Return what is thought of it."""
        return (
            f"{reader.name(self.variety)}, {self.step}: {self.standing} "
            f"{noun_of(self.stage, self.standing)} that {self._looked()}; about "
            f"{self.expected_lost:.1f} of them are still to be lost ({_percent(self.chance)} each)"
            f"{', by its route alone: no look at any lot says more yet' if self.by_route else ''}."
        )

    def _looked(self) -> str:
        if not self.is_looked_at:
            return "nobody has looked at yet"
        return (
            f"look sound. By its last look {_percent(self.shown)} of what it may have would have "
            "shown"
        )


def proposed_of(lot: Lot, outcomes: LotOutcomes) -> tuple[Choice, str]:
    """Return which choice is proposed, and why.

    Watching is proposed where no more is to be lost than is usual; taking out where a unit is more
    likely bad than good. Mothers are held, and after a find however few units are to be lost yet.
    Spawn is held where that costs no more than the bad units in it would, with all that is made of
    them; blocks are used first where that is no dearer, so that they bear before it shows.
    """
    cost = {each.choice: each.grams + UNIT_G * each.units for each in outcomes.outcomes}
    little = _little(outcomes)
    if lot.chance >= HOPELESS:
        return Choice.CULL, "A unit of it is more likely bad than good."
    if not outcomes.bad and not (lot.is_mother and lot.found):
        return Choice.WATCH, "No more is to be lost of it than plans reckon with anyway."
    if lot.is_mother:
        return Choice.HOLD, (
            "One bad unit of a culture or of first-generation grain spoils all that is made of it."
        )
    carried = outcomes.bad / lot.standing * cost[Choice.CULL]
    if lot.stage in FRUITING_STAGES:
        choice, most = Choice.FIRST, cost[Choice.WATCH] + little
        why = "It bears before more of it shows, and costs no promise more."
    else:
        choice, most = Choice.HOLD, cost[Choice.WATCH] + carried + little
        why = (
            "Waiting costs no more than bad units would, which take along all that is made of them."
        )
    if cost[choice] <= most:
        return choice, why
    return Choice.WATCH, "Anything else would cost more of what is promised than its bad units do."


def _little(outcomes: LotOutcomes) -> float:
    """Return by how much two plans of one farm may differ in themselves. [g]."""
    return max(LITTLE_G, LITTLE_SHARE * outcomes.grams)


def lines_of(lot: Lot, outcomes: LotOutcomes, reader: Reader) -> tuple[Line, ...]:
    """Return every choice in words."""
    days: Mapping[Choice, date | None] = {
        Choice.WATCH: lot.shown_on,
        Choice.FIRST: lot.use_by,
        Choice.HOLD: lot.shown_on,
        Choice.CULL: None,
    }
    shown = short_day(lot.shown_on)
    bad = plural(outcomes.bad, "unit")
    what = {
        Choice.WATCH: f"It goes on as planned and is looked at again on {shown}. "
        f"Reckoned with {bad} lost beyond the usual.",
        Choice.FIRST: f"It is taken before others, by {short_day(lot.use_by)}. {_if_bad(lot)} "
        f"Reckoned with {bad} lost beyond the usual.",
        Choice.HOLD: f"It waits until {shown}, when nine in ten of what it may have would have "
        f"shown. Reckoned with {bad} lost beyond the usual.",
        Choice.CULL: f"All of it goes, the sound units with the bad. {lot.last_of}".rstrip(),
    }
    names = {
        Choice.WATCH: "Watch",
        Choice.FIRST: "Use first",
        Choice.HOLD: "Hold back",
        Choice.CULL: "Cull",
    }
    return tuple(
        Line(
            key=each.choice.value,
            name=names[each.choice],
            what=what[each.choice],
            cost=_cost(each, _little(outcomes), reader),
            less_sure=tuple(_less_sure(one, reader) for one in each.less_sure[:MOST_NAMED]),
            grams=each.grams,
            units=each.units,
            day=days[each.choice],
        )
        for each in outcomes.outcomes
    )


def _if_bad(lot: Lot) -> str:
    if lot.stage in FRUITING_STAGES:
        return "It bears what it can before more of it shows."
    return "What is started from a bad unit by then is lost with it."


def _cost(outcome: Outcome, little: float, reader: Reader) -> str:
    parts = []
    if outcome.grams >= little:
        parts.append(reader.about(outcome.grams))
    if outcome.units >= 0.5:  # noqa: PLR2004 - of a unit
        parts.append(plural(round(outcome.units), "unit"))
    if not parts:
        return "Costs hardly anything of what is promised."
    return f"Costs about {joined(parts)} of what is promised, on average."


def _less_sure(each: LessSure, reader: Reader) -> str:
    words = (reader.promise_words([each.promise.split("@", maxsplit=1)[0]]) or (each.promise,))[0]
    return (
        f"{words} on {short_day(each.day)}: met {in_seasons(each.chance)}, with a sound lot "
        f"{in_seasons(each.if_sound)}"
    )


def _percent(share: float) -> str:
    return f"{100.0 * share:.0f} %"
