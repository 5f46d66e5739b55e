"""Vessels are filled before the steriliser is loaded, and a morning is only so long."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pinset.chain.register import CookKind, Preparation, RoomKind, Steriliser, Worker
from pinset.chain.stages import Stage
from pinset.planning.building.from_book import build_problem
from pinset.planning.problem import Order, Problem
from pinset.planning.recipes import Making, PrepTime, Recipe
from pinset.planning.resources import CookOption, Loading, Resources, SteriliserDays
from pinset.planning.solve import solve
from planning.six_varieties import TODAY, six_variety_book

DAYS = 30


def jars(*, minutes: float, wanted: float = 180.0) -> Problem:
    """Return an order for jars that take two minutes each to fill, on the day of their cook."""
    grain = Making(
        "grain",
        Stage.GRAIN,
        6,
        12,
        1.0,
        tuple(range(DAYS)),
        cook="grain",
        litres=1.0,
        batch_cost=0.5,
        unit_cost=1.0,
        short_cost=50.0,
        preparations=(PrepTime(1, 2.0, 0.0, is_before_loading=True),),
    )
    return Problem(
        start=TODAY,
        days=DAYS,
        whole_days=21,
        recipes=(Recipe("rye", "rye", DAYS, (grain,)),),
        orders=(Order("p", "a kitchen", "rye", 14, wanted, "unit", "grain", wanted),),
        resources=Resources(
            sterilisers=(
                SteriliserDays("s", (CookOption("grain", 5.0, 400.0, cost=1.0),), (8.0,) * DAYS,
                               (1.0,) * DAYS),
            ),
            is_sterile_counted=True,
            loadings=(Loading("grain", (minutes,) * DAYS),),
        ),
        has_end_stock=False,
    )  # fmt: skip


def test_a_batch_too_large_for_one_morning_is_spread() -> None:
    plan = solve(jars(minutes=150.0), time_limit_s=5.0)
    assert sum(start.count for start in plan.starts) == pytest.approx(180.0)
    assert max(start.count for start in plan.starts) <= 75.0, "150 min at 2 min each"


def test_with_time_enough_it_stays_one_batch() -> None:
    plan = solve(jars(minutes=400.0), time_limit_s=5.0)
    assert [start.count for start in plan.starts] == [180.0]


def test_what_cannot_be_spread_is_made_all_the_same() -> None:
    """Better rushed than not delivered; Today says when it would end."""
    plan = solve(jars(minutes=10.0, wanted=300.0), time_limit_s=5.0)
    assert not plan.short


def test_minutes_run_from_the_start_of_the_day_to_the_last_loading() -> None:
    book = six_variety_book()
    machine = Steriliser("s", "S", "bay", (CookKind("block", 5.0, 60, 90, 150.0),), 11.0, 2, 1.4)
    worker = Worker("w", "W", (4.0,) * 7)
    book = replace(
        book,
        farm=replace(book.farm, day_starts="07:30"),
        sterilisers=(replace(machine, load_at="10:30"),),
        workers=(worker, replace(worker, code="v", hours=(8.0,) * 7)),
    )
    (loading,) = build_problem(book, (), TODAY)[0].resources.loadings
    # twice a day: 10:30 and 15:30; the first is there 4 h of these 8, the other all of them
    assert (loading.cook, loading.minutes[0]) == ("block", 60.0 * (4.0 + 8.0))
    once = replace(book, sterilisers=(replace(book.sterilisers[0], cooks_per_day=1),))
    (loading,) = build_problem(once, (), TODAY)[0].resources.loadings
    assert loading.minutes[0] == 60.0 * (3.0 + 3.0)


def test_only_what_is_done_on_the_cook_s_day_counts() -> None:
    """Grain is soaked 48 h before it is inoculated, and filled 24 h, two before its cook."""
    book = six_variety_book()
    tasks = (
        Preparation("soak", 48.0, 0.2, 5.0, RoomKind.PREPARATION),
        Preparation("fill", 24.0, 2.0, 10.0, RoomKind.PREPARATION),
        Preparation("cook", 22.0, 0.0, 40.0, RoomKind.STERILISER),
        Preparation("cool", 16.0, 0.0, 5.0, RoomKind.LABORATORY),
    )
    routes = tuple(
        replace(
            route,
            steps=tuple(
                replace(step, preparations=tasks) if step.code == "grain" else step
                for step in route.steps
            ),
        )
        for route in book.routes
    )
    problem, _ = build_problem(replace(book, routes=routes), (), TODAY)
    making = next(m for r in problem.recipes for m in r.makings if m.step == "grain")
    assert [prep.is_before_loading for prep in making.preparations] == [False, True, False]
