"""Prepared vessels: taken as ready or not, and never used past their time."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from pinset.chain.living import LivingLot
from pinset.chain.register import FarmBook, Preparation, RoomKind
from pinset.chain.stages import Stage
from pinset.planning.building.from_book import build_problem
from pinset.planning.model.limits_cooks import assumes_prepared
from pinset.planning.model.model import build_model
from pinset.planning.problem import Order, Problem, Weights
from pinset.planning.recipes import Making, Recipe
from pinset.planning.resources import (
    Begun,
    CookOption,
    FirstCook,
    Resources,
    Sterile,
    SteriliserDays,
)
from pinset.planning.solve import solve
from planning.six_varieties import TODAY, six_variety_book, six_variety_stock

BOOK = six_variety_book()
CODE = "grey-oyster"
FRIDAY = TODAY + timedelta(days=1)


def grey() -> FarmBook:
    return replace(
        BOOK,
        varieties=tuple(v for v in BOOK.varieties if v.code == CODE),
        promises=tuple(p for p in BOOK.promises if p.variety == CODE),
    )


def living() -> tuple[LivingLot, ...]:
    return tuple(lot for lot in six_variety_stock() if lot.variety == CODE)


def prepared(made_on: date) -> LivingLot:
    return LivingLot(
        code="PREP",
        variety="",
        step="block",
        stage=Stage.PREPARED,
        alive=20,
        made_on=made_on,
        step_since=made_on,
        place="",
        room="lab",
        temperature_c=20.0,
        route=next(route for route in BOOK.routes if route.code == CODE),
    )


def with_straw() -> FarmBook:
    """Return the farm with blocks of pasteurised straw."""
    book = grey()
    routes = tuple(
        replace(
            route,
            steps=tuple(
                replace(step, cook="straw") if step.code == "block" else step
                for step in route.steps
            ),
        )
        for route in book.routes
    )
    return replace(book, routes=routes)


def test_the_first_starts_say_what_they_rely_on() -> None:
    problem, remarks = build_problem(grey(), living(), TODAY)
    assert any("taken as ready" in remark for remark in remarks)
    plan = solve(problem, time_limit_s=6.0, gap=0.02)
    soon = [start for start in plan.starts if start.day == TODAY]
    assert soon
    assert all(start.assumes_prepared for start in soon)
    assert not any(start.assumes_prepared for start in plan.starts if start.day > FRIDAY)


def test_without_the_assumption_nothing_starts_before_a_cook() -> None:
    problem, remarks = build_problem(grey(), living(), TODAY, assume_prepared=False)
    assert any("wait for the first cooks" in remark for remark in remarks)
    plan = solve(problem, time_limit_s=6.0, gap=0.02)
    assert plan.starts
    assert min(start.day for start in plan.starts) > TODAY
    assert not any(start.assumes_prepared for start in plan.starts)


@pytest.mark.parametrize(("age", "is_used"), [(0, True), (1, True), (2, False), (9, False)])
def test_pasteurised_straw_keeps_a_day(age: int, is_used: bool) -> None:  # noqa: FBT001
    book = with_straw()
    lot = replace(prepared(TODAY - timedelta(days=age)), route=book.routes[0])
    problem, remarks = build_problem(book, (*living(), lot), TODAY)
    assert bool(problem.resources.sterile) is is_used
    assert any("older than straw vessels keep" in remark for remark in remarks) is not is_used
    assert problem.resources.is_sterile_counted
    assert problem.resources.keeps_days("straw", 1) == 0
    assert problem.resources.keeps_days("grain", 1) > 1


def test_sterile_vessels_keep_two_weeks() -> None:
    fresh, _ = build_problem(grey(), (prepared(TODAY - timedelta(days=10)),), TODAY)
    assert fresh.resources.sterile[0].last_day == 4
    old, _ = build_problem(grey(), (prepared(TODAY - timedelta(days=15)),), TODAY)
    assert not old.resources.sterile


def test_vessels_held_back_are_counted_and_not_planned_with() -> None:
    fresh = prepared(TODAY - timedelta(days=2))
    held = replace(fresh, code="HELD", held="cook kettle-1: too short")
    problem, remarks = build_problem(grey(), (*living(), held), TODAY)
    assert not problem.resources.sterile
    assert problem.resources.is_sterile_counted
    assert (
        "Prepared vessels HELD are held back (cook kettle-1: too short), so the plan does not "
        "use them."
    ) in remarks
    both, _ = build_problem(grey(), (*living(), held, fresh), TODAY)
    alone, _ = build_problem(grey(), (*living(), fresh), TODAY)
    assert both.resources.sterile == alone.resources.sterile


def ordered_on(day: int, *, last_day: int, keeps: int = 3, cooks_on: int = -1) -> Problem:
    """Return 4 blocks wanted on a day, of vessels that stand ready or are cooked on one day."""
    making = Making(
        "block",
        Stage.BLOCK,
        1,
        1,
        1.0,
        (day - 1,),
        cook="straw",
        litres=10.0,
        unit_cost=1.0,
        short_cost=100.0,
    )
    return Problem(
        start=TODAY,
        days=10,
        whole_days=10,
        recipes=(Recipe("v", "V", 10, (making,)),),
        orders=(Order("p", "b", "v", day, 4.0, "unit", "block"),),
        resources=Resources(
            sterilisers=(
                SteriliserDays(
                    "s",
                    (CookOption("straw", 5.0, 40.0),),
                    tuple(5.0 if each == cooks_on else 0.0 for each in range(10)),
                    (1.0,) * 10,
                ),
            ),
            sterile=(Sterile("straw", 40.0, last_day),) if last_day >= 0 else (),
            is_sterile_counted=True,
            short_keeping=(("straw", keeps),),
        ),
        has_end_stock=False,
    )


@pytest.mark.parametrize(
    ("day", "last_day", "made"), [(1, 0, 4), (2, 0, 0), (2, 1, 4), (5, 3, 0), (5, 4, 4)]
)
def test_prepared_vessels_are_used_by_their_last_day(day: int, last_day: int, made: int) -> None:
    plan = solve(ordered_on(day, last_day=last_day), time_limit_s=5.0)
    assert sum(start.count for start in plan.starts) == made


@pytest.mark.parametrize(("cooks_on", "made"), [(3, 4), (2, 0), (1, 0)])
def test_cooked_straw_waits_a_day_and_no_longer(cooks_on: int, made: int) -> None:
    """A start on day 4 is served by a cook on day 3: pasteurised straw keeps a day."""
    plan = solve(ordered_on(5, last_day=-1, keeps=1, cooks_on=cooks_on), time_limit_s=5.0)
    assert sum(start.count for start in plan.starts) == made


def with_soaked_grain() -> FarmBook:
    """Return the farm whose grain is soaked 48 h, and cooked 22 h, before it is inoculated."""
    soak = Preparation("soak", 48.0, 0.2, 5.0, RoomKind.PREPARATION)
    cook = Preparation("cook", 22.0, 0.0, 0.0, RoomKind.STERILISER)
    book = grey()
    return replace(
        book,
        routes=tuple(
            replace(
                route,
                steps=tuple(
                    replace(step, preparations=(soak, cook)) if step.code == "grain" else step
                    for step in route.steps
                ),
            )
            for route in book.routes
        ),
    )


def grain_cooks(problem: Problem) -> set[int]:
    model = build_model(problem)
    (kind,) = {m.cook for r in problem.recipes for m in r.makings if m.step == "grain"}
    return {day for _, cook, day in model.n if cook == kind and day < 5}


def test_grain_that_is_not_in_the_soak_is_not_cooked_today() -> None:
    """26 h before a loading at 10:30 is yesterday morning."""
    book = with_soaked_grain()
    dry, _ = build_problem(book, living(), TODAY)
    ((kind, mix),) = {(m.cook, m.mix) for r in dry.recipes for m in r.makings if m.step == "grain"}
    assert dry.resources.first_cook_day(kind, mix) == 1
    assert 0 not in grain_cooks(dry)
    assert 1 in grain_cooks(dry)
    soaked, _ = build_problem(book, living(), TODAY, begun=[Begun(kind, 40.0, 0, 1, mix)])
    assert 0 in grain_cooks(soaked)


@pytest.mark.parametrize("soaked", [0.0, 3.0, 9.0, 20.0])
def test_no_more_is_cooked_today_than_was_soaked_for_it(soaked: float) -> None:
    """Ten jars are sold on a day that only a cook of today can serve."""
    jars = Making(
        "grain", Stage.GRAIN, 5, 10, 1.0, (1, 2), unit_cost=1.0, short_cost=50.0, cook="grain",
        litres=2.0,
    )  # fmt: skip
    kettle = SteriliserDays(
        "kettle", (CookOption("grain", 5.0, 300.0, cost=1.0),), (9.0,) * 12, (1.0,) * 12
    )
    problem = Problem(
        start=TODAY,
        days=12,
        whole_days=12,
        recipes=(Recipe("v", "V", 12, (jars,), None),),
        orders=(Order("p", "b", "v", 6, 10.0, "unit", "grain"),),
        resources=Resources(
            sterilisers=(kettle,),
            is_sterile_counted=True,
            first_cook=(FirstCook("grain", 1),),
            begun=(Begun("grain", soaked * jars.litres, 0, 1),),
        ),
        weights=Weights(culture_missing=0.0, end_missing=0.0),
    )
    plan = solve(problem, time_limit_s=5.0)
    made = sum(start.count for start in plan.starts if start.day == TODAY + timedelta(days=1))
    assert made == pytest.approx(min(soaked, 10.0))
    assert sum(short.amount for short in plan.short) == pytest.approx(10.0 - made)


@pytest.mark.parametrize("soaked", [0.0, 8.0])
def test_what_stands_in_the_soak_is_cooked(soaked: float) -> None:
    """Jars that do as well from a cook of day 3 are made sooner, if their grain is soaked."""
    jars = Making(
        "grain", Stage.GRAIN, 5, 10, 1.0, (1, 2, 4), unit_cost=1.0, hold_cost=0.02,
        short_cost=50.0, cook="grain", litres=2.0,
    )  # fmt: skip
    kettle = SteriliserDays(
        "kettle", (CookOption("grain", 5.0, 300.0, cost=1.0),), (9.0,) * 14, (1.0,) * 14
    )
    problem = Problem(
        start=TODAY,
        days=14,
        whole_days=14,
        recipes=(Recipe("v", "V", 14, (jars,), None),),
        orders=(Order("p", "b", "v", 10, 8.0, "unit", "grain"),),
        resources=Resources(
            sterilisers=(kettle,),
            is_sterile_counted=True,
            begun=(Begun("grain", soaked * jars.litres, 0, 1),),
            sterile_keeps_days=0,
        ),
        weights=Weights(culture_missing=0.0, end_missing=0.0),
    )
    plan = solve(problem, time_limit_s=5.0)
    days = {(start.day - TODAY).days for start in plan.starts}
    assert days <= ({1, 2} if soaked else {4}), "cooked today or tomorrow: it keeps a day"
    assert sum(start.count for start in plan.starts) == 8.0


def test_a_soak_falls_on_the_last_day_that_somebody_works() -> None:
    """After a day off, grain for the next cook had to go into the soak before it, not on it."""
    monday = TODAY + timedelta(days=(7 - TODAY.weekday()) % 7)
    book = with_soaked_grain()
    sunday = monday - timedelta(days=1)
    problem, _ = build_problem(book, living(), sunday)
    ((kind, mix),) = {
        (m.cook, m.mix) for r in problem.recipes for m in r.makings if m.step == "grain"
    }
    assert problem.resources.first_cook_day(kind, mix) == 2, "Monday's was to be soaked on Saturday"


def test_starts_before_the_first_possible_cook_say_what_they_assume() -> None:
    book = with_soaked_grain()
    problem, _ = build_problem(book, living(), TODAY)
    making = next(m for r in problem.recipes for m in r.makings if m.step == "grain")
    soon = [day for day in range(6) if assumes_prepared(problem, making, day)]
    assert soon == list(range(making.cook_days_before + 1))


@pytest.mark.parametrize(("cook_cost", "days"), [(0.1, {0, 1}), (1.0, {1})])
def test_what_was_begun_for_a_day_is_cooked_on_that_day(cook_cost: float, days: set[int]) -> None:
    """Half of the jars stand in the soak for today; they wait a day only to save a dear cook."""
    jars = Making(
        "grain", Stage.GRAIN, 5, 10, 1.0, (1, 2), unit_cost=1.0, short_cost=50.0, cook="grain",
        litres=2.0,
    )  # fmt: skip
    kettle = SteriliserDays(
        "kettle", (CookOption("grain", 5.0, 300.0, cost=cook_cost),), (9.0,) * 14, (1.0,) * 14
    )
    problem = Problem(
        start=TODAY,
        days=14,
        whole_days=14,
        recipes=(Recipe("v", "V", 14, (jars,), None),),
        orders=(Order("p", "b", "v", 10, 8.0, "unit", "grain"),),
        resources=Resources(
            sterilisers=(kettle,),
            is_sterile_counted=True,
            first_cook=(FirstCook("grain", 1),),
            begun=(Begun("grain", 8.0, 0, 1),),
            sterile_keeps_days=0,
        ),
        weights=Weights(culture_missing=0.0, end_missing=0.0),
    )
    plan = solve(problem, time_limit_s=5.0)
    assert {(cook.day - TODAY).days for cook in plan.cooks} == days
    assert sum(start.count for start in plan.starts) == 8.0
