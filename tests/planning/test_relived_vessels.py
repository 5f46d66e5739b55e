"""Prepared vessels of a lived season: cooked as planned, used by starts, counted in new plans."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from pinset.chain.stages import Stage
from pinset.planning.building.from_book import build_problem
from pinset.planning.plan import Plan, PlannedCook, Start
from pinset.planning.problem import Problem
from pinset.planning.recipes import Making, Recipe
from pinset.planning.resources import CookOption, Resources, Sterile, SteriliserDays
from pinset.planning.season.odds import odds_of
from pinset.planning.season.relived import live
from pinset.planning.season.vessels import KEEPS_DAYS, Vessels
from pinset.planning.solve import solve
from planning.six_varieties import TODAY, six_variety_book, six_variety_stock

EMPTY = Plan(TODAY, 40, 21, (), (), (), (), (), (), (), 0.0, 0.0, 0.0, 0.0, "proven")


def problem() -> Problem:
    making = Making("block", Stage.BLOCK, 8, 10, 0.9, (5, 9), cook="bags", litres=2.0, mix="in bag")
    steriliser = SteriliserDays("s", (CookOption("bags", 4.0, 60.0),), (8.0,) * 40, (2.0,) * 40)
    return Problem(
        TODAY,
        40,
        21,
        (Recipe("v", "V", 40, (making,)),),
        resources=Resources(sterilisers=(steriliser,)),
    )


def start(day: int, units: float) -> Start:
    when = TODAY + timedelta(days=day)
    return Start(when, "v", "block", Stage.BLOCK, units, (), units, when, (), "")


def cook(day: int, cooks: float) -> PlannedCook:
    return PlannedCook(TODAY + timedelta(days=day), "s", "bags", cooks, 0.0, 0.0)


def litres(vessels: Vessels, day: int) -> dict[str, float]:
    found: dict[str, float] = {}
    for each in vessels.counted(Resources(), day).sterile:
        found[each.mix] = found.get(each.mix, 0.0) + each.litres
    return found


def test_what_was_cooked_stands_until_its_start_and_no_more() -> None:
    vessels = Vessels(problem())
    vessels.follow(replace(EMPTY, starts=(start(5, 20.0),), cooks=(cook(3, 2 / 3),)))
    vessels.live(2, {})
    assert litres(vessels, 3) == {}, "nothing is cooked yet"
    vessels.live(3, {})
    [bags] = vessels.counted(Resources(), 4).sterile
    assert bags == Sterile("bags", pytest.approx(40.0), 3 + KEEPS_DAYS - 4, 0, "in bag")
    assert vessels.counted(Resources(), 4).is_sterile_counted
    vessels.live(5, {(0, 0, 5): (20.0, 20.0)})
    assert litres(vessels, 6) == {}


def test_vessels_without_a_parent_stay_over_as_long_as_they_keep() -> None:
    vessels = Vessels(problem())
    vessels.follow(replace(EMPTY, starts=(start(5, 20.0),), cooks=(cook(3, 2 / 3),)))
    vessels.live(3, {})
    vessels.live(5, {(0, 0, 5): (20.0, 5.0)})
    vessels.follow(replace(EMPTY, starts=(start(9, 4.0),)))
    assert litres(vessels, 7) == {"in bag": pytest.approx(8.0), "": pytest.approx(22.0)}
    vessels.live(3 + KEEPS_DAYS, {})
    assert litres(vessels, 4 + KEEPS_DAYS) == {}


def test_only_the_first_plan_takes_vessels_as_ready() -> None:
    vessels = Vessels(problem())
    vessels.follow(replace(EMPTY, starts=(replace(start(5, 3.0), assumes_prepared=True),)))
    assert litres(vessels, 5) == {"in bag": pytest.approx(6.0)}
    vessels.live(5, {(0, 0, 5): (3.0, 3.0)})
    vessels.follow(replace(EMPTY, starts=(replace(start(9, 3.0), assumes_prepared=True),)))
    assert litres(vessels, 9) == {}


def test_no_plan_of_a_later_day_starts_into_vessels_that_nobody_cooked() -> None:
    """Litres started in twelve weeks are litres cooked, but for the first days' and rounding up."""
    book = six_variety_book()
    book = replace(
        book,
        varieties=book.varieties[:1],
        promises=tuple(p for p in book.promises if p.variety == book.varieties[0].code),
    )
    living = tuple(lot for lot in six_variety_stock() if lot.variety == book.varieties[0].code)
    asked, _ = build_problem(book, living, TODAY)
    seen: list[Problem] = []

    def lightly(now: Problem, before: Plan | None) -> Plan:
        del before
        seen.append(now)
        light = replace(now, whole_days=0, whole_parent_days=0)
        return solve(light, time_limit_s=20.0, explains=False)

    plan = lightly(asked, None)
    life = live(asked, plan, odds_of(book, living, TODAY), seed=1, until=84, solve=lightly)
    assert not seen[0].resources.is_sterile_counted
    assert all(each.resources.is_sterile_counted for each in seen[1:])
    recipe, [steriliser] = asked.recipes[0], asked.resources.sterilisers
    of_cook = {option.kind: option.litres for option in steriliser.cooks}
    started = cooked = given = 0.0
    for week, each in enumerate(life.plans):
        days = range(7 * week, 7 * week + 7)
        for one in each.starts:
            making = recipe.making(one.step)
            assert making is not None
            if (one.day - TODAY).days in days:
                started += one.count * making.litres
                given += one.count * making.litres * one.assumes_prepared
                assert week == 0 or not one.assumes_prepared
        cooked += sum(c.cooks * of_cook[c.kind] for c in each.cooks if (c.day - TODAY).days in days)
    assert started > 1000.0
    assert started <= (cooked + given) * 1.02
