"""The plan's own weekly rhythm costs no promise; the farm's own days are kept."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pinset.planning.plan import Plan
from pinset.planning.problem import Problem
from pinset.planning.reading.short_reason import ShortReason
from pinset.planning.resources import CookOption, Resources, SteriliserDays
from pinset.planning.search.loosened import (
    has_own_rhythm,
    solve_without_rhythm_if_it_costs,
    without_rhythm,
)
from pinset.planning.season.draws import ByChance, Expected, seeded
from pinset.planning.season.odds import Odds
from pinset.planning.season.season import carry_out
from pinset.planning.solve import solve
from planning.test_shortage_reasons import bag, chain

SET, OPEN = (0, 14), tuple(range(30))


def with_open_days(*, days: tuple[int, ...]) -> Problem:
    """Return 10 kg wanted on day 12, from blocks that keep to days 0 and 14: too soon, too late."""
    kettle = SteriliserDays("kettle", (CookOption("block", 6.0, 400.0),), (9.0,) * 40, (1.0,) * 40)
    problem = chain(
        bags=(bag(2, 1),),
        order_day=12,
        block_starts=SET,
        resources=Resources(sterilisers=(kettle,), is_sterile_counted=True),
    )
    [recipe] = problem.recipes
    makings = tuple(
        replace(making, open_days=days) if making.step == "block" else making
        for making in recipe.makings
    )
    return replace(problem, recipes=(replace(recipe, makings=makings),))


def planned(problem: Problem) -> tuple[Plan, list[Plan | None]]:
    begun: list[Plan | None] = []

    def solved(asked: Problem, begin: Plan | None) -> Plan:
        begun.append(begin)
        return solve(asked, time_limit_s=5.0, previous=begin)

    return solve_without_rhythm_if_it_costs(problem, solved), begun


def test_a_rhythm_of_the_plans_own_gives_way_to_a_promise() -> None:
    plan, begun = planned(with_open_days(days=OPEN))
    assert plan.short == ()
    assert len(begun) == 2
    assert begun[1] is not None, "the second search begins from the first plan"
    assert any((start.day - plan.start).days not in SET for start in plan.starts)


def test_days_that_the_farm_has_set_are_kept_and_named() -> None:
    plan, begun = planned(with_open_days(days=()))
    assert len(begun) == 1
    [short] = plan.short
    assert short.reason_code is ShortReason.SET_DAYS
    assert short.amount == pytest.approx(10_000.0, abs=1.0)
    assert {(start.day - plan.start).days for start in plan.starts} <= set(SET)


def test_where_open_days_do_not_help_the_rhythm_stays() -> None:
    problem = with_open_days(days=(0, 7, 14))
    plan, begun = planned(problem)
    assert len(begun) == 2
    assert len(plan.short) == 1
    assert {(start.day - plan.start).days for start in plan.starts} <= set(SET)


def test_only_the_varieties_asked_for_lose_their_rhythm() -> None:
    problem = with_open_days(days=OPEN)
    assert has_own_rhythm(problem, "v")
    assert not has_own_rhythm(problem, "another")
    assert without_rhythm(problem, {"another"}) == problem
    loose = without_rhythm(problem, {"v"}).recipes[0]
    assert loose.makings[1].start_days == OPEN
    assert loose.makings[0] == problem.recipes[0].makings[0]
    assert not has_own_rhythm(without_rhythm(problem, {"v"}), "v")


def test_its_chances_are_those_of_the_days_it_took() -> None:
    """The farm is carried out as it was described, with the plan that gave its rhythm up."""
    problem = with_open_days(days=OPEN)
    plan, _ = planned(problem)
    for draws in (Expected(), ByChance(seeded(1), 200)):
        given = carry_out(problem, plan, Odds(), draws).delivered[0]
        assert given == pytest.approx(10_000.0, rel=0.01)


def test_moves_on_days_it_took_count_too() -> None:
    problem = with_open_days(days=OPEN)
    [recipe] = problem.recipes
    assert recipe.fruiting is not None
    plan, _ = planned(problem)
    moved = {(move.day - plan.start).days for move in plan.moves}
    assert moved
    others = tuple(day for day in recipe.fruiting.move_days if day not in moved)
    kept = replace(recipe, fruiting=replace(recipe.fruiting, move_days=others))
    given = carry_out(replace(problem, recipes=(kept,)), plan, Odds(), Expected()).delivered[0]
    assert given == pytest.approx(10_000.0, rel=0.01)
