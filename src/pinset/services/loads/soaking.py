"""How long must pass between two pieces of preparation of the same vessels: grain soaks its hours.

A route says how long before the inoculation each is begun; the difference is what must pass. What
follows chopping or mixing may follow at once.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime, time, timedelta

from pinset.chain.register import FarmBook
from pinset.farm import job_store
from pinset.planning.building.first_cooks import AT_ONCE
from pinset.services.clock import at_clock, farm_time, hour_is_known
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.jobs.state import StoredJob, done_count, stored_jobs

HOUR = 60
LOOKED_BACK_DAYS = 3


def is_prepared_before(first: PlannedJob, second: PlannedJob) -> bool:
    """Say whether both prepare the same vessels, the first before the second."""
    if first.kind is not JobKind.PREPARE or second.kind is not JobKind.PREPARE:
        return False
    same = (first.for_day, first.mix, first.moisture) == (
        second.for_day,
        second.mix,
        second.moisture,
    )
    return same and first.lead_hours > second.lead_hours


def minutes_to_pass(first: PlannedJob, second: PlannedJob) -> int:
    """Return how many minutes after the begin of the first the second may begin."""
    if not is_prepared_before(first, second) or first.task in AT_ONCE:
        return 0
    return round((first.lead_hours - second.lead_hours) * HOUR)


def chain_minutes(jobs: Iterable[PlannedJob]) -> int:
    """Return how long work that follows on itself takes from the first begin to the last end."""
    begun: list[tuple[PlannedJob, int]] = []
    end = 0
    for job in sorted(jobs, key=lambda each: -each.lead_hours):
        start = max([end, *(at + minutes_to_pass(first, job) for first, at in begun)])
        begun.append((job, start))
        end = start + job.minutes
    return end


def soaked_until(stored: Sequence[StoredJob], book: FarmBook, today: date) -> dict[str, datetime]:
    """Return when open preparation may begin, by job code.

    After what was done before it, and not so soon that it is too old by its cook. By the farm's
    clock; what was done before does not count where the hour of the day is not known.
    """
    waiting = [
        each
        for each in stored
        if each.job.kind is JobKind.PREPARE and not each.row.is_closed and each.job.for_day
    ]
    found: dict[str, datetime] = {
        each.row.code: datetime.combine(each.job.day, time.fromisoformat(each.job.begin_from))
        for each in waiting
        if each.job.begin_from and each.job.day == today
    }
    if not waiting or not hour_is_known():
        return found
    zone = book.farm.time_zone
    since = at_clock(today - timedelta(days=LOOKED_BACK_DAYS), "00:00", zone)
    begun = [
        *stored_jobs(job_store.closed_since(since, JobKind.PREPARE.value)),
        *(each for each in waiting if done_count(each.entries)),
    ]
    for each in waiting:
        for first in begun:
            rest = minutes_to_pass(first.job, each.job)
            if not rest or not done_count(first.entries):
                continue
            done = farm_time(max(e.happened_at for e in first.entries), zone).replace(tzinfo=None)
            lasts = timedelta(minutes=max(0, rest - first.job.minutes))
            found[each.row.code] = max(found.get(each.row.code, done), done + lasts)
    return found
