"""Units that stand ready go to the promise that is due first, whatever is promised after it.

Days and numbers are made up and few enough to be reckoned by hand.
"""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from pinset.chain.register import RoomKind
from pinset.chain.stages import Stage
from pinset.planning.model.model import build_model
from pinset.planning.model.programme import THREADS, run
from pinset.planning.plan import Plan
from pinset.planning.problem import Order, Problem, Stock
from pinset.planning.recipes import Making, Recipe
from pinset.planning.resources import ColdKeeping, ColdPlaces, Resources, RoomPlaces
from pinset.planning.search.first_due import to_the_first_due
from pinset.planning.season.tuning import with_spare
from pinset.planning.solve import solve
from planning.six_varieties import TODAY

SOLD = 10.0
THURSDAYS = (3, 10, 17)
LASTS, LASTS_COLD = 5, 30


def ready(units: float, last_day: int, *, may_be_carried: bool = False) -> Stock:
    cold = ColdKeeping("fridge", LASTS_COLD, 1.0) if may_be_carried else None
    return Stock("L", "shii", "block", units, -1, last_day, alive=units, cold=cold)


def seller(*stock: Stock, spare: float = 0.1, days: Sequence[int] = THURSDAYS) -> Problem:
    """Return a farm that sells ten blocks on some days and can make no new ones in time."""
    block = Making(
        "block", Stage.BLOCK, 35, 5, 1.0, (), short_cost=50.0, unit_cost=1.0, hold_cost=0.01
    )
    orders = tuple(
        Order(f"p{day}", "a shop", "shii", day, SOLD, "unit", "block", SOLD) for day in days
    )
    resources = Resources(
        cold=(ColdPlaces("fridge", 50.0, "Fridge"),), places=(RoomPlaces(RoomKind.COLD, 50.0),)
    )
    problem = Problem(
        TODAY, 28, 21, (Recipe("shii", "Shiitake block", 28, (block,)),), orders, stock,
        has_end_stock=False, resources=resources,
    )  # fmt: skip
    return with_spare(problem, {("shii", "block"): spare})


def short_of(plan: Plan) -> dict[int, float]:
    return {(each.day - TODAY).days: each.amount for each in plan.short}


@pytest.mark.parametrize("spare", [0.0, 0.1, 0.5])
@pytest.mark.parametrize(
    ("units", "short"),
    [
        (14.0, {10: 6.0, 17: 10.0}),
        (9.0, {3: 1.0, 10: 10.0, 17: 10.0}),
        (25.0, {17: 5.0}),
        (34.0, {}),
    ],
)
def test_what_is_there_is_handed_over_as_it_is_promised(
    spare: float, units: float, short: dict[int, float]
) -> None:
    plan = solve(seller(ready(units, LASTS_COLD), spare=spare), time_limit_s=5.0)
    assert short_of(plan) == pytest.approx(short, abs=1e-4)


def test_nothing_is_carried_into_the_cold_that_the_next_promise_takes() -> None:
    """Ten in the warm go on day 3, four that are cold already on day 10."""
    warm, cold = ready(10.0, LASTS, may_be_carried=True), ready(4.0, LASTS_COLD)
    plan = solve(seller(warm, cold), time_limit_s=5.0)
    assert short_of(plan) == pytest.approx({10: 6.0, 17: 10.0}, abs=1e-4)
    assert plan.kept_cold == ()


def test_what_a_later_promise_takes_is_carried_all_the_same() -> None:
    warm = ready(14.0, LASTS, may_be_carried=True)
    plan = solve(seller(warm), time_limit_s=5.0)
    assert short_of(plan) == pytest.approx({10: 6.0, 17: 10.0}, abs=1e-4)
    [carried] = plan.kept_cold
    assert carried.units == pytest.approx(4.0)


def test_where_nothing_is_short_the_plan_is_left_as_it_is() -> None:
    model = build_model(seller(ready(34.0, LASTS_COLD)))
    values = run(model.programme, time_limit_s=5.0).values
    assert values is not None
    assert to_the_first_due(model, values, time_limit_s=5.0, threads=THREADS) is values


def test_what_is_decided_stays_and_no_more_is_short_than_before() -> None:
    model = build_model(seller(ready(14.0, LASTS_COLD), spare=0.5))
    values = run(model.programme, time_limit_s=5.0).values
    assert values is not None
    found = to_the_first_due(model, values, time_limit_s=5.0, threads=THREADS)
    short = list(model.short.values())
    assert sum(found[short]) == pytest.approx(sum(values[short]))
    assert found[list(model.x.values())] == pytest.approx(values[list(model.x.values())])
    assert values[model.short[0, "block", 10, 10]] > 6.5  # held back: spare beside it, until day 17
    assert found[model.short[0, "block", 10, 10]] == pytest.approx(6.0)
