"""When preparation for a load is begun, so that it lasts its hours and keeps until then."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from types import MappingProxyType

from pinset.chain.register import FarmBook
from pinset.planning.building.wet_standing import keeps_hours, most_hours
from pinset.planning.model.staffed import Staffed
from pinset.services.jobs.records import PlannedJob
from pinset.services.loads.soaking import HOUR, chain_minutes, is_prepared_before, minutes_to_pass
from pinset.services.loads.uncooked import mix_in
from pinset.services.loads.what_waits import steps_of
from pinset.services.words import minutes_in_words


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
            and is_fresh_from(job, earlier, load, jobs, staffed)
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


def is_fresh_from(
    job: PlannedJob, day: date, load: datetime, jobs: Sequence[PlannedJob], staffed: Staffed
) -> bool:
    """Say whether days off before or after a day let neither a job nor what it follows on stand.

    What is soaked before it is begun on the working day before, where both cannot be on one day;
    if that is too long before, the job stays on its own day and the load waits for it.
    """
    step = next(iter(steps_of(staffed.book, mix_in(job))), None)
    most = most_hours(step, job.task) if step else None
    if most is not None and load - staffed.ends(day) > timedelta(hours=most):
        return False
    begins, ends = staffed.begins(day), staffed.ends(day)
    before = _working_day_before(staffed, day)
    return before is None or all(
        begins - staffed.ends(before) <= timedelta(hours=keeps_hours(each.task, passes / HOUR))
        for each in jobs
        if (passes := minutes_to_pass(each, job)) and each.day >= day
        if begins + timedelta(minutes=passes + job.minutes) > ends
    )


def _working_day_before(staffed: Staffed, day: date) -> date | None:
    for back in range(1, 8):
        if staffed.works_on(day - timedelta(days=back)):
            return day - timedelta(days=back)
    return None
