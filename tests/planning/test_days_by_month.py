"""How long things take in each month: in the plan, its replay, the seasons, and today's lots."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest

from pinset.chain.register import FarmBook, Spread, StepKind
from pinset.chain.season_days import lasting_days
from pinset.planning.building.from_book import build_problem
from pinset.planning.problem import Problem
from pinset.planning.season.draws import ByChance, Expected, seeded
from pinset.planning.season.farm import SeasonFarm
from pinset.planning.season.odds import odds_of
from pinset.planning.season.plan import planned_days
from pinset.planning.season.relived import problem_on
from pinset.planning.season.season import carry_out
from pinset.planning.season.targets import Targets
from pinset.planning.sizing.records import Wanted
from pinset.planning.sizing.sizing import size
from pinset.planning.solve import solve
from planning.simulator import replay
from planning.six_varieties import TODAY, six_variety_book, six_variety_stock

COLD_SPRING = (1.6, 1.6, 1.5, 1.3, 1.1, 1.0, 0.9, 0.9, 1.0, 1.2, 1.4, 1.6)
"""Shares of the months: invented."""


def unheated(book: FarmBook, season: tuple[float, ...], kinds: set[StepKind]) -> FarmBook:
    routes = tuple(
        replace(
            route,
            steps=tuple(
                replace(step, days_by_month=season) if step.kind in kinds else step
                for step in route.steps
            ),
        )
        for route in book.routes
    )
    return replace(book, routes=routes)


MADE = {StepKind.TRANSFER, StepKind.STAND, StepKind.FRUIT}


@pytest.fixture(scope="module")
def book() -> FarmBook:
    return unheated(six_variety_book(), COLD_SPRING, MADE)


@pytest.fixture(scope="module")
def problem(book: FarmBook) -> Problem:
    living = tuple(
        replace(lot, route=next(route for route in book.routes if route.code == lot.route.code))
        for lot in six_variety_stock()
    )
    found, _ = build_problem(book, living, TODAY)
    return found


def test_a_start_is_ready_by_the_months_it_falls_into(problem: Problem) -> None:
    making = problem.recipes[0].makings[1]
    step = six_variety_book().routes[0].step(making.step)
    middle = step.days.mode  # spreads are symmetric here
    for day in (0, 25, 60, 100):
        since = TODAY + timedelta(days=day)
        assert making.ready(day) == day + np.ceil(lasting_days(COLD_SPRING, since, middle) - 1e-9)
        stays = making.stays_on(day)
        assert stays[-1].until_day == making.ready(day) - day
    assert making.leads[0] < making.leads[1]


def test_a_move_is_picked_by_the_months_it_falls_into(problem: Problem) -> None:
    fruiting = problem.recipes[0].fruiting
    assert fruiting is not None
    step = next(s for s in six_variety_book().routes[0].steps if s.kind is StepKind.FRUIT)
    entered = (date(2026, 3, 27) - TODAY).days
    first = lasting_days(COLD_SPRING, date(2026, 3, 27), step.days.mode)
    borne = fruiting.borne(entered)
    assert borne[0].day == np.ceil(first - 1e-9)
    assert borne[0].day > fruiting.curve[0].day
    assert sum(each.grams for each in borne) == pytest.approx(fruiting.grams)
    assert fruiting.room_days_on(entered) == borne[-1].day + 1


def test_the_plan_its_replay_and_the_season_as_expected_agree(
    problem: Problem, book: FarmBook
) -> None:
    plan = solve(problem, time_limit_s=20.0, gap=0.03)
    replayed = replay(problem, plan)
    assert replayed.missing_units < 0.05
    said: dict[tuple[str, int], float] = {}
    for each in plan.short:
        key = (each.variety, (each.day - problem.start).days)
        said[key] = said.get(key, 0.0) + each.amount
    for (variety, _, day), grams in replayed.short.items():
        assert grams == pytest.approx(said.get((variety, day), 0.0), abs=50.0), (variety, day)
    odds = odds_of(book, six_variety_stock(), TODAY)
    given = carry_out(problem, plan, odds, Expected()).delivered[:, 0]
    got: dict[tuple[str, int], float] = {}
    for number, order in enumerate(problem.orders):
        key = (order.variety, order.due)
        got[key] = got.get(key, 0.0) + order.amount - given[number]
    for key, grams in got.items():
        assert grams == pytest.approx(said.get(key, 0.0), abs=50.0), key


def test_what_takes_longer_leaves_more_short() -> None:
    living = six_variety_stock()

    def short(season: tuple[float, ...]) -> float:
        book = unheated(six_variety_book(), season, MADE)
        found, _ = build_problem(book, living, TODAY)
        plan = solve(replace(found, whole_days=0), time_limit_s=10.0, explains=False)
        return sum(each.amount for each in plan.short if each.measure == "gram")

    assert short((1.5,) * 12) > 1.2 * short(())


def test_delays_are_stretched_with_the_days(problem: Problem, book: FarmBook) -> None:
    # what takes twice as long scatters twice as much: mean and variance of a triangular spread
    spread = Spread(8.0, 10.0, 12.0)
    fruiting = problem.recipes[0].fruiting
    assert fruiting is not None
    one = replace(
        problem,
        orders=(),
        stock=(),
        in_rooms=(replace(problem.in_rooms[0], slowness=2.0, waits_days=0.0),),
        store=(),
    )
    odds = odds_of(book, (), TODAY)
    kind = odds.varieties[one.in_rooms[0].variety]
    assert kind.bearing is not None
    bearing = replace(
        kind.bearing,
        days=spread,
        gaps=(),
        curve=tuple(replace(each, day=10) for each in kind.bearing.curve),
    )
    farm = SeasonFarm(
        replace(one, in_rooms=()),
        planned_days(one, solve(replace(one, whole_days=0), time_limit_s=5.0, explains=False)),
        odds,
        ByChance(seeded(5), 4000),
        Targets(),
    )
    lot = one.in_rooms[0]
    r = farm.varieties[lot.variety]
    late = farm.harvest.bear(
        r, np.float32(1.0), lot.picks[:1], bearing, age=0.0, slowness=lot.slowness
    )
    # ceil of a spread of 16, 20, 24 days less the planned 20: half a day up, variance 8/3 + 1/12
    assert float(late.mean()) == pytest.approx(0.5, abs=0.1)
    assert float(late.var()) == pytest.approx(8.0 / 3.0 + 1.0 / 12.0, rel=0.1)


def test_a_season_lived_through_keeps_its_months(problem: Problem, book: FarmBook) -> None:
    plan = solve(replace(problem, whole_days=0), time_limit_s=10.0, explains=False)
    odds = odds_of(book, six_variety_stock(), TODAY)
    farm = SeasonFarm(
        problem, planned_days(problem, plan), odds, ByChance(seeded(3), 1), Targets(), follows=True
    )
    for day in range(20):
        farm.live(day)
    later = problem_on(problem, farm, 20)
    for before, after in zip(problem.recipes, later.recipes, strict=True):
        for old, new in zip(before.makings, after.makings, strict=True):
            assert [new.lead_on(day) for day in range(60)] == [
                old.lead_on(day + 20) for day in range(60)
            ]
        if before.fruiting is not None:
            assert after.fruiting is not None
            assert after.fruiting.borne(5) == before.fruiting.borne(25)


def test_how_big_the_farm_must_be_is_reckoned_with_usual_days(book: FarmBook) -> None:
    wanted = [Wanted(variety.code, 10_000.0) for variety in book.varieties]
    assert size(book, wanted) == size(six_variety_book(), wanted)
