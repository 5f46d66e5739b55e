"""A season lived through with plans made anew: the farm of a later day is the farm of that day."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pinset.planning.plan import Plan
from pinset.planning.problem import Problem
from pinset.planning.season.draws import ByChance, Expected, seeded
from pinset.planning.season.farm import SeasonFarm
from pinset.planning.season.odds import Odds
from pinset.planning.season.plan import PlannedDays, planned_days
from pinset.planning.season.relived import live, problem_on
from pinset.planning.season.targets import Targets
from planning.test_season import CASE, farm
from planning.test_spare_units import seller


def test_as_expected_the_problem_of_a_later_day_bears_what_the_first_does() -> None:
    """Nothing of what stands, hangs or lies there is lost or doubled on the way."""
    case = replace(CASE, orders={18: 3000.0, 26: 2000.0})
    problem, plan, odds = farm(case)
    lived = SeasonFarm(problem, planned_days(problem, plan), odds, Expected(), Targets())
    for day in range(14):
        lived.live(day)
    later = problem_on(problem, lived, 14)
    assert later.start == problem.date_of(14)
    assert [order.day for order in later.orders] == [4, 12]
    assert later.stock == () or sum(lot.units for lot in later.stock) < 1.0
    grams = sum(pick.grams for room in later.in_rooms for pick in room.picks)
    moved = sum(case.moves.values())
    usable = min(moved, sum(case.starts.values()) * (1 - sum(case.loss) / 3))
    assert grams == pytest.approx(usable * sum(g for _, g, _ in case.curve), rel=0.03)


def test_new_plans_see_what_is_alive_and_the_season_goes_on() -> None:
    problem, plan, odds = farm(CASE)
    asked: list[Problem] = []

    def solve(now: Problem, before: Plan | None) -> Plan:
        assert before is not None
        asked.append(now)
        return replace(plan, start=now.start)

    life = live(problem, plan, odds, seed=3, until=30, solve=solve, every_days=7)
    assert [(each.start - problem.start).days for each in asked] == [7, 14, 21, 28]
    assert len(life.plans) == 5
    assert all(each.days == problem.days - (each.start - problem.start).days for each in asked)
    assert asked[0].stock, "the blocks of the first days are growing"
    assert sum(lot.units for lot in asked[0].stock) == pytest.approx(32 * 0.88, abs=8)
    assert asked[2].in_rooms, "and hang in the room later"


def test_never_planned_anew_it_is_the_season_of_the_same_luck() -> None:
    problem, plan, odds = farm(CASE)
    luck = ByChance(seeded(5), 1)
    one = SeasonFarm(problem, planned_days(problem, plan), odds, luck, Targets(), follows=True)
    for day in range(30):
        one.live(day)

    def never(now: Problem, before: Plan | None) -> Plan:
        raise AssertionError((now.start, before))

    same = live(problem, plan, odds, seed=5, until=30, solve=never, every_days=99)
    assert same.delivered.tolist() == one.delivered[:, 0].tolist()
    assert same.delivered.any()


@pytest.mark.parametrize(("each", "batches"), [(0.6, 10), (2.25, 8), (0.08, 25), (3.0, 5)])
def test_no_more_is_begun_in_the_long_run_than_a_plan_in_fractions_says(
    each: float, batches: int
) -> None:
    problem = seller(30)
    days = PlannedDays(starts={(0, 0, day): each for day in range(batches)})
    draws = ByChance(seeded(1), 1)
    lived = SeasonFarm(problem, days, Odds(), draws, Targets(), follows=True)
    for day in range(batches):
        lived.live(day)
        begun, due = sum(lived.started.values()), each * (day + 1)
        assert abs(begun - due) <= 0.5 + 1e-6
        assert begun == round(begun)
