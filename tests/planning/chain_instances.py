"""The published form ``chain-lot-sizing/1`` as a planning problem: all whole, nothing soft."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

from pinset.chain.stages import Stage
from pinset.planning.problem import Order, Problem, Weights
from pinset.planning.recipes import Arc, Making, Recipe
from pinset.planning.resources import Resources

FOLDER = Path(__file__).parents[1] / "reference" / "planning"
NO_WISHES = Weights(culture_missing=0.0, end_missing=0.0)


def read(name: str) -> dict[str, Any]:
    return json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))


def chain_problem(instance: dict[str, Any]) -> Problem:
    """Return a chain instance: bench minutes per unit, whole parents, no end stock."""
    days = instance["periods"]
    bench = instance["bench_minutes"]
    recipes = []
    orders = []
    for number, recipe in enumerate(instance["recipes"]):
        makings = []
        for level, stage in enumerate(recipe["stages"]):
            goes = stage["units_per_parent"]
            makings.append(
                Making(
                    step=f"level-{level}",
                    stage=Stage.GRAIN,
                    lead_days=stage["lead"],
                    window_days=stage["window"],
                    usable=(100 - stage["loss_pct"]) / 100,
                    start_days=tuple(range(days)),
                    arcs=(Arc(f"level-{level - 1}", goes),) if level else (),
                    largest_batch=max(bench) // stage["minutes_per_unit"],
                    unit_cost=stage["unit_cost"],
                    batch_cost=stage["setup_cost"],
                    hold_cost=stage["hold_cost"],
                    short_cost=instance["shortage_cost"],
                    bench_minutes=stage["minutes_per_unit"],
                )
            )
        recipes.append(Recipe(f"recipe-{number}", f"Recipe {number}", days, tuple(makings)))
        orders += [
            Order(
                f"order-{number}",
                "buyer",
                f"recipe-{number}",
                day,
                amount,
                "unit",
                makings[-1].step,
            )
            for day, amount in enumerate(recipe["demand"])
            if amount
        ]
    return Problem(
        start=date(2026, 3, 2),
        days=days,
        whole_days=days,
        recipes=tuple(recipes),
        orders=tuple(orders),
        resources=Resources(bench_minutes=tuple(float(minutes) for minutes in bench)),
        weights=NO_WISHES,
        whole_parent_days=days,
        has_end_stock=False,
        every_day=True,
    )


def single_level_problem(instance: dict[str, Any]) -> Problem:
    """Return a single-item instance: lead 0, a set-up cost for each period, all demand met."""
    days = instance["periods"]
    making = Making(
        step="item",
        stage=Stage.GRAIN,
        lead_days=0,
        window_days=days,
        usable=1.0,
        start_days=tuple(range(days)),
        largest_batch=sum(instance["demand"]),
        batch_cost_by_day=tuple(float(cost) for cost in instance["setup_cost"]),
        hold_cost=instance["holding_cost"],
        short_cost=1000.0,
    )
    return Problem(
        start=date(2026, 3, 2),
        days=days,
        whole_days=days,
        recipes=(Recipe("item", "Item", days, (making,)),),
        orders=tuple(
            Order("order", "buyer", "item", day, amount, "unit", "item")
            for day, amount in enumerate(instance["demand"])
        ),
        weights=NO_WISHES,
        whole_parent_days=days,
        has_end_stock=False,
        every_day=True,
    )
