"""What was handed over for a promise that somebody wants to end: it must go on counting for it."""

from __future__ import annotations

from datetime import date, timedelta

from pinset.chain.register import Promise
from pinset.errors import RefusedError
from pinset.services.plans.stock_now import EARLY_DAYS, delivered_on
from pinset.services.words import amount, joined, short_day


def handed_over(promise: Promise, today: date, time_zone: str) -> dict[date, int]:
    """Return what was handed over for the days a promise would lose if it ended now.

    These are its days from today on; of a promise for one day that day, however long ago. In grams
    or units.
    """
    first = promise.on_date or today
    last = promise.on_date or today + timedelta(days=EARLY_DAYS)
    found = delivered_on(first, last, time_zone)
    return {day: units for (code, day), units in found.items() if code == promise.code and units}


def refuse_if_handed_over(promise: Promise, today: date, time_zone: str, system: str) -> None:
    """Refuse to take a promise out of the books for which something was handed over.

    Raises
    ------
    RefusedError
        If something was; the sentence says how much and for which day.
    """
    handed = handed_over(promise, today, time_zone)
    if not handed:
        return
    said = [
        f"{amount(units, promise.measure, system=system)} for {short_day(day)}"
        for day, units in sorted(handed.items())
    ]
    raise RefusedError(
        f"This promise cannot be taken away: {joined(said)} were handed over for it.",
        "If the delivery is wrong, take it back first. If no more is wanted, change the promise to "
        "what was handed over: then it is kept and not asked for again.",
    )
