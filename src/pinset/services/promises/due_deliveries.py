"""Promises that fall due on a day: what of them is open, when they are handed over and packed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, time, timedelta

from pinset.chain.day_hours import clock_minute
from pinset.chain.due import due_days
from pinset.chain.register import Promise
from pinset.planning.building.from_book import is_early_hour
from pinset.services.book_reader import Reader


@dataclass(frozen=True, slots=True)
class DueDelivery:
    """A promise that is due on a day and what was already handed over for it."""

    promise: Promise
    day: date
    delivered: int


def due_on(
    promises: Iterable[Promise], day: date, delivered: dict[tuple[str, date], int]
) -> tuple[DueDelivery, ...]:
    """Return the promises due on a day with what was handed over so far."""
    return tuple(
        DueDelivery(promise, day, delivered.get((promise.code, day), 0))
        for promise in promises
        if due_days(promise, day, day)
    )


def open_amount(each: DueDelivery) -> int:
    """Return what is still to be handed over, in grams or units."""
    return max(0, each.promise.amount - each.delivered)


def hour_of(each: DueDelivery, reader: Reader) -> str:
    """Return the clock time at which it is handed over."""
    buyer = next((b for b in reader.book.buyers if b.code == each.promise.buyer), None)
    return (buyer.deliver_at if buyer else "") or reader.book.farm.van_at


def has_left(hour: str, since: time | None) -> bool:
    """Say whether an hour of today lies before the hour it is now."""
    return since is not None and clock_minute(hour) < since.hour * 60 + since.minute


def packed_on(each: DueDelivery, reader: Reader, since: time | None = None) -> date:
    """Return the day on which it is packed, and up to which what is picked can be in it.

    Its own day; of early hours, of days off, and of an hour of today that lies before ``since``,
    the last working day before. What was missed is packed today.
    """
    if each.day < reader.today:
        return reader.today
    if each.day == reader.today and has_left(hour_of(each, reader), since):
        return reader.today - timedelta(days=1)
    if reader.works_on(each.day) and not is_early_hour(
        reader.book, hour_of(each, reader), each.day
    ):
        return each.day
    return reader.working_day_before(each.day - timedelta(days=1))
