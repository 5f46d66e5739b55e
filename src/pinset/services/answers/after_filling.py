"""What is settled when a step of preparation is finished: the steps before it.

What was filled was mixed, and what was boiled was soaked, whether or not that was written down.
"""

from __future__ import annotations

from datetime import datetime

from pinset.farm import job_store
from pinset.farm.entries import Kind
from pinset.farm.queries.story import Happened
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.jobs.state import StoredJob, done_count, stored_jobs
from pinset.services.loads.soaking import is_prepared_before


def settle_steps_before(finished: PlannedJob, now: datetime) -> None:
    """Close what was to be done before a step of preparation that is finished.

    Where other work of the same step on that mix and day is still open, it stays open, too.

    Parameters
    ----------
    finished : PlannedJob
        The step that is finished; its own job is closed already.
    now : datetime
        The moment.
    """
    still = stored_jobs([row for row in job_store.open_jobs() if row.kind == JobKind.PREPARE.value])
    before = [each for each in still if _is_before(each, finished)]
    if any(
        each.job.task == finished.task and is_prepared_before(first.job, each.job)
        for first in before
        for each in still
    ):
        return
    for each in before:
        job_store.close(each.row.code, now)


def open_steps_before(undone: Happened) -> None:
    """Open what was settled by a step of preparation that is taken back.

    Parameters
    ----------
    undone : Happened
        The entry that was just taken back, of whatever kind; its job is open again.
    """
    row = job_store.job_by_code(undone.job) if undone.job else None
    if row is None or row.is_closed or row.kind != JobKind.PREPARE.value:
        return
    [taken_back] = stored_jobs([row])
    closed = stored_jobs(job_store.closed_since(undone.recorded_at, JobKind.PREPARE.value))
    for each in closed:
        if _is_before(each, taken_back.job) and not is_answered(each):
            job_store.reopen(each.row.code)


def is_answered(stored: StoredJob) -> bool:
    """Say whether entries finish a job: by its count, by saying so, or by dropping it."""
    return done_count(stored.entries) >= stored.job.count or any(
        entry.details.get("finishes") or entry.kind is Kind.DROP for entry in stored.entries
    )


def _is_before(stored: StoredJob, later: PlannedJob) -> bool:
    is_for_a_cook = later.for_day is not None and not stored.job.follows_a_cook
    return is_for_a_cook and is_prepared_before(stored.job, later)
