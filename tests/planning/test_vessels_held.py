"""A vessel is held from its filling until it is emptied, whichever start it was filled for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from pinset.chain.stages import Stage
from pinset.planning.building.from_book import build_problem
from pinset.planning.plan import Plan
from pinset.planning.problem import Order, Problem, Stock, Weights
from pinset.planning.recipes import Making, Recipe
from pinset.planning.resources import (
    CookOption,
    Resources,
    Sterile,
    SteriliserDays,
    VesselCount,
)
from pinset.planning.solve import solve
from planning.six_varieties import TODAY, six_variety_book, six_variety_stock
from planning.vessel_replay import held_when_filled

DAYS = 9
STARTS = (1, 2, 3, 4)
COOKS = (0, 1, 2, 3)
LEAD = 2
KEEPS = 2  # days beyond the latest cook
JARS_A_COOK = 3
COOK_COST = 2.0
NEARLY = 1e-3


def jar_farm(
    *,
    jars: float,
    orders: dict[int, float],
    cook_days: set[int],
    starts: tuple[int, ...] = STARTS,
    jars_a_cook: int = JARS_A_COOK,
    keeps: int = KEEPS,
    days: int = DAYS,
    stock: tuple[Stock, ...] = (),
    sterile: tuple[Sterile, ...] = (),
) -> Problem:
    """Return grain jars sold as units, cooked the day before their start at the latest."""
    grain = Making(
        "grain", Stage.GRAIN, LEAD, 6, 1.0, starts, unit_cost=1.0, short_cost=20.0,
        largest_batch=12.0, cook="grain", litres=2.0, mix="rye in jar", vessel="jar",
    )  # fmt: skip
    option = CookOption("grain", 5.0, 2.0 * jars_a_cook, cost=COOK_COST)
    hours = tuple(5.0 if day in cook_days else 0.0 for day in range(days))
    return Problem(
        start=TODAY,
        days=days,
        whole_days=days,
        recipes=(Recipe("v", "V", days, (grain,)),),
        orders=tuple(
            Order("o", "b", "v", day, units, "unit", "grain", units)
            for day, units in orders.items()
            if units
        ),
        stock=stock,
        resources=Resources(
            sterilisers=(SteriliserDays("s", (option,), hours, (1.0,) * days),),
            sterile=sterile,
            is_sterile_counted=True,
            sterile_keeps_days=keeps,
            vessels=(VesselCount("jar", jars),),
        ),
        weights=Weights(culture_missing=0.0, end_missing=0.0),
        has_end_stock=False,
        every_day=True,
    )


def every_filling(problem: Problem) -> Iterator[tuple[int, ...]]:
    """Yield how many jars each cook may be filled with."""
    hours = problem.resources.sterilisers[0].hours
    return product(*(range(JARS_A_COOK + 1 if hours[day] else 1) for day in COOKS))


def is_kept(filled: tuple[int, ...], started: tuple[int, ...]) -> bool:
    """Say whether each start has its jars, of a cook that is neither too late nor too old."""
    pile: list[list[int]] = []
    for day in range(DAYS):
        wanted = started[STARTS.index(day)] if day in STARTS else 0
        for jars in pile:
            if jars[0] <= day - 1 and day <= jars[0] + 1 + KEEPS:
                taken = min(wanted, jars[1])
                jars[1] -= taken
                wanted -= taken
        if wanted:
            return False
        if day in COOKS:
            pile.append([day, filled[COOKS.index(day)]])
    return all(left == 0 for _, left in pile)  # no more are filled than are used


def cost_of(problem: Problem, filled: tuple[int, ...], started: tuple[int, ...]) -> float | None:
    """Return what it costs; None if on some day more is filled than stands empty that morning."""
    orders = {order.day: order.amount for order in problem.orders}
    held = ready = 0.0
    cost = sum(COOK_COST for jars in filled if jars) + sum(started)
    for day in range(DAYS):
        full = filled[COOKS.index(day)] if day in COOKS else 0
        if held + full > problem.resources.vessels[0].count:
            return None
        held += full
        begun = day - LEAD
        ready += started[STARTS.index(begun)] if begun in STARTS else 0
        sold = min(ready, orders.get(day, 0.0))
        ready -= sold
        held -= sold
        cost += 20.0 * (orders.get(day, 0.0) - sold)
    return cost


@pytest.mark.parametrize("seed", range(10))
def test_nothing_better_exists_with_the_jars_there_are(seed: int) -> None:
    rng = np.random.default_rng(seed)
    problem = jar_farm(
        jars=float(rng.integers(2, 6)),
        orders={day: float(rng.integers(0, 4)) for day in (3, 4, 5, 6)},
        cook_days={day for day in COOKS if rng.random() < 0.7} | {int(rng.integers(0, 4))},
    )
    costs = [
        cost
        for filled in every_filling(problem)
        for started in product(range(5), repeat=len(STARTS))
        if sum(filled) == sum(started) and is_kept(filled, started)
        if (cost := cost_of(problem, filled, started)) is not None
    ]
    plan = solve(problem, time_limit_s=20.0, gap=0.0)
    assert plan.objective == pytest.approx(min(costs), abs=0.01)
    expect_enough_jars(problem, plan)


def expect_enough_jars(problem: Problem, plan: Plan) -> float:
    """Check every near day, and return the most that is held when a cook has been filled.

    After the first days the plan reckons with half a parent more than each batch opens on paper.
    """
    (jars,) = problem.resources.vessels
    most = 0.0
    for day, (morning, filled) in held_when_filled(problem, plan, jars.code).items():
        batches = sum(
            problem.whole_parent_days <= (start.day - problem.start).days < day
            for start in plan.starts
            if start.parents
        )
        if filled > NEARLY:
            assert morning + filled <= jars.count + 0.5 * batches + NEARLY, day
            most = max(most, morning + filled)
    return most


def test_a_cook_for_two_starts_holds_the_jars_of_both() -> None:
    """Ten jars, six full until day 4: a cook on day 1 fills four, though the later start is far."""
    problem = jar_farm(
        jars=10.0,
        orders={4: 6.0, 5: 3.0, 8: 6.0},
        cook_days={1},
        starts=(2, 5),
        jars_a_cook=9,
        keeps=3,
        stock=(Stock("G1", "v", "grain", 6.0, -1, 8),),
    )
    plan = solve(problem, time_limit_s=10.0, gap=0.0)
    assert sum(start.count for start in plan.starts) == 4.0
    assert sum(each.litres for cook in plan.cooks for each in cook.filled) == pytest.approx(8.0)


def test_a_later_cook_fills_what_the_first_one_cannot() -> None:
    """With a cook on day 5, too, when the six are sold, nothing is short."""
    problem = jar_farm(
        jars=10.0,
        orders={4: 6.0, 5: 3.0, 8: 6.0},
        cook_days={1, 5},
        starts=(2, 6),
        jars_a_cook=9,
        keeps=4,
        stock=(Stock("G1", "v", "grain", 6.0, -1, 8),),
    )
    plan = solve(problem, time_limit_s=10.0, gap=0.0)
    assert not plan.short
    filled = {
        (cook.day - TODAY).days: each.litres / 2.0 for cook in plan.cooks for each in cook.filled
    }
    assert filled == {1: pytest.approx(3.0), 5: pytest.approx(6.0)}


@pytest.mark.parametrize(("last_day", "fit"), [(8, 2.0), (2, 6.0)])
def test_jars_that_stand_cooked_and_unused_are_held_while_they_keep(
    last_day: int, fit: float
) -> None:
    """Six jars, four of them cooked for something else."""
    problem = jar_farm(
        jars=6.0,
        orders={8: 6.0},
        cook_days={4},
        starts=(5,),
        jars_a_cook=9,
        sterile=(Sterile("grain", 8.0, last_day, 0, "millet in jar"),),
    )
    other = replace(problem.recipes[0].makings[0], step="other", mix="millet in jar", start_days=())
    recipes = (*problem.recipes, Recipe("w", "W", DAYS, (other,)))
    plan = solve(replace(problem, recipes=recipes), time_limit_s=10.0, gap=0.0)
    assert sum(start.count for start in plan.starts) == fit


def test_jars_that_stand_cooked_are_used_though_all_are_full() -> None:
    problem = jar_farm(
        jars=4.0,
        orders={5: 4.0},
        cook_days=set(),
        sterile=(Sterile("grain", 8.0, 8, 0, "rye in jar"),),
    )
    plan = solve(problem, time_limit_s=10.0, gap=0.0)
    assert not plan.short


def test_vessels_of_one_kind_do_not_serve_another() -> None:
    """A cook takes jars and bags; there are two jars, and bags never run out."""
    problem = jar_farm(jars=2.0, orders={6: 4.0}, cook_days={3}, jars_a_cook=9)
    (jars,) = problem.recipes[0].makings
    bags = replace(jars, mix="rye in bag", vessel="")
    order = Order("p", "b", "w", 6, 4.0, "unit", "grain", 4.0)
    problem = replace(
        problem,
        recipes=(*problem.recipes, Recipe("w", "W", DAYS, (bags,))),
        orders=(*problem.orders, order),
    )
    plan = solve(problem, time_limit_s=10.0, gap=0.0)
    made = dict.fromkeys(("v", "w"), 0.0)
    for start in plan.starts:
        made[start.variety] += start.count
    assert made == {"v": 2.0, "w": 4.0}


@pytest.mark.parametrize("jars", [60, 110])
def test_a_whole_farm_never_fills_more_jars_than_stand_empty(jars: int) -> None:
    book = six_variety_book()
    vessels = tuple(
        replace(each, in_circulation=jars) if each.code == "jar" else each for each in book.vessels
    )
    problem, _ = build_problem(
        replace(book, vessels=vessels), six_variety_stock(), TODAY, assume_prepared=False
    )
    plan = solve(problem, time_limit_s=15.0, gap=0.03)
    assert expect_enough_jars(problem, plan) > 0.8 * jars, "or jars are no limit"
