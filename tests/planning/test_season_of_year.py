"""What a variety bears in each month: in the plan, its replay, the seasons, and the rooms today."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from pinset.chain.register import FarmBook, Variety
from pinset.chain.rules_sales import check_sales
from pinset.files.description.example import example_book
from pinset.planning.building.from_book import build_problem
from pinset.planning.problem import Problem
from pinset.planning.season.draws import ByChance, Expected, seeded
from pinset.planning.season.farm import SeasonFarm
from pinset.planning.season.odds import odds_of
from pinset.planning.season.plan import planned_days
from pinset.planning.season.relived import problem_on
from pinset.planning.season.season import carry_out
from pinset.planning.season.targets import Targets
from pinset.planning.solve import solve
from planning.simulator import replay
from planning.six_varieties import TODAY, six_variety_book, six_variety_stock

POOR_SPRING = (1.0, 1.0, 0.9, 0.6, 0.5, 0.7, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0)
"""Shares of the months: invented."""


def with_season(book: FarmBook, season: tuple[float, ...]) -> FarmBook:
    varieties = tuple(replace(variety, season=season) for variety in book.varieties)
    return replace(book, varieties=varieties)


@pytest.fixture(scope="module")
def problem() -> Problem:
    found, _ = build_problem(
        with_season(six_variety_book(), POOR_SPRING), six_variety_stock(), TODAY
    )
    return found


def test_the_month_of_a_day_counts() -> None:
    variety = Variety("v", "V", "S", "r", season=POOR_SPRING)
    days = (date(2026, 3, 31), date(2026, 4, 1), date(2027, 4, 30), date(2026, 12, 31))
    assert [variety.season_on(day) for day in days] == [0.9, 0.6, 0.6, 1.0]
    assert Variety("v", "V", "S", "r").season_on(days[0]) == 1.0


def test_a_move_bears_by_the_months_of_its_picks(problem: Problem) -> None:
    fruiting = next(r.fruiting for r in problem.recipes if r.variety == "grey-oyster")
    assert fruiting is not None
    entered = (date(2026, 3, 27) - TODAY).days
    for usual, borne in zip(fruiting.curve, fruiting.borne(entered), strict=True):
        month = (date(2026, 3, 27) + timedelta(days=usual.day)).month
        assert borne.day == usual.day
        assert borne.grams == pytest.approx(usual.grams * {3: 0.9, 4: 0.6}[month])


def test_the_plan_its_replay_and_the_season_as_expected_agree(problem: Problem) -> None:
    plan = solve(problem, time_limit_s=15.0, gap=0.02)
    short: dict[tuple[str, int], float] = {}
    for each in plan.short:
        key = (each.promise, (each.day - problem.start).days)
        short[key] = short.get(key, 0.0) + each.amount
    odds = odds_of(with_season(six_variety_book(), POOR_SPRING), six_variety_stock(), TODAY)
    given = carry_out(problem, plan, odds, Expected()).delivered[:, 0]
    for number, order in enumerate(problem.orders):
        lacking = short.get((order.promise, order.due), 0.0)
        assert order.amount - given[number] == pytest.approx(lacking, abs=10.0)
    replayed: dict[tuple[str, int], float] = {}
    for (variety, _, day), grams in replay(problem, plan).short.items():
        replayed[variety, day] = replayed.get((variety, day), 0.0) + grams
    said: dict[tuple[str, int], float] = {}
    for each in plan.short:
        key = (each.variety, (each.day - problem.start).days)
        said[key] = said.get(key, 0.0) + each.amount
    for key, grams in replayed.items():
        assert grams == pytest.approx(said.get(key, 0.0), abs=50.0), key


def test_a_poor_season_takes_more_units() -> None:
    book, stock = six_variety_book(), six_variety_stock()

    def moved(season: tuple[float, ...]) -> float:
        found, _ = build_problem(with_season(book, season), stock, TODAY)
        plan = solve(replace(found, whole_days=0), time_limit_s=10.0, explains=False)
        return sum(move.count for move in plan.moves)

    assert moved((0.8,) * 12) > 1.12 * moved(())


def test_what_hangs_in_the_rooms_bears_by_the_month(problem: Problem) -> None:
    usual, _ = build_problem(six_variety_book(), six_variety_stock(), TODAY)
    for before, after in zip(usual.in_rooms, problem.in_rooms, strict=True):
        for old, new in zip(before.picks, after.picks, strict=True):
            month = (TODAY + timedelta(days=old.day)).month
            assert new.grams == pytest.approx(old.grams * POOR_SPRING[month - 1])


def test_a_season_lived_through_keeps_its_months(problem: Problem) -> None:
    plan = solve(replace(problem, whole_days=0), time_limit_s=10.0, explains=False)
    odds = odds_of(six_variety_book(), six_variety_stock(), TODAY)
    farm = SeasonFarm(
        problem, planned_days(problem, plan), odds, ByChance(seeded(3), 1), Targets(), follows=True
    )
    for day in range(20):
        farm.live(day)
    later = problem_on(problem, farm, 20)
    for before, after in zip(problem.recipes, later.recipes, strict=True):
        if before.fruiting is not None:
            assert after.fruiting is not None
            assert after.fruiting.season == before.fruiting.season[20:]


@pytest.mark.parametrize(
    ("season", "is_right"),
    [
        ((), True),
        (POOR_SPRING, True),
        ((0.0,) * 11 + (1.0,), True),
        ((1.0,) * 11, False),
        ((1.0,) * 11 + (-0.1,), False),
        ((1.0,) * 11 + (3.1,), False),
        ((0.0,) * 12, False),
        ((1.0,) * 11 + (float("nan"),), False),
    ],
)
def test_twelve_shares_or_none(season: tuple[float, ...], *, is_right: bool) -> None:
    findings = check_sales(with_season(example_book(TODAY), season), None)
    said = [f for f in findings if f.id == "variety.season"]
    assert bool(said) is not is_right
