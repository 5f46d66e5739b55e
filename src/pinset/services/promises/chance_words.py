"""How sure a promise is, in words: how often it is met, what is missing else, and why."""

from __future__ import annotations

from datetime import date

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


def why_weak(chance: OrderChance, units: str) -> str:
    """Return why a promise that is met on average is less sure than most, in sentences."""
    missing = amount(chance.lacking, chance.measure, system=units)
    said = f"Met {in_seasons(chance.chance)}; where it is not, about {missing} are missing."
    if chance.cause is None:
        return said
    without = f"without that it would be {in_seasons(chance.without_cause)}"
    return f"{said} {CAUSES[chance.cause]}; {without}."


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
