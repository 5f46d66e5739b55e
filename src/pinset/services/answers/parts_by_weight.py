"""A part of a job that was weighed: what is left of the job, and when it is whole."""

from __future__ import annotations

from collections.abc import Sequence

from pinset.farm.job_store import JobEntry
from pinset.services.day.weights_said import KG
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.jobs.state import done_count
from pinset.services.words import GRAMS


def counted_part(job: PlannedJob, entries: Sequence[JobEntry], count: int, grams: int) -> int:
    """Return the kilograms that a weighed part counts for, so that what is left stays open.

    Rounded to kilograms a part may look like the whole; it is the whole only by its grams. What is
    to be picked is only expected, so a part of it is never the whole.

    Parameters
    ----------
    job : PlannedJob
        What was planned.
    entries : sequence of JobEntry
        What was done of it before.
    count, grams : int
        The part, rounded to whole kilograms and as it was weighed; 0 g where it was counted.
    """
    if job.unit != KG or not grams:
        return count
    left = max(0, job.count - done_count(entries))
    if job.kind is not JobKind.PICK and grams >= grams_left(job, entries):
        return max(count, left)
    return min(count, max(0, left - 1))


def grams_left(job: PlannedJob, entries: Sequence[JobEntry]) -> int:
    """Return the grams of a job that are left.

    After planning again the count holds what was done before and the grams do not: then what is
    left is known to the kilogram only.
    """
    whole = job.grams or job.count * GRAMS
    if abs(whole - job.count * GRAMS) >= GRAMS:
        return min(whole, max(0, job.count - done_count(entries)) * GRAMS)
    return max(0, whole - sum(int(each.details.get("grams") or 0) for each in entries))
