"""What leaves before today is picked gets what lies in the store, and nothing picked today."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pinset.planning.outlets.surplus import left_of_promises
from pinset.planning.plan import Plan
from pinset.planning.problem import IN_STORE, InRoom, InStore, Order, Problem
from pinset.planning.recipes import Picking, Recipe
from pinset.planning.season.chances import chances_of
from pinset.planning.season.odds import Odds
from pinset.planning.solve import solve
from planning.six_varieties import TODAY

ORDER = Order("stall", "The stall", "grey", IN_STORE, 4000.0, due_after=1)
PROBLEM = Problem(
    start=TODAY,
    days=14,
    whole_days=7,
    recipes=(Recipe("grey", "Grey oyster", 14, (), picked_keeps_days=4),),
    orders=(ORDER,),
    in_rooms=(InRoom("A", "grey", "north", 10.0, 10.0, 3, (Picking(0, 5000.0),)),),
    store=(InStore("grey", 3000.0, 2),),
)


def planned(problem: Problem) -> Plan:
    return solve(problem, time_limit_s=5.0)


def test_the_plan_says_what_is_short_of_an_early_hour_today() -> None:
    plan = planned(PROBLEM)
    [short] = plan.short
    assert (short.promise, short.day) == ("stall", TODAY)
    assert short.amount == pytest.approx(1000.0)
    later = replace(PROBLEM, orders=(replace(ORDER, day=0, due_after=0),))
    assert planned(later).short == (), "at its usual hour today's picking is in it"


def test_seasons_leave_todays_picking_out_of_it() -> None:
    plan = planned(PROBLEM)
    [chance] = chances_of(PROBLEM, plan, Odds({}, {}), seasons=50).orders
    assert (chance.day, chance.chance) == (TODAY, 0.0)
    assert chance.expected == pytest.approx(3000.0)
    assert chance.lacking == pytest.approx(1000.0)


def test_what_is_picked_today_is_left_for_what_is_promised_later() -> None:
    both = replace(PROBLEM, orders=(ORDER, replace(ORDER, promise="shop", day=2, due_after=0)))
    plan = planned(both)
    assert [short.promise for short in plan.short] == ["stall"]
    found = {each.promise: each for each in chances_of(both, plan, Odds({}, {}), seasons=50).orders}
    assert found["shop"].chance == 1.0
    crops = left_of_promises(both, plan)
    assert [(crop.day, crop.grams) for crop in crops] == [(0, pytest.approx(1000.0))]
