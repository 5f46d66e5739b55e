"""How sure a promise is, in words: how often it is met, what is missing else, and why."""

from __future__ import annotations

from datetime import date

from pinset.chain.stages import units_in_words
from pinset.errors import RefusedError
from pinset.planning.reading.repairs import Repair
from pinset.planning.season.chances import WEAK, Cause, FarmChances, OrderChance, WeekSurplus
from pinset.services.book_reader import Reader
from pinset.services.words import amount, joined, short_day

HUNDRED = 100
HARDLY = 0.03  # what is met so seldom cannot be met

CAUSES = {
    Cause.DAYS: "What makes it so is that lots are ready, and bear, earlier or later than planned",
    Cause.LOSSES: "What makes it so is that now and then much of a lot is lost",
    Cause.YIELDS: "What makes it so is that one lot bears more and another less",
}
CURES = {
    Cause.DAYS: "Starting a week's batch on two days, or keeping ready units cold, makes it surer.",
    Cause.LOSSES: "Several smaller lots instead of one, or a second culture, make it surer.",
    Cause.YIELDS: "More blocks, or a yield known from weighing every lot, make it surer.",
}
"""Common practice, no source."""


def chances_by_day(chances: FarmChances) -> dict[tuple[str, date], OrderChance]:
    """Return the chance of each promise on each day; of its parts on one day, the smallest."""
    found: dict[tuple[str, date], OrderChance] = {}
    for each in chances.orders:
        key = (each.promise.split("@")[0], each.day)
        if key not in found or each.chance < found[key].chance:
            found[key] = each
    return found


def is_weak(chance: OrderChance | None) -> bool:
    """Say whether a promise is less sure than most."""
    return chance is not None and chance.chance < WEAK


def in_seasons(chance: float) -> str:
    """Return a chance as it is said aloud: ``in 84 of 100 seasons``; never all or none."""
    said = round(HUNDRED * chance)
    if said >= HUNDRED:
        return "in more than 99 of 100 seasons"
    return f"in {said} of 100 seasons" if said else "in fewer than 1 of 100 seasons"


def of_hundred(chance: float) -> str:
    """Return a chance as a number of 100 seasons, for tables: ``84``; never all or none."""
    said = round(HUNDRED * chance)
    if said >= HUNDRED:
        return "over 99"
    return str(said) if said else "under 1"


def why_weak(chance: OrderChance, units: str, *, is_near: bool = False) -> str:
    """Return why a promise is less sure than most, in sentences.

    Parameters
    ----------
    chance : OrderChance
        Of a promise that the plan meets in expectation.
    units : str
        The farm's choice of units.
    is_near : bool
        Too near for what would take from it in the long run.
    """
    missing = amount(chance.lacking, chance.measure, system=units)
    said = f"Met {in_seasons(chance.chance)}; where it is not, about {missing} are missing."
    if chance.cause is None:
        return said
    without = f"without that it would be {in_seasons(chance.without_cause)}"
    cure = "" if is_near else f" {CURES[chance.cause]}"
    return f"{said} {CAUSES[chance.cause]}; {without}.{cure}"


def repair_in_words(repair: Repair, reader: Reader) -> str:
    """Return the one more batch that makes a promise surer, with its cook, in a sentence.

    Empty if the farm does not know its step any more.
    """
    try:
        step = reader.step(repair.variety, repair.step)
    except RefusedError:
        return ""  # the route has no such step any more; the next plan looks anew
    what = f"{units_in_words(step.stage, repair.units)} more on {short_day(repair.on)}"
    cook = ""
    if repair.cook_on is not None:
        when = short_day(repair.cook_on)
        cook = (
            f", with one more {repair.cook} cook on {when},"
            if repair.is_more_cook
            else f", for which the {repair.cook} cook of {when} has room,"
        )
    return (
        f"{what}{cook} would make it {in_seasons(repair.after).removeprefix('in ')} instead of "
        f"{round(HUNDRED * repair.before)}, if nothing else changes."
    )


def with_chance(state: str, reason: str, chance: OrderChance) -> tuple[str, str]:
    """Return state and reason of a promise that is short on average and met now and then."""
    if chance.chance < HARDLY:
        return state, reason
    said = f"That is on average; it is met {in_seasons(chance.chance)}."
    return "short", f"{reason} {said}"


def surplus_in_words(chances: FarmChances, reader: Reader, last: date) -> tuple[str, ...]:
    """Return what of each week is expected to be left over, a sentence a week."""
    weeks: dict[date, list[WeekSurplus]] = {}
    for each in chances.surplus:
        if each.monday <= last:
            weeks.setdefault(each.monday, []).append(each)
    return tuple(
        f"Week of {short_day(monday)}: about {joined([_left_over(each, reader) for each in mine])}."
        for monday, mine in sorted(weeks.items())
    )


def _left_over(each: WeekSurplus, reader: Reader) -> str:
    grams, high = reader.about(each.expected), reader.about(each.high)
    return f"{grams} {reader.name(each.variety)} (one season in ten more than {high})"
