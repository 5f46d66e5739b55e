"""From which hour the open work of a day is laid when nobody got to it at its hours."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date, datetime, time

from pinset.chain.day_hours import HOUR
from pinset.chain.register import FarmBook
from pinset.chain.who_is_here import here_on
from pinset.services.clock import farm_time, hour_is_known, now_utc
from pinset.services.day.fitting import clock_of
from pinset.services.day.hours_left import STEP_MINUTES, laid_from
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.jobs.state import StoredJob, done_count

GRACE_MINUTES = 10
"""Work that should have ended so long ago and is not written down was not begun; an assumption."""


def step_of_the_clock() -> int:
    """Return a number that changes when hours of open work may have passed; 0 on a whole day."""
    return int(now_utc().timestamp() // (STEP_MINUTES * 60)) if hour_is_known() else 0


def behind_since(
    still_open: Iterable[tuple[str, PlannedJob, int]],
    at: Mapping[str, str],
    book: FarmBook,
    today: date,
) -> time | None:
    """Return the hour from which open work is to be laid anew; None: it is in time.

    Parameters
    ----------
    still_open : iterable of (code, job, minutes left)
        Open work; what has an hour of its own keeps it.
    at : mapping of str to str
        The clock time each was laid to, by code.
    book, today : FarmBook, date
        The farm and its day.
    """
    if not hour_is_known():
        return None
    now: datetime = farm_time(now_utc(), book.farm.time_zone)
    if now.date() != today:
        return None
    minute = now.hour * HOUR + now.minute
    for code, job, minutes in still_open:
        begins = None if job.fixed_at else clock_of(at.get(code, ""))
        if begins is None:
            continue
        if begins.hour * HOUR + begins.minute + minutes + GRACE_MINUTES <= minute:
            return laid_from(now, book)
    return None


def missed_loads(
    stored: Iterable[StoredJob], book: FarmBook, today: date, since: time
) -> frozenset[str]:
    """Return the loads, with their openings, that nobody put in before all went home; by code."""
    waiting = [each for each in stored if not each.row.is_closed and not done_count(each.entries)]
    if since.hour * HOUR + since.minute < here_on(book, today).ends:
        return frozenset()
    hours = {each.row.code: clock_of(each.job.fixed_at) for each in waiting}
    keys = {
        each.job.key
        for each in waiting
        if each.job.kind is JobKind.COOK
        and (hour := hours[each.row.code]) is not None
        and hour < since
    }
    keys |= {key.replace("cook:", "open:", 1) for key in keys}
    return frozenset(each.row.code for each in waiting if each.job.key in keys)


def as_missed(stored: StoredJob) -> StoredJob:
    """Return a load that was not put in, without its hour; it remembers which."""
    job = stored.job
    missed = job.fixed_at if job.kind is JobKind.COOK else ""
    return replace(stored, job=replace(job, fixed_at="", due="", missed_at=missed))
