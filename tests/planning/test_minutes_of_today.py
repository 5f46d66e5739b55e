"""A plan made in the middle of a day counts on what is left of it, and no work twice."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pinset.chain.stages import Stage
from pinset.planning.problem import Order, Problem
from pinset.planning.recipes import Making, PrepTime, Recipe
from pinset.planning.resources import Resources, Sterile
from pinset.planning.solve import solve
from planning.six_varieties import TODAY

DAYS = 20
JARS = 30.0


def filled(hands_today: float, prepared: float = 0.0) -> Problem:
    """Return jars that must start tomorrow: 2 min each to fill today, 1 min to inoculate then."""
    grain = Making(
        "grain",
        Stage.GRAIN,
        6,
        12,
        1.0,
        (1,),
        cook="grain",
        litres=1.0,
        unit_cost=1.0,
        short_cost=50.0,
        bench_minutes=1.0,
        preparations=(PrepTime(1, 2.0, 0.0),),
    )
    return Problem(
        start=TODAY,
        days=DAYS,
        whole_days=14,
        recipes=(Recipe("rye", "rye", DAYS, (grain,)),),
        orders=(Order("p", "a kitchen", "rye", 8, JARS, "unit", "grain", JARS),),
        resources=Resources(
            hands_minutes=(hands_today, *(480.0,) * (DAYS - 1)),
            prepared_minutes=prepared,
            sterile=(Sterile("grain", 100.0, 10),),
            is_sterile_counted=True,
        ),
        has_end_stock=False,
    )


def started(problem: Problem) -> float:
    return sum(start.count for start in solve(problem, time_limit_s=5.0).starts)


def test_what_does_not_fit_into_the_rest_of_today_is_not_started() -> None:
    assert started(filled(480.0)) == pytest.approx(JARS)
    assert started(filled(20.0)) == pytest.approx(10.0)


def test_jars_filled_this_morning_take_no_time_again() -> None:
    """All 30 were filled, 60 min; the 20 min left have nothing to do with them."""
    assert started(filled(20.0, prepared=60.0)) == pytest.approx(JARS)
    assert started(filled(20.0, prepared=30.0)) == pytest.approx(25.0)


def test_minutes_of_filling_are_good_for_nothing_else() -> None:
    problem = filled(20.0, prepared=60.0)
    recipe = problem.recipes[0]
    at_once = replace(recipe.makings[0], start_days=(0,), preparations=())
    problem = replace(problem, recipes=(replace(recipe, makings=(at_once,)),))
    assert started(problem) == pytest.approx(20.0), "1 min each at the bench"


def test_once_all_have_gone_home_nothing_more_is_started_and_that_is_said() -> None:
    plan = solve(filled(0.01), time_limit_s=5.0)
    assert sum(start.count for start in plan.starts) == 0.0
    (short,) = plan.short
    assert "because nobody has time left on 12 March; about 60 min more" in short.reason
    assert plan.at_limit == (), "what is not there is not full"
