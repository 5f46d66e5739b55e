"""Yesterday's plan as a start: it names every whole number, so that the solver only checks it.

Climates, weights and days are made up.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from pinset.chain.stages import Stage
from pinset.planning.model.model import build_model
from pinset.planning.model.programme import Change, run
from pinset.planning.model.steady import start_values
from pinset.planning.problem import InRoom, Order, Problem, Stock
from pinset.planning.recipes import Fruiting, Making, Picking, Recipe
from pinset.planning.resources import GrowRoom, Resources
from pinset.planning.solve import solve

TODAY, DAYS = date(2026, 3, 2), 70


def recipe(variety: str, climate: str) -> Recipe:
    block = Making("block", Stage.BLOCK, 20, 10, 1.0, tuple(range(0, DAYS, 2)), unit_cost=1.0)
    fruiting = Fruiting(
        "fruiting", "block", tuple(range(DAYS)), 8, (Picking(7, 500.0),), ("g",), climate=climate
    )
    return Recipe(variety, variety, DAYS, (block,), fruiting)


def farm() -> Problem:
    """Return one room for two climates, wanted in turn in the near and in the far weeks."""
    orders = [("oyster", day) for day in (9, 36, 50)] + [("shiitake", day) for day in (19, 42, 58)]
    return Problem(
        start=TODAY,
        days=DAYS,
        whole_days=21,
        recipes=(recipe("oyster", "cool"), recipe("shiitake", "warm")),
        orders=tuple(
            Order(f"p-{day}", "market", variety, day, 4000.0 + 170.0 * day)
            for variety, day in orders
        ),
        stock=(
            Stock("O", "oyster", "block", 14.0, 0, 9, alive=14.0),
            Stock("S", "shiitake", "block", 15.0, 8, 17, alive=15.0),
        ),
        resources=Resources(rooms=(GrowRoom("g", 40.0, ("cool", "warm")),)),
        has_end_stock=False,
    )


def test_a_plan_as_a_start_names_every_whole_number_and_its_own_cost() -> None:
    problem = farm()
    plan = solve(problem, gap=0.0)
    assert plan.status == "proven"
    assert {each.climate for each in plan.climates} == {"cool", "warm"}
    model = build_model(problem)
    values = start_values(model, plan)
    missing = [n for n, whole in enumerate(model.programme.whole) if whole and n not in values]
    assert not missing
    held = run(model.programme, time_limit_s=10.0, change=Change(lower=values, upper=values))
    assert held.objective == pytest.approx(plan.objective, rel=1e-6)


def test_a_climate_that_cannot_be_kept_any_more_is_left_to_the_solver() -> None:
    problem = farm()
    plan = solve(problem, gap=0.0)
    picks = (Picking(10, 8000.0),)
    stands = InRoom("T", "shiitake", "g", 20.0, 20.0, 11, picks, "warm")
    model = build_model(replace(problem, in_rooms=(stands,)))
    values = start_values(model, plan)
    assert not set(model.climate.values()) & set(values)
    assert set(model.x.values()) & set(values)
