"""How long a job may be left when a day is too short for all of them."""

from __future__ import annotations

from pinset.services.jobs.records import JobKind, PlannedJob

OF_THE_DAY = frozenset({
    JobKind.ROUND, JobKind.PICK, JobKind.PACK, JobKind.DELIVER, JobKind.GIVE, JobKind.DRY,
    JobKind.COOK, JobKind.OPEN, JobKind.JUDGE, JobKind.DECIDE, JobKind.RECEIVE, JobKind.ORDER,
})  # fmt: skip
"""Work that belongs to its day, or that other people and full sterilisers wait for."""

TIDYING = frozenset({
    JobKind.LOOK, JobKind.SHAKE, JobKind.CLEAR, JobKind.DISCARD, JobKind.WASTE,
})  # fmt: skip
"""Work that is as good tomorrow, where nothing of today follows it; common practice, no source."""


def days_it_waits(job: PlannedJob) -> int:
    """Return for how many days a job may be left before anything is lost by it; 0: it is due."""
    if job.kind in OF_THE_DAY or job.fixed_at or job.due.startswith("before "):
        return 0
    if job.kind in TIDYING or job.into_store:
        return 1
    return job.slack_days if job.stake else max(1, job.slack_days)
