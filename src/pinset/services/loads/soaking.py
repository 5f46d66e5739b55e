"""How long must pass between two pieces of preparation of the same vessels: grain soaks its hours.

A route says how long before the inoculation each is begun; the difference is what must pass. What
follows chopping or mixing may follow at once.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from types import MappingProxyType

from pinset.chain.register import FarmBook
from pinset.farm import job_store
from pinset.planning.building.first_cooks import AT_ONCE
from pinset.planning.model.staffed import Staffed
from pinset.services.clock import at_clock, farm_time, hour_is_known
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.jobs.state import StoredJob, done_count, stored_jobs
from pinset.services.words import minutes_in_words

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


def begun_in_time(
    jobs: Sequence[PlannedJob],
    book: FarmBook,
    today: date,
    load: datetime,
    since: time | None = None,
    lasts: Mapping[str, datetime] = MappingProxyType({}),
) -> tuple[PlannedJob, ...]:
    """Return preparation for one load with what must last longer than a day holds the day before.

    Parameters
    ----------
    jobs : sequence of PlannedJob
        Preparation for the cook; each is on the day its hours fall on.
    book, today : FarmBook, date
        The farm and its day: nothing is laid before it.
    load : datetime
        When the vessels are loaded, by the farm's clock.
    since : time, optional
        The hour it is today: what does not fit after it is not laid on today.
    lasts : mapping of job key to datetime
        Until when what was done before must last, by the farm's clock.
    """
    staffed = Staffed(book)
    now = datetime.combine(today, since) if since else staffed.begins(today)
    found: list[PlannedJob] = []
    for each in sorted(jobs, key=lambda job: job.lead_hours):  # the last first
        follow = [later for later in found if is_prepared_before(each, later)]
        day = min([each.day, *(later.day for later in follow)])
        job = replace(each, day=day, due="") if day < each.day else each
        same_day = [later for later in follow if later.day == day]
        rests = [later for later in same_day if minutes_to_pass(job, later)]
        ends = min(load, staffed.ends(day)) if load.date() == day else staffed.ends(day)
        takes = timedelta(minutes=chain_minutes([job, *same_day]))
        earlier = _working_day_before(staffed, day)
        is_held = not rests or staffed.begins(day) + takes <= ends
        if (
            not is_held
            and earlier is not None
            and _can_be_on(job, earlier, jobs, staffed, now, lasts.get(job.key, now))
        ):
            following = max(rests, key=lambda later: later.lead_hours)
            passes = minutes_in_words(minutes_to_pass(job, following))
            said = f"the day before: {passes} must pass before {following.task}"
            job = replace(job, day=earlier, due="", detail=f"{job.detail}; {said}")
        found.append(job)
    return tuple(reversed(found))


def _can_be_on(
    job: PlannedJob,
    day: date,
    jobs: Sequence[PlannedJob],
    staffed: Staffed,
    now: datetime,
    lasts: datetime,
) -> bool:
    """Say whether a job fits on an earlier day, after what must last before it.

    What is soaked today is not boiled today if it must stand for twelve hours.
    """
    before = [each for each in jobs if is_prepared_before(each, job) and each.day >= day]
    longest = max((minutes_to_pass(each, job) for each in before), default=0)
    begins = max(staffed.begins(day), now) + timedelta(minutes=longest)
    fits = max(begins, lasts) + timedelta(minutes=job.minutes) <= staffed.ends(day)
    return day >= now.date() and (fits or day > max(now, lasts).date())


def _working_day_before(staffed: Staffed, day: date) -> date | None:
    for back in range(1, 8):
        if staffed.works_on(day - timedelta(days=back)):
            return day - timedelta(days=back)
    return None


def soaked_until(stored: Sequence[StoredJob], book: FarmBook, today: date) -> dict[str, datetime]:
    """Return when open preparation may begin after what was done before it, by job code.

    By the farm's clock; nothing where the hour of the day is not known.
    """
    waiting = [
        each
        for each in stored
        if each.job.kind is JobKind.PREPARE and not each.row.is_closed and each.job.for_day
    ]
    if not waiting or not hour_is_known():
        return {}
    zone = book.farm.time_zone
    since = at_clock(today - timedelta(days=LOOKED_BACK_DAYS), "00:00", zone)
    begun = [
        *stored_jobs(job_store.closed_since(since, JobKind.PREPARE.value)),
        *(each for each in waiting if done_count(each.entries)),
    ]
    found: dict[str, datetime] = {}
    for each in waiting:
        for first in begun:
            rest = minutes_to_pass(first.job, each.job)
            if not rest or not done_count(first.entries):
                continue
            done = farm_time(max(e.happened_at for e in first.entries), zone).replace(tzinfo=None)
            lasts = timedelta(minutes=max(0, rest - first.job.minutes))
            found[each.row.code] = max(found.get(each.row.code, done), done + lasts)
    return found
