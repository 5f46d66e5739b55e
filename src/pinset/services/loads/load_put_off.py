"""What waits for work that was put off goes with it.

With a load its opening and the work on its vessels after the cook; with the opening of a load the
hour of the next one in the same steriliser.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from datetime import date

from pinset.farm import job_store
from pinset.services.day.fitting import is_loaded_after
from pinset.services.jobs.records import JobKind
from pinset.services.jobs.state import StoredJob, done_count, state_of, stored_jobs
from pinset.services.loads.unopened import still_full
from pinset.services.views import JobState

AWAY = frozenset({JobState.NOT_TODAY, JobState.NOT_AT_ALL})


def without_what_waits(stored: Sequence[StoredJob], today: date) -> tuple[StoredJob, ...]:
    """Return the jobs less those for a load that was put off or dropped and of which none is in.

    A load that waits for an opening that was put off stays, says so and has no hour.

    Parameters
    ----------
    stored : sequence of StoredJob
        Jobs of a day.
    today : date
        The farm's day.
    """
    held = {each.job.key for each in stored if is_held(each, stored, today)}
    return tuple(
        _without_hour(each) if each.job.key in held else each
        for each in stored
        if not _waits_in_vain(each, today, held)
    )


def is_held(load: StoredJob, stored: Sequence[StoredJob], today: date) -> bool:
    """Say whether a load waits until a full steriliser is opened, which is not to be today."""
    if load.job.kind is not JobKind.COOK or load.row.is_closed or done_count(load.entries):
        return False
    put_off = any(
        is_loaded_after(each.job, load.job)
        and state_of(each, today) is JobState.NOT_TODAY
        and not done_count(each.entries)
        for each in stored
    )
    return put_off and bool(still_full(load.job.steriliser, load.job.key))


def _without_hour(load: StoredJob) -> StoredJob:
    job = load.job
    said = "no hour yet: it waits for the opening of the load before it, which was put off"
    detail = f"{job.detail}; {said}" if job.detail else said[0].upper() + said[1:]
    return replace(load, job=replace(job, fixed_at="", due="", detail=detail))


def _waits_in_vain(stored: StoredJob, today: date, held: Collection[str]) -> bool:
    job = stored.job
    if stored.row.is_closed or done_count(stored.entries):
        return False
    if job.kind is JobKind.OPEN:
        key = job.key.replace("open:", "cook:", 1)
    elif job.follows_a_cook and ":cook:" in job.key:
        key = f"cook:{job.key.partition(':cook:')[2]}"
    else:
        return False
    if key in held:
        return True
    loads = stored_jobs(job_store.jobs_by_key(JobKind.COOK.value, key))
    return bool(loads) and all(
        state_of(load, today) in AWAY and not done_count(load.entries) for load in loads
    )
