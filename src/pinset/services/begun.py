"""Which cooks have their preparation begun: grain in the soak cannot be wished there today."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, timedelta

from pinset.chain.register import FarmBook
from pinset.farm import job_store
from pinset.services.clock import at_clock
from pinset.services.job_records import JobKind
from pinset.services.job_state import StoredJob, done_count, stored_jobs

LONGEST_PREPARATION_DAYS = 7


def begun_cooks(book: FarmBook, today: date) -> frozenset[tuple[str, date]]:
    """Return kind and day of the cooks from today on that something was prepared for."""
    since = at_clock(today - timedelta(days=LONGEST_PREPARATION_DAYS), "00:00", book.farm.time_zone)
    found: set[tuple[str, date]] = set()
    for each in _prepared(since):
        job = each.job
        if job.for_day is not None and job.for_day >= today and not job.follows_a_cook:
            found |= {
                (step.cook, job.for_day)
                for route in book.routes
                for step in route.steps
                if step.cook and (step.code, f"{step.mix} {step.vessel}") == (job.step, job.mix)
            }
    return frozenset(found)


def _prepared(since: datetime) -> Iterable[StoredJob]:
    rows = [
        *job_store.closed_since(since, JobKind.PREPARE.value),
        *(row for row in job_store.open_jobs() if row.kind == JobKind.PREPARE.value),
    ]
    return (each for each in stored_jobs(rows) if done_count(each.entries) > 0)
