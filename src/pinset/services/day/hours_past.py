"""Fixed hours that have passed: nothing is laid to them as if it could still be done then."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, time, timedelta

from pinset.services.day.fitting import NEXT_DAY, clock_of, is_next_day
from pinset.services.jobs.matching import KnownJob, Matching
from pinset.services.jobs.records import JobKind, PlannedJob

BY = "before "


def has_passed(hour: str, since: time | None) -> bool:
    """Say whether a clock time lies before the hour it is now."""
    at = clock_of(hour)
    return since is not None and at is not None and at < since


def without_past_hours(job: PlannedJob, today: date, since: time | None) -> PlannedJob:
    """Return the job without a fixed or latest hour that has passed; it remembers which.

    The hour from which a cook may be opened is an earliest one: opening after it is not late. What
    was to be opened on the day after its cook belongs to that day once it has come.
    """
    if job.kind is JobKind.OPEN and job.day < today and is_next_day(job.fixed_at):
        hour = job.fixed_at.removesuffix(NEXT_DAY)
        day = job.day + timedelta(days=1)
        job = replace(job, day=day, fixed_at=hour, due=f"after {hour}", first_day=None)
    is_of_before = job.day < today
    if job.day > today:
        return job
    if job.fixed_at and (is_of_before or has_passed(job.fixed_at, since)):
        if job.kind is JobKind.OPEN:
            return replace(job, fixed_at="", due="" if is_of_before else job.due)
        return replace(job, fixed_at="", due="", missed_at="" if is_of_before else job.fixed_at)
    by = job.due.removeprefix(BY) if job.due.startswith(BY) else ""
    if by and (is_of_before or has_passed(by, since)):
        return replace(job, due="", missed_at="" if is_of_before else by)
    return job


def with_hours_of_now(
    matching: Matching, known: Sequence[KnownJob], today: date, since: time | None
) -> Matching:
    """Return the matching with no hour of today that has passed.

    A cook that was not loaded in time and now stands on a later day is late from today on.
    """
    before = {each.code: each.job for each in known}
    return Matching(
        tuple(
            (code, without_past_hours(_slipped(before[code], job, today, since), today, since))
            for code, job in matching.kept
        ),
        tuple(without_past_hours(job, today, since) for job in matching.added),
        matching.withdrawn,
        matching.finished,
    )


def _slipped(old: PlannedJob, job: PlannedJob, today: date, since: time | None) -> PlannedJob:
    if job.kind is not JobKind.COOK or job.day <= today:
        return job
    if old.day == today and has_passed(old.fixed_at, since):
        return replace(job, first_day=old.first_day or today, missed_at=old.fixed_at)
    if old.day > today and old.first_day and old.missed_at:
        return replace(job, missed_at=old.missed_at)
    return job


def missed_cooks(known: Iterable[KnownJob], today: date, since: time | None) -> list[KnownJob]:
    """Return the cooks of today that were not loaded and whose hour has passed."""
    return [
        each
        for each in known
        if each.job.kind is JobKind.COOK
        and each.job.day == today
        and has_passed(each.job.fixed_at, since)
    ]
