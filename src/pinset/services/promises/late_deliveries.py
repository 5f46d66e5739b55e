"""Which missed deliveries are asked for again today, and which are not asked for any more."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from pinset.farm import job_store
from pinset.farm.entries import Kind
from pinset.services.book_reader import Reader
from pinset.services.jobs.records import JobKind
from pinset.services.jobs.state import stored_jobs

LONGEST_PAUSE = 14
"""A delivery missed before so many days off in a row is not asked for again. [d]"""

HANDED_OVER = frozenset({Kind.DELIVER, Kind.SELL})

Due = tuple[str, date]  # code of the promise and the day it was due


@dataclass(frozen=True, slots=True)
class SaidOfDeliveries:
    """What was answered to deliveries of the last days instead of handing them over."""

    dropped: frozenset[Due]  # not at all
    put_off: Mapping[Due, date]  # not today, and the day until which
    rest_open: frozenset[Due] = frozenset()  # a part was handed over, and the rest is to come


def said_of_deliveries(today: date) -> SaidOfDeliveries:
    """Return what was answered to the deliveries that fell due in the last days."""
    dropped: set[Due] = set()
    rest_open: set[Due] = set()
    put_off: dict[Due, date] = {}
    rows = job_store.laid_since(today - timedelta(days=LONGEST_PAUSE), JobKind.DELIVER.value)
    for each in stored_jobs(rows):
        due = (each.job.promise, each.job.day)
        if not each.row.is_closed and any(entry.kind in HANDED_OVER for entry in each.entries):
            rest_open.add(due)
        for entry in each.entries:
            until = entry.details.get("until")
            if entry.kind is Kind.DROP:
                dropped.add(due)
            elif entry.kind is Kind.PUT_OFF and until:
                put_off[due] = max(put_off.get(due, date.min), date.fromisoformat(str(until)))
    return SaidOfDeliveries(frozenset(dropped), put_off, frozenset(rest_open))


def days_asked_again(reader: Reader) -> tuple[date, ...]:
    """Return the days whose missed deliveries are asked for today: since the last working day.

    On a day off there are none.
    """
    if not reader.works_on(reader.today):
        return ()
    found: list[date] = []
    for back in range(1, LONGEST_PAUSE + 1):
        found.append(reader.today - timedelta(days=back))
        if reader.works_on(found[-1]):
            break
    return tuple(found)


def next_working_day(day: date, reader: Reader) -> date:
    """Return the day itself if the farm works on it, else the first working day after it."""
    days = (day + timedelta(days=ahead) for ahead in range(LONGEST_PAUSE + 1))
    return next((each for each in days if reader.works_on(each)), day)


def is_asked_again(due: Due, said: SaidOfDeliveries, reader: Reader) -> bool:
    """Say whether a delivery of an earlier day, all of it or its rest, is asked for."""
    until = said.put_off.get(due)
    if until is not None and until > reader.today:
        return False
    if until is not None and next_working_day(until, reader) == reader.today:
        return True
    return due[1] in days_asked_again(reader)
