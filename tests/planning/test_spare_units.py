"""Units that are sold are planned with some to spare, as kilograms are."""

from __future__ import annotations

from dataclasses import replace
from math import comb

import pytest

from pinset.chain.register import Spread
from pinset.chain.stages import Stage
from pinset.planning.problem import Order, Problem
from pinset.planning.recipes import Making, Recipe
from pinset.planning.season.chances import chances_of
from pinset.planning.season.odds import Odds, Phase, VarietyOdds
from pinset.planning.season.tuning import tune, with_spare
from pinset.planning.solve import solve
from planning.six_varieties import TODAY

LOSS = 0.1
SOLD = 20.0
LEAD = 7


def seller(*days: int, keeps: int = 5) -> Problem:
    """Return a lab that sells 20 jars on some days and may start any number on any day."""
    grain = Making(
        "grain", Stage.GRAIN, LEAD, keeps, 1.0 - LOSS, tuple(range(40)), unit_cost=1.0,
        short_cost=50.0, hold_cost=0.01,
    )  # fmt: skip
    orders = tuple(
        Order(f"p{day}", "a kitchen", "rye", day, SOLD, "unit", "grain", SOLD) for day in days
    )
    recipe = Recipe("rye", "Rye", 40, (grain,))
    return Problem(TODAY, 40, 21, (recipe,), orders, has_end_stock=False)


def odds() -> Odds:
    fixed = Phase(Spread(LEAD, LEAD, LEAD), Spread(LOSS, LOSS, LOSS))
    return Odds({"rye": VarietyOdds({"grain": (fixed,)})})


def enough(started: int) -> float:
    """Return the chance that of so many jars 20 are left, each lost with chance 0.1."""
    return sum(
        comb(started, left) * (1 - LOSS) ** left * LOSS ** (started - left)
        for left in range(int(SOLD), started + 1)
    )


def test_a_share_to_spare_is_started_beyond_what_is_sold() -> None:
    for share, started in ((0.0, 23.0), (0.2, 27.0)):  # 20 and 24 of 0.9
        problem = with_spare(seller(20), {("rye", "grain"): share})
        plan = solve(problem, time_limit_s=5.0)
        assert sum(each.count for each in plan.starts) == pytest.approx(started, abs=1.0)
        assert not plan.short


def test_what_keeps_to_the_next_order_is_spare_for_both() -> None:
    problem = with_spare(seller(15, 18, keeps=8), {("rye", "grain"): 0.5})
    plan = solve(replace(problem, whole_days=0), time_limit_s=5.0)
    assert sum(each.count for each in plan.starts) * (1 - LOSS) == pytest.approx(2 * SOLD + 10.0)
    apart = with_spare(seller(10, 30, keeps=8), {("rye", "grain"): 0.5})
    plan = solve(replace(apart, whole_days=0), time_limit_s=5.0)
    assert sum(each.count for each in plan.starts) * (1 - LOSS) == pytest.approx(2 * SOLD + 20.0)


def test_spare_never_goes_before_a_promise() -> None:
    problem = with_spare(seller(20), {("rye", "grain"): 0.5})
    few = replace(problem.recipes[0].makings[0], start_days=(13,), largest_batch=22.0)
    problem = replace(problem, recipes=(replace(problem.recipes[0], makings=(few,)),))
    plan = solve(problem, time_limit_s=5.0)
    [short] = plan.short
    assert short.amount == pytest.approx(SOLD - 22.0 * (1 - LOSS), abs=1e-6)


def test_the_chance_of_units_is_that_of_the_binomial_table() -> None:
    problem = with_spare(seller(20), {("rye", "grain"): 0.2})
    plan = solve(problem, time_limit_s=5.0)
    [order] = chances_of(problem, plan, odds(), seasons=8000, seed=2).orders
    started = round(sum(each.count for each in plan.starts))
    assert order.chance == pytest.approx(enough(started), abs=0.02)


def test_the_least_share_that_makes_units_sure_is_taken() -> None:
    problem = seller(12, 19, 26)
    tuning = tune(problem, odds(), wanted=0.95, time_limit_s=5.0)
    [tuned] = tuning.varieties
    assert (tuned.variety, tuned.step) == ("rye", "grain")
    assert tuned.is_reached
    assert tuned.chances[0] < 0.95 <= tuned.chance
    assert tuning.shares == {("rye", "grain"): tuned.share}
