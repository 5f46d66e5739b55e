"""Which cooks have their preparation begun: grain in the soak cannot be wished there today."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import date, datetime, timedelta

from pinset.chain.register import FarmBook, Step
from pinset.farm import job_store
from pinset.planning.building.step_numbers import litres_of
from pinset.services.clock import at_clock
from pinset.services.jobs.records import JobKind
from pinset.services.jobs.state import StoredJob, done_count, stored_jobs

LONGEST_PREPARATION_DAYS = 7


def begun_cooks(book: FarmBook, today: date) -> dict[tuple[str, date], float]:
    """Return the litres of vessels that were begun for cooks from today on, by kind and day.

    Counted is the task of which most was done: what was soaked, while only some is boiled yet.
    """
    since = at_clock(today - timedelta(days=LONGEST_PREPARATION_DAYS), "00:00", book.farm.time_zone)
    done: defaultdict[tuple[str, str, date], defaultdict[str, int]]
    done = defaultdict(lambda: defaultdict(int))
    for each in _prepared(since):
        job = each.job
        if job.for_day is not None and job.for_day >= today and not job.follows_a_cook:
            done[job.step, job.mix, job.for_day][job.task] += done_count(each.entries)
    found: defaultdict[tuple[str, date], float] = defaultdict(float)
    for (code, mix, day), tasks in done.items():
        step = _step(book, code, mix)
        if step is not None:
            found[step.cook, day] += max(tasks.values()) * litres_of(book, step)
    return dict(found)


def _step(book: FarmBook, code: str, mix: str) -> Step | None:
    """Return a step whose vessels are cooked, by what its preparation is known by."""
    return next(
        (
            step
            for route in book.routes
            for step in route.steps
            if step.cook and (step.code, f"{step.mix} {step.vessel}") == (code, mix)
        ),
        None,
    )


def _prepared(since: datetime) -> Iterable[StoredJob]:
    rows = [
        *job_store.closed_since(since, JobKind.PREPARE.value),
        *(row for row in job_store.open_jobs() if row.kind == JobKind.PREPARE.value),
    ]
    return (each for each in stored_jobs(rows) if done_count(each.entries) > 0)
