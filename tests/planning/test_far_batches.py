"""Least batches of far weeks: started whole or not at all, and told so to the seasons."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from pinset.chain.register import Promise, Spread, Weekday
from pinset.planning.building.from_book import build_problem
from pinset.planning.model.model import build_model
from pinset.planning.plan import Plan
from pinset.planning.problem import Problem
from pinset.planning.search import far_batches
from pinset.planning.search.search import search
from pinset.planning.season.chances import chances_of
from pinset.planning.season.odds import odds_of
from pinset.planning.season.tuning import with_spare
from pinset.planning.solve import solve
from planning.simulator import replay
from planning.small_farm import BLOCK, FRUITING, SPAWN, bought_route, small_farm

MONDAY = date(2026, 3, 2)
LEAST = 12
"""Bags of spawn; a week's blocks want two or three, and they keep four weeks in the cold."""


def small(least: int = LEAST, kg: int = 4) -> tuple[Problem, Plan]:
    """Return a farm that buys spawn by so many, for so much every Friday, and its plan."""
    _, problem = small_problem(least, kg)
    return problem, solve(problem, time_limit_s=20.0)


def small_problem(least: int, kg: int):  # noqa: ANN201  (a FarmBook and a Problem)
    steps = (
        replace(SPAWN, minimum_batch=least),
        replace(BLOCK, days=Spread(12, 14, 17), loss=Spread(0.02, 0.08, 0.2)),
        replace(FRUITING, days=Spread(6, 7, 9), yield_spread=0.12),
    )
    promise = Promise("weekly", "b", "bought", 1000 * kg, weekday=Weekday.FRI)
    book = replace(small_farm(replace(bought_route(), steps=steps)), promises=(promise,))
    problem, _ = build_problem(book, (), MONDAY)
    return book, with_spare(problem, {("bought", "picked"): 0.45})


def spawn(plan: Plan) -> dict[int, float]:
    return {
        (start.day - plan.start).days: start.count for start in plan.starts if start.step == "spawn"
    }


def test_far_weeks_buy_no_less_than_the_supplier_sells() -> None:
    problem, plan = small()
    bought = spawn(plan)
    far = [count for day, count in bought.items() if day >= problem.whole_days]
    assert len(far) >= 2, "the spawn of the near weeks keeps four weeks only"
    assert min(far) >= LEAST - 1e-6
    assert replay(problem, plan).missing_units == pytest.approx(0.0, abs=0.05)


def test_one_week_is_told_as_sure_as_the_next() -> None:
    """The farm is the same every week and buys more than it must; none of its Fridays is hopeless.

    In fractions two bags a week were planned, which nobody sells; the week in which the near bags
    are used up was told to be met in no season.
    """
    book, problem = small_problem(LEAST, 4)
    plan = solve(problem, time_limit_s=20.0)
    told = chances_of(problem, plan, odds_of(book, (), MONDAY), seasons=1000)
    later = [order.chance for order in told.orders if (order.day - MONDAY).days > 5 * 7]
    assert len(later) >= 8
    assert min(later) > 0.8
    assert max(later) - min(later) < 0.2


def test_near_days_first_is_a_plan_of_the_whole(monkeypatch: pytest.MonkeyPatch) -> None:
    """Held against everything sought together, which proves its bound."""
    _, problem = small_problem(LEAST, 4)
    model = build_model(problem)
    whole = search(model, time_limit_s=30.0, gap=0.0, threads=2)
    monkeypatch.setattr(far_batches, "FEW", 0)
    found = search(model, time_limit_s=30.0, gap=0.0, threads=2)
    assert found.values is not None
    assert whole.objective * (1.0 - 1e-6) <= found.objective <= whole.objective * 1.05
    for column in far_batches.far_batches(model):
        assert min(abs(found.values[column]), abs(found.values[column] - 1.0)) < 1e-6


def test_far_weeks_stay_rough_where_whole_batches_are_not_found(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(far_batches, "FEW", 0)
    monkeypatch.setattr(far_batches, "GOOD", -1.0)
    problem, plan = small()
    assert plan.status == "proven"
    assert 0.0 < min(count for day, count in spawn(plan).items() if day >= problem.whole_days) < 11


def test_batches_far_above_the_least_need_no_whole_numbers() -> None:
    _, problem = small_problem(2, 40)
    assert not far_batches.far_batches(build_model(problem))
    _, seldom = small_problem(LEAST, 4)
    days = {key[2] for key in build_model(seldom).s}
    assert max(days) > seldom.whole_days + 7


def test_no_plan_in_time_leaves_far_batches_open(monkeypatch: pytest.MonkeyPatch) -> None:
    """The near days start nothing then; what far weeks begin is not forbidden with them."""
    _, problem = small_problem(LEAST, 4)

    def none(model, **_given):  # noqa: ANN001, ANN003, ANN202
        del model
        return far_batches.Outcome(None, 1e30, -1e30, 1e30, is_proven=False, seconds=0.0)

    monkeypatch.setattr("pinset.planning.solve.search", none)
    plan = solve(problem, time_limit_s=20.0)
    assert all(day >= problem.whole_days for day in spawn(plan))
    assert spawn(plan)
