"""What was missed yesterday and is handed over today takes from what today's promises count on.

The small farm owes 5 kg every Wednesday; the store holds 7 kg and nothing grows.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from pinset.chain.register import Promise, Weekday
from pinset.planning.building.from_book import Picked, build_problem
from pinset.planning.building.owed import Owed
from pinset.planning.problem import Problem
from pinset.planning.season.chances import chances_of
from pinset.planning.season.odds import odds_of
from pinset.planning.solve import solve
from planning.test_outages import book

WEDNESDAY, TUESDAY = date(2026, 3, 18), date(2026, 3, 17)
MISSED = Promise("stall", "kitchen", "bought", 4000, weekday=Weekday.TUE)


def farm(*owed: Owed) -> Problem:
    stored = Picked("bought", WEDNESDAY, 7000.0)
    return build_problem(book(), (), WEDNESDAY, store=(stored,), owed=owed)[0]


def told(problem: Problem) -> tuple[float, float, tuple[str, ...]]:
    """Return how sure today's 5 kg are, what is short of all today, and who is judged today."""
    plan = solve(problem, time_limit_s=20.0)
    chances = chances_of(problem, plan, odds_of(book(), (), WEDNESDAY), seasons=200)
    mine = [each for each in chances.orders if each.day == WEDNESDAY]
    short = sum(each.amount for each in plan.short if each.day == WEDNESDAY)
    return mine[0].chance, short, tuple(each.promise for each in mine)


def test_what_is_owed_is_served_first_in_the_plan_and_in_the_seasons() -> None:
    assert told(farm()) == (1.0, 0.0, ("p",))
    chance, short, judged = told(farm(Owed(MISSED, TUESDAY, 4000.0)))
    assert chance == 0.0
    assert short == pytest.approx(2000.0)
    assert judged == ("p",), "what was due before is no promise of today"


def test_where_there_is_enough_for_both_today_stays_sure() -> None:
    assert told(farm(Owed(MISSED, TUESDAY, 1500.0)))[:2] == (1.0, 0.0)


@pytest.mark.parametrize("amount", [0.0, -1.0])
def test_nothing_open_is_no_order(amount: float) -> None:
    assert farm(Owed(MISSED, TUESDAY, amount)).orders == farm().orders


def test_units_that_the_route_does_not_make_are_left_out() -> None:
    units = replace(MISSED, measure="unit", step="gone")
    assert farm(Owed(units, TUESDAY, 3.0)).orders == farm().orders
    known = replace(units, step="block")
    assert farm(Owed(known, TUESDAY, 3.0)).orders[0].step == "block"
