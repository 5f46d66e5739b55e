"""On which day and from which hour something is wetted, so that it is fresh enough for its load."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta

from pinset.chain.register import Preparation, Step
from pinset.planning.building.first_cooks import LOADED_AT_ONCE
from pinset.planning.building.wet_standing import most_hours
from pinset.planning.model.staffed import Staffed
from pinset.services.book_reader import Reader
from pinset.services.jobs.records import PlannedJob
from pinset.services.loads.uncooked import mix_in
from pinset.services.loads.what_waits import steps_of
from pinset.services.words import near_day

HOUR_S = 3600.0


def laid_fresh(
    step: Step, preparation: Preparation, day: date, load: datetime, reader: Reader
) -> date:
    """Return the day a task is laid on, where ``day`` is the last working day before its hour.

    What need not last is done on the next working day, where it would be too old from that one.
    """
    most = most_hours(step, preparation.task)
    if most is None or preparation.task not in LOADED_AT_ONCE or day == load.date():
        return day
    if load - Staffed(reader.book).ends(day) <= timedelta(hours=most):
        return day
    ahead = (day + timedelta(days=days) for days in range(1, (load.date() - day).days))
    return next((each for each in ahead if reader.works_on(each)), load.date())


def with_standing_time(job: PlannedJob, load: datetime, reader: Reader) -> PlannedJob:
    """Return the job not sooner than what it wets keeps until its load; say where that cannot be.

    Where it cannot, somebody fixed the cook on that day by hand.
    """
    step = next(iter(steps_of(reader.book, mix_in(job))), None)
    most = most_hours(step, job.task) if step else None
    if most is None or job.task in LOADED_AT_ONCE or job.day >= load.date():
        return job
    soonest = load - timedelta(hours=most)
    if soonest.date() < job.day:
        return job
    staffed = Staffed(reader.book)
    latest = max(staffed.begins(job.day), staffed.ends(job.day) - timedelta(minutes=job.minutes))
    if soonest <= latest:
        begins = soonest > staffed.begins(job.day)
        return replace(job, begin_from=f"{soonest:%H:%M}") if begins else job
    stands = round((load - latest).total_seconds() / HOUR_S)
    return replace(
        job,
        begin_from=f"{latest:%H:%M}",
        detail=f"{job.detail}; it stands wet for {stands} h, and keeps for {most:g} h (common "
        f"practice): no working day is nearer to the cook of {near_day(load.date(), reader.today)}",
    )
