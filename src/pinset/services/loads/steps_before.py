"""What a step of preparation was given by the one before it: so much was soaked, to be filled."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, timedelta

from pinset.chain.register import FarmBook
from pinset.farm import job_store
from pinset.services.clock import at_clock
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.jobs.state import done_count, stored_jobs
from pinset.services.loads.loaded import loaded_since
from pinset.services.loads.uncooked import mix_in, waiting_for_a_cook
from pinset.services.loads.what_waits import LONGEST_KEEPS_DAYS

LOOKED_BACK_DAYS = 10
"""Preparation for one day lies within so many days; common practice, no source."""


@dataclass(frozen=True, slots=True)
class StepBefore:
    """The last step before another of which something was written down."""

    task: str
    left: int  # units it was done for and the other was not


def step_before(job: PlannedJob, book: FarmBook) -> StepBefore | None:
    """Return what the step before a preparation leaves for it; None if nothing was written down.

    What was left of the day before, and still keeps, counts beside what was done for its own day.
    """
    if job.kind is not JobKind.PREPARE or job.for_day is None or job.follows_a_cook:
        return None
    leads: dict[str, float] = {}
    done: defaultdict[tuple[str, date], int] = defaultdict(int)
    day = job.for_day
    first = day - timedelta(days=LONGEST_KEEPS_DAYS)
    waiting = waiting_for_a_cook(book, day, loaded_since(first, book.farm.time_zone))
    for each in stored_jobs(_preparation(book, day)):
        other = each.job
        if other.for_day is None or other.follows_a_cook or mix_in(other) != mix_in(job):
            continue
        is_for_it = first <= other.for_day <= day
        is_for_it = is_for_it and waiting.is_in_time(mix_in(job), other.for_day, day)
        if is_for_it and (units := done_count(each.entries)):
            done[other.task, other.for_day] += units
            leads[other.task] = max(leads.get(other.task, 0.0), other.lead_hours)
    before = [t for t, lead in leads.items() if lead > job.lead_hours and done[t, day]]
    if not before:
        return None
    last = min(before, key=leads.__getitem__)
    days = {each for _, each in done} - {day}
    kept = sum(max(0, done[last, each] - done[job.task, each]) for each in days)
    return StepBefore(last, max(0, kept + done[last, day] - done[job.task, day]))


def _preparation(book: FarmBook, day: date) -> list[job_store.JobRow]:
    since = at_clock(day - timedelta(days=LOOKED_BACK_DAYS), "00:00", book.farm.time_zone)
    return [
        *job_store.closed_since(since, JobKind.PREPARE.value),
        *(row for row in job_store.open_jobs() if row.kind == JobKind.PREPARE.value),
    ]
