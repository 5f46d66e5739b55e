"""From which hour the open work of a day is laid when nobody got to it at its hours."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime, time

from pinset.services.clock import farm_time, hour_is_known, now_utc
from pinset.services.day.fitting import clock_of
from pinset.services.day.hours_left import HOUR, STEP_MINUTES, laid_from
from pinset.services.jobs.records import PlannedJob

GRACE_MINUTES = 10
"""Work that should have ended so long ago and is not written down was not begun; an assumption."""


def step_of_the_clock() -> int:
    """Return a number that changes when hours of open work may have passed; 0 on a whole day."""
    return int(now_utc().timestamp() // (STEP_MINUTES * 60)) if hour_is_known() else 0


def behind_since(
    still_open: Iterable[tuple[str, PlannedJob, int]],
    at: Mapping[str, str],
    day_starts: str,
    time_zone: str,
    today: date,
) -> time | None:
    """Return the hour from which open work is to be laid anew; None: it is in time.

    Parameters
    ----------
    still_open : iterable of (code, job, minutes left)
        Open work; what has an hour of its own keeps it.
    at : mapping of str to str
        The clock time each was laid to, by code.
    day_starts, time_zone : str
        The farm's.
    today : date
        Its day.
    """
    if not hour_is_known():
        return None
    now: datetime = farm_time(now_utc(), time_zone)
    if now.date() != today:
        return None
    minute = now.hour * HOUR + now.minute
    for code, job, minutes in still_open:
        begins = None if job.fixed_at else clock_of(at.get(code, ""))
        if begins is None:
            continue
        if begins.hour * HOUR + begins.minute + minutes + GRACE_MINUTES <= minute:
            return laid_from(now, day_starts)
    return None
