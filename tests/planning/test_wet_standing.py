"""What was wetted is cooked in time: no cook is planned for which it would stand wet too long."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from pinset.chain.pins import Pin
from pinset.chain.register import (
    CookKind,
    Farm,
    FarmBook,
    Preparation,
    RoomKind,
    Route,
    Spread,
    Step,
    StepKind,
    Steriliser,
    Weekday,
    Worker,
)
from pinset.chain.stages import Stage
from pinset.planning.building.wet_standing import last_load, most_hours, too_wet_days
from pinset.planning.model.staffed import moment_at
from pinset.planning.problem import Order, Problem, Weights
from pinset.planning.recipes import Making, Recipe
from pinset.planning.resources import Begun, CookOption, Resources, SteriliserDays, TooWet
from pinset.planning.solve import solve

MONDAY = date(2026, 3, 2)
ROOM = RoomKind.PREPARATION
COOK = Preparation("cook", 22.0, 0.0, 0.0, RoomKind.STERILISER)
FILL = Preparation("fill", 24.0, 0.0, 30.0, ROOM)
STEP = Step(
    "grain", StepKind.TRANSFER, Stage.GRAIN, Spread(8, 10, 12), Spread(0, 0, 0), 24,
    vessel="jar", mix="rye", cook="grain",
)  # fmt: skip
WEEK = tuple(Weekday)


def soaked(hours: float, task: str = "soak") -> tuple[Preparation, ...]:
    """Return grain that is wetted so long before it is loaded, and filled that morning."""
    return (Preparation(task, 22.0 + hours, 0.0, 10.0, ROOM), FILL, COOK)


def farm(
    tasks: tuple[Preparation, ...], off: tuple[int, ...], days_off: tuple[date, ...] = ()
) -> FarmBook:
    """Return a farm that works from 07:00 to 15:00, but on some weekdays, and loads at 10:30."""
    hours = tuple(0.0 if day in off else 8.0 for day in range(7))
    working = tuple(day for day in WEEK if day.number not in off)
    return FarmBook(
        farm=Farm(
            "F", 0.0, "Europe/Vienna", working_days=working, days_off=days_off, day_starts="07:00"
        ),
        workers=(Worker("w", "W", hours),),
        sterilisers=(
            Steriliser("s", "S", "r", (CookKind("grain", 5, 60, 90, 60),), 10, 1, 1.0, "10:30"),
        ),
        routes=(Route("r", (replace(STEP, preparations=tasks),)),),
    )


def left_out(book: FarmBook, days: int = 14) -> set[int]:
    return {day for each in too_wet_days(book, MONDAY, days) for day in each.days}


@pytest.mark.parametrize(
    ("hours", "off", "days"),
    [
        (24.0, (), set()),
        (24.0, (6,), set()),  # Saturday to Monday: 48 h, a day beyond what is described
        (24.0, (5, 6), {0, 7}),  # Friday to Monday: 67 h and more
        (24.0, (6, 0), {1, 8}),  # Saturday to Tuesday
        (2.0, (5, 6), set()),  # wetted on the morning of the load
        (12.0, (6,), set()),  # overnight is described; from Saturday 14:50 it is 44 h
        (40.0, (6,), {1, 8}),  # to Tuesday: Sunday 18:30 is off, from Saturday 14:50 it is 67 h 40
        (44.0, (6,), set()),  # 67 h 40, and up to 68 h
        (60.0, (5, 6), {1, 2, 8, 9}),  # Monday's from Friday 14:50; Tuesday's would be 91 h 40
    ],
)
def test_a_cook_whose_soak_would_lie_before_days_off_is_left_out(
    hours: float, off: tuple[int, ...], days: set[int]
) -> None:
    assert left_out(farm(soaked(hours), off)) == days


def test_days_off_of_the_calendar_count_as_weekdays_do() -> None:
    holidays = (MONDAY + timedelta(days=3), MONDAY + timedelta(days=4))
    assert left_out(farm(soaked(24.0), (), holidays)) == {5}


def test_what_need_not_last_is_done_on_the_day_of_its_load() -> None:
    """Mixed and filled, described a day before: nothing must last, so it is done on Monday."""
    assert left_out(farm(soaked(24.0, "mix"), (5, 6))) == set()


def test_a_pinned_cook_is_the_growers_own() -> None:
    book = farm(soaked(24.0), (5, 6))
    pin = Pin("p", "", "grain", MONDAY + timedelta(days=7), 1, steriliser="s")
    assert left_out(replace(book, pins=(pin,))) == {0}
    assert left_out(replace(book, pins=(replace(pin, count=0),))) == {0, 7}


def test_how_long_what_is_wet_may_wait_for_its_load() -> None:
    step = replace(STEP, preparations=(Preparation("chop", 60, 0, 1, ROOM), *soaked(24.0)))
    assert most_hours(step, "chop") is None, "dry"
    assert most_hours(step, "soak") == 48.0
    assert most_hours(step, "fill") == 26.0
    assert most_hours(step, "cook") is None
    assert most_hours(step, "pour") is None
    short = replace(STEP, preparations=soaked(12.0))
    assert most_hours(short, "soak") == 48.0


def test_boiled_grain_keeps_from_its_boil() -> None:
    boil = Preparation("boil", 25.0, 0.0, 60.0, ROOM)
    step = replace(STEP, preparations=(soaked(24.0)[0], boil, FILL, COOK))
    began = {"soak": moment_at(MONDAY, 11), "boil": moment_at(MONDAY + timedelta(days=2), 8)}
    assert last_load(step, began) == date(2026, 3, 5), "27 h from Wednesday 08:00"
    del began["boil"]
    assert last_load(step, began) == date(2026, 3, 4), "48 h from Monday 11:00"
    began["fill"] = moment_at(MONDAY, 12)
    assert last_load(step, began) == date(2026, 3, 3), "filled cold it keeps a day and 2 h"
    assert last_load(step, {"cook": began["soak"]}) is None


DAYS = 14
JARS = Making(
    "grain", Stage.GRAIN, 5, 10, 1.0, (2, 3, 4, 5), unit_cost=1.0, short_cost=50.0, cook="grain",
    litres=2.0, mix="rye jar",
)  # fmt: skip


def planned(resources: Resources, *makings: Making) -> dict[int, float]:
    """Return the litres of the cooks of a plan that wants eight jars of each, by day."""
    own = makings or (JARS,)
    problem = Problem(
        start=MONDAY,
        days=DAYS,
        whole_days=DAYS,
        recipes=tuple(
            Recipe(f"v{number}", "V", DAYS, (making,), None) for number, making in enumerate(own)
        ),
        orders=tuple(
            Order(f"p{number}", "b", f"v{number}", 10, 8.0, "unit", "grain")
            for number in range(len(own))
        ),
        resources=resources,
        weights=Weights(culture_missing=0.0, end_missing=0.0),
    )
    plan = solve(problem, time_limit_s=5.0)
    assert sum(start.count for start in plan.starts) == 8.0 * len(own)
    return {(cook.day - MONDAY).days: cook.cooks for cook in plan.cooks}


def kettle(*on: int) -> Resources:
    """Return a kettle that can cook on those days."""
    hours = tuple(9.0 if day in on else 0.0 for day in range(DAYS))
    count = tuple(1.0 if day in on else 0.0 for day in range(DAYS))
    options = (CookOption("grain", 5.0, 300.0, cost=1.0),)
    return Resources(
        sterilisers=(SteriliserDays("kettle", options, hours, count),),
        is_sterile_counted=True,
        sterile_keeps_days=0,
    )


def test_the_plan_puts_no_cook_on_such_a_day() -> None:
    days = kettle(1, 4)
    assert set(planned(replace(days, too_wet=(TooWet("grain", "rye jar", (4,)),)))) == {1}
    assert set(planned(replace(days, too_wet=(TooWet("grain", "rye jar", (1,)),)))) == {4}


def test_what_was_begun_in_time_is_cooked_on_such_a_day() -> None:
    wet = (TooWet("grain", "rye jar", (1,)),)
    begun = (Begun("grain", 8 * JARS.litres, 1, 1, "rye jar"),)
    assert set(planned(replace(kettle(1), too_wet=wet, begun=begun))) == {1}


def test_other_mixes_of_the_kind_are_cooked_on_such_a_day() -> None:
    """Sawdust that is mixed in the morning is cooked on Tuesday, rye on Friday."""
    sawdust = replace(JARS, mix="sawdust jar", start_days=(2,))
    rye = replace(JARS, start_days=(2, 5))
    cooks = planned(
        replace(kettle(1, 4), too_wet=(TooWet("grain", "rye jar", (1,)),)), rye, sawdust
    )
    assert set(cooks) == {1, 4}
