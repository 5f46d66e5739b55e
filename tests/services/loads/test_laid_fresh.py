"""Grain for the cook after days off is wetted when it still keeps until then, or it is said."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from pinset.chain.pins import Pin
from pinset.chain.register import FarmBook, Preparation, RoomKind, Weekday, Worker
from pinset.planning.plan import Start
from pinset.services.book_reader import Reader
from pinset.services.jobs.preparing import preparation_jobs
from pinset.services.jobs.records import PlannedJob
from pinset.services.loads.in_reach import InReach
from pinset.services.loads.what_waits import mix_of
from services.jobs.test_jobs_of_cooks import BOOK as COOKS_BOOK
from services.jobs.test_jobs_of_cooks import GRAIN, MONDAY

ROOM = RoomKind.PREPARATION
COOK = Preparation("cook", 22.0, 0.0, 0.0, RoomKind.STERILISER)
FILL = Preparation("fill", 24.0, 0.0, 20.0, ROOM)
WEDNESDAY = MONDAY + timedelta(days=2)
NEXT_MONDAY = MONDAY + timedelta(days=7)


def farm(task: str, hours: float, *off: Weekday) -> FarmBook:
    """Return a farm that works from 07:30 to 15:30 but on some days, and loads at 10:30."""
    tasks = (Preparation(task, 22.0 + hours, 0.0, 10.0, ROOM), FILL, COOK)
    route = COOKS_BOOK.routes[0]
    steps = tuple(
        replace(GRAIN, preparations=tasks) if step.code == GRAIN.code else step
        for step in route.steps
    )
    working = tuple(day for day in Weekday if day not in off)
    hours_of = tuple(0.0 if day in off else 8.0 for day in Weekday)
    return replace(
        COOKS_BOOK,
        farm=replace(COOKS_BOOK.farm, working_days=working),
        routes=(replace(route, steps=steps),),
        workers=(Worker("w", "W", hours_of),),
    )


def first_job(book: FarmBook, today: date) -> PlannedJob:
    """Return the first task of preparation for the load of the next Monday at 10:30."""
    day = NEXT_MONDAY + timedelta(days=1)
    variety = next(v.code for v in book.varieties if v.route == book.routes[0].code)
    start = Start(day, variety, GRAIN.code, GRAIN.stage, 20, (), 20, day, (), "why")
    return preparation_jobs([start], NEXT_MONDAY, "10:30", Reader(book, today))[0]


@pytest.mark.parametrize(
    ("hours", "day", "begin_from"),
    [
        (24.0, 5, "10:30"),  # 48 hours before the load
        (26.0, 5, "08:30"),  # 50 hours
        (44.0, 5, ""),  # described for Saturday 14:30; 68 hours before is Friday
        (12.0, 5, "10:30"),  # a soak may always last 48 hours
    ],
)
def test_before_a_day_off_a_soak_is_begun_so_late_that_it_keeps(
    hours: float, day: int, begin_from: str
) -> None:
    job = first_job(farm("soak", hours, Weekday.SUN), WEDNESDAY)
    assert (job.day, job.begin_from) == (MONDAY + timedelta(days=day), begin_from)
    assert "stands wet" not in job.detail


def test_what_need_not_last_waits_for_the_next_working_day() -> None:
    job = first_job(farm("mix", 24.0, Weekday.SAT, Weekday.SUN), WEDNESDAY)
    assert (job.task, job.day) == ("mix", NEXT_MONDAY)
    near = first_job(farm("mix", 24.0, Weekday.SUN), WEDNESDAY)
    assert near.day == MONDAY + timedelta(days=5), "from Saturday 15:30 it is 43 hours of 48"


def test_a_pinned_cook_that_leaves_no_such_day_says_so() -> None:
    book = farm("soak", 24.0, Weekday.SAT, Weekday.SUN)
    step = book.routes[0].step(GRAIN.code)
    friday = MONDAY + timedelta(days=4)
    assert InReach(book, WEDNESDAY).is_too_soon(mix_of(step), NEXT_MONDAY), "days off lie between"
    assert not InReach(book, WEDNESDAY).is_too_soon(mix_of(step), NEXT_MONDAY + timedelta(days=1))
    steriliser = book.sterilisers[0].code
    pinned = replace(book, pins=(Pin("p", "", step.cook, NEXT_MONDAY, 1, steriliser=steriliser),))
    assert not InReach(pinned, WEDNESDAY).is_too_soon(mix_of(step), NEXT_MONDAY)
    job = first_job(pinned, WEDNESDAY)
    assert (job.day, job.begin_from) == (friday, "15:20")
    assert "it stands wet for 67 h, and keeps for 48 h (common practice)" in job.detail


def test_what_does_not_fit_into_the_morning_is_not_soaked_before_days_off() -> None:
    """Boiled and filled for 160 minutes from 08:00, 24 h after the soak: the load waits for it.

    Boiled on Monday it would have to be soaked on Friday.
    """
    boil = Preparation("boil", 26.0, 0.0, 60.0, ROOM)
    fill = replace(FILL, minutes_per_unit=5.0, minutes_fixed=0.0)
    soak = Preparation("soak", 46.0, 0.0, 10.0, ROOM)
    book = farm("soak", 24.0, Weekday.SAT, Weekday.SUN)
    route = book.routes[0]
    steps = tuple(
        replace(s, preparations=(soak, boil, fill, COOK)) if s.code == GRAIN.code else s
        for s in route.steps
    )
    book = replace(book, routes=(replace(route, steps=steps),))
    tuesday = NEXT_MONDAY + timedelta(days=1)
    variety = next(v.code for v in book.varieties if v.route == route.code)

    def laid(cook_day: date) -> dict[str, date]:
        day = cook_day + timedelta(days=1)
        start = Start(day, variety, GRAIN.code, GRAIN.stage, 20, (), 20, day, (), "why")
        jobs = preparation_jobs([start], cook_day, "10:00", Reader(book, WEDNESDAY))
        return {job.task: job.day for job in jobs}

    assert laid(tuesday) == {"soak": NEXT_MONDAY, "boil": tuesday, "fill": tuesday}
    thursday, wednesday = (NEXT_MONDAY + timedelta(days=days) for days in (3, 2))
    assert laid(thursday) == {"soak": tuesday, "boil": wednesday, "fill": thursday}
