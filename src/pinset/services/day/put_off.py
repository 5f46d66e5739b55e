"""Work that was put off to another day: it takes no hour of today, and keeps none for then."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from pinset.services.day.fitting import what_follows
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.jobs.state import StoredJob, state_of
from pinset.services.views import JobState

HANDED_OVER = frozenset({JobKind.DELIVER, JobKind.GIVE})
"""Work whose hour somebody else sets, on whatever day."""


def is_put_off(stored: StoredJob, today: date) -> bool:
    """Say whether a job is not to be done today, but later."""
    return state_of(stored, today) is JobState.NOT_TODAY


def laid_anew(job: PlannedJob) -> PlannedJob:
    """Return a job that was put off without the hours it was laid to; its new day lays it anew."""
    return job if job.kind in HANDED_OVER else replace(job, fixed_at="", due="")


def without_put_off(
    open_jobs: Sequence[tuple[str, PlannedJob, int]], stored: Sequence[StoredJob], today: date
) -> list[tuple[str, PlannedJob, int]]:
    """Return the open work of today less what was put off.

    What work of today waits for stays with it, so that neither is laid as if the other were done.
    """
    put_off = {each.row.code for each in stored if is_put_off(each, today)}
    still = [each for each in open_jobs if each[0] not in put_off]
    after = what_follows(open_jobs)
    held = {before for code, _, _ in still for before in after.get(code, ())}
    held |= {code for code, job, _ in open_jobs if _is_for_a_load_of(job, today)}
    return [each for each in open_jobs if each[0] not in put_off - held]


def _is_for_a_load_of(job: PlannedJob, today: date) -> bool:
    return job.kind is JobKind.PREPARE and not job.follows_a_cook and job.for_day == today
