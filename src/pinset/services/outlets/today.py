"""What outlets are to get on a day, in sentences."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date, datetime

from pinset.chain.register import Outlet
from pinset.planning.outlets.surplus import SurplusPlan
from pinset.planning.outlets.visits import hour_of_outlet
from pinset.services.book_reader import Reader
from pinset.services.outlets.given import given_on
from pinset.services.outlets.surplus_view import LEAST_SAID
from pinset.services.plans import planning_day
from pinset.services.words import joined


def planned_today(now: datetime | None = None) -> tuple[str, ...]:
    """Return what outlets are to get today, a line each, less what they were given already."""
    book, today = planning_day.farm_book(now)
    newest = planning_day.latest()
    if newest is None:
        return ()
    reader = Reader(book, today)
    found = _of_day(newest.surplus, reader, today)
    return tuple(f"{outlet.name}: {said}" for outlet, said in found)


def expected_at_outlets(
    surplus: SurplusPlan, reader: Reader, day: date
) -> tuple[tuple[str, str], ...]:
    """Return the hour and the words of what outlets are to get on a day."""
    return tuple(
        (hour_of_outlet(reader.book, outlet), f"left over for {outlet.name}: {said}")
        for outlet, said in _of_day(surplus, reader, day)
    )


def _of_day(surplus: SurplusPlan, reader: Reader, day: date) -> Iterator[tuple[Outlet, str]]:
    """Yield each outlet and what it is to get on a day, less what it was given already."""
    given: dict[tuple[str, str], int] = defaultdict(int)
    if day == reader.today:
        for each in given_on(day, day, reader.book.farm.time_zone):
            given[each.outlet, each.variety] += each.grams
    said: dict[str, list[str]] = defaultdict(list)
    for share in surplus.shares:
        left = share.grams - given[share.outlet, share.variety]
        if share.day == day and left >= LEAST_SAID:
            said[share.outlet].append(f"{reader.about(left)} {reader.name(share.variety)}")
    for outlet in reader.book.outlets:
        if outlet.code in said:
            yield outlet, f"about {joined(said[outlet.code])}"
