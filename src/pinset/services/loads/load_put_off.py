"""What waits for a load goes with it: its opening, and the work on its vessels after the cook."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from pinset.farm import job_store
from pinset.services.jobs.records import JobKind
from pinset.services.jobs.state import StoredJob, done_count, state_of, stored_jobs
from pinset.services.views import JobState

AWAY = frozenset({JobState.NOT_TODAY, JobState.NOT_AT_ALL})


def without_what_waits(stored: Sequence[StoredJob], today: date) -> tuple[StoredJob, ...]:
    """Return the jobs less those for a load that was put off or dropped and of which none is in.

    Parameters
    ----------
    stored : sequence of StoredJob
        Jobs of a day.
    today : date
        The farm's day.
    """
    return tuple(each for each in stored if not _waits_in_vain(each, today))


def _waits_in_vain(stored: StoredJob, today: date) -> bool:
    job = stored.job
    if stored.row.is_closed or done_count(stored.entries):
        return False
    if job.kind is JobKind.OPEN:
        key = job.key.replace("open:", "cook:", 1)
    elif job.follows_a_cook and ":cook:" in job.key:
        key = f"cook:{job.key.partition(':cook:')[2]}"
    else:
        return False
    loads = stored_jobs(job_store.jobs_by_key(JobKind.COOK.value, key))
    return bool(loads) and all(
        state_of(load, today) in AWAY and not done_count(load.entries) for load in loads
    )
