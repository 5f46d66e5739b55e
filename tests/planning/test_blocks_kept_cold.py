"""Ready blocks that only a cold store saves: the plan carries them there, as far as it has places.

Days and weights are made up and few enough to be reckoned by hand.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from pinset.chain.register import RoomKind
from pinset.planning.plan import Plan
from pinset.planning.problem import Problem
from pinset.planning.resources import ColdKeeping, ColdPlaces, RoomPlaces
from pinset.planning.season.draws import Expected
from pinset.planning.season.odds import Odds
from pinset.planning.season.season import carry_out
from pinset.planning.solve import solve
from planning.simulator import replay
from planning.test_room_climates import OYSTER, SHIITAKE, TODAY, farm, moved, standing

LASTS, LASTS_COLD = 5, 20


def waiting(*, places: float = 100.0, of_all: float = 100.0, units: float = 40.0) -> Problem:
    """Return blocks that keep until day 5, or 20 if cold; oysters stand in their room until 9."""
    problem = farm(
        ready={SHIITAKE: (units, 0, LASTS)},
        orders={SHIITAKE: (18, 20.0)},
        inside=(standing(OYSTER, "cool", 9),),
    )
    stock = tuple(
        replace(lot, cold=ColdKeeping("fridge", LASTS_COLD, 2.0)) for lot in problem.stock
    )
    resources = replace(
        problem.resources,
        cold=(ColdPlaces("fridge", places, "Fridge"),),
        places=(RoomPlaces(RoomKind.COLD, of_all),),
    )
    return replace(problem, stock=stock, resources=resources)


def short_kg(plan: Plan) -> float:
    return sum(short.amount for short in plan.short) / 1000.0


def test_without_the_cold_they_lapse() -> None:
    problem = waiting()
    warm = replace(problem, stock=tuple(replace(lot, cold=None) for lot in problem.stock))
    plan = solve(warm, time_limit_s=5.0)
    assert short_kg(plan) == pytest.approx(20.0)
    assert sum(lapse.units for lapse in plan.lapses) == 40.0


def test_the_cold_saves_them_until_the_room_is_theirs() -> None:
    problem = waiting()
    plan = solve(problem, time_limit_s=5.0)
    assert (plan.short, plan.lapses) == ((), ())
    (cold,) = plan.kept_cold
    assert (cold.lot, cold.room, cold.units) == ("S", "fridge", 40.0)
    assert (cold.here, cold.until) == (TODAY + timedelta(LASTS), TODAY + timedelta(LASTS_COLD))
    assert min(moved(plan, SHIITAKE)) >= 9
    seen = replay(problem, plan)
    assert not seen.clashes
    assert seen.missing_units == pytest.approx(0.0)
    assert sum(seen.short.values()) == pytest.approx(0.0)


@pytest.mark.parametrize("short_of", ["places", "of_all"])
def test_no_more_are_kept_than_find_a_place(short_of: str) -> None:
    problem = waiting(**{short_of: 50.0})  # two places each
    plan = solve(problem, time_limit_s=5.0)
    (cold,) = plan.kept_cold
    assert cold.units == 25.0
    assert short_kg(plan) == pytest.approx(7.5)
    (lapse,) = plan.lapses
    assert lapse.units == 15.0
    assert sum(replay(problem, plan).short.values()) == pytest.approx(7500.0)


def test_nothing_is_carried_that_is_used_in_time() -> None:
    problem = replace(waiting(), in_rooms=())
    plan = solve(replace(problem, orders=problem.orders), time_limit_s=5.0)
    needed = sum(cold.units for cold in plan.kept_cold)
    late = sum(units for day, units in moved(plan, SHIITAKE).items() if day > LASTS)
    assert needed == late


def test_an_expected_season_hands_over_what_the_cold_saved() -> None:
    problem = waiting()
    plan = solve(problem, time_limit_s=5.0)
    seasons = carry_out(problem, plan, Odds({}, {}), Expected())
    assert float(seasons.delivered[0][0]) == pytest.approx(20_000.0)
