"""What it costs that a job is late, as far as the plan knows."""

from __future__ import annotations

from datetime import date, timedelta

from pinset.services.day.hanging_on import NAMING
from pinset.services.jobs.records import BY_KEY, JobKind, PlannedJob
from pinset.services.words import joined, near_day, plural

MOST_NAMED = 2
"""Promises named in one sentence."""


def late_cost(job: PlannedJob, late_days: int, today: date, doing: str = "doing it today") -> str:
    """Return what the lateness of a job costs; nothing for a job that is not late.

    A job whose fixed hour of today has passed is late, too. ``today`` is the day it is to be done
    on, ``doing`` what hangs on it in words.
    """
    if late_days > 0 and job.kind is JobKind.DECIDE:
        named = _named(job)
        counts = f"the plan counts on them{named and f' for {named}'}"
        return f"{plural(late_days, 'day')} late: until somebody decides, {counts}"
    if late_days > 0 and job.kind in BY_KEY:
        return f"{plural(late_days, 'day')} late"
    if late_days > 0 and job.kind is JobKind.DELIVER and not job.stake:
        return f"{plural(late_days, 'day')} late: nothing is there for it"
    if late_days > 0:
        return f"{plural(late_days, 'day')} late: {_cost(job, today, doing)}"
    if job.missed_at and job.stake:
        return f"was for {job.missed_at}: {_cost(job, today)}"
    return f"was for {job.missed_at}" if job.missed_at else ""


def spoilt_words(job: PlannedJob, today: date) -> str:
    """Return what of a pick is spoilt if it is left, and from when; empty if nothing hangs long."""
    return _cost(job, today) if job.kind is JobKind.PICK and job.stake else ""


def unplaced_cost(job: PlannedJob, today: date) -> str:
    """Return what it costs that no hour is left for a job today."""
    return f"no hour is left for it today: {_cost(job, today)}" if job.stake else ""


def _cost(job: PlannedJob, today: date, doing: str = "doing it today") -> str:
    named = _named(job)
    if not job.stake:
        return f"the plan counts on it for {named}" if named else "no promise hangs on it yet"
    after = f", of {named}" if named else ""
    from_day = near_day(today + timedelta(days=job.slack_days + 1), today)
    if job.kind is JobKind.PICK:  # what it is picked for may want it today all the same
        return f"{job.stake} of it are spoilt from {from_day}"
    if job.slack_days > 0:
        return f"costs nothing yet, {job.stake} from {from_day}{after}"
    return f"{job.stake} {'hangs' if job.stake == '1 unit' else 'hang'} on {doing}{after}"


def _named(job: PlannedJob) -> str:
    """Return the promises that work on vessels or lots serves; its other words do not say them."""
    if job.kind not in NAMING:
        return ""
    more = len(job.serves) - MOST_NAMED
    return joined([*job.serves[:MOST_NAMED], *([f"{more} more"] if more > 0 else [])])
