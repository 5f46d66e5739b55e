"""A plan carried out many times: as expected it is the plan, by chance it is a plain simulation."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from pinset.chain.register import Spread
from pinset.chain.stages import Stage
from pinset.planning.building.from_book import build_problem
from pinset.planning.plan import Move, Plan, Start
from pinset.planning.problem import Order, Problem, Stock
from pinset.planning.recipes import Arc, Fruiting, Making, Picking, Recipe
from pinset.planning.resources import GrowRoom, Resources
from pinset.planning.season.draws import ByChance, Expected, seeded
from pinset.planning.season.odds import Bearing, Growing, Odds, Phase, VarietyOdds, odds_of
from pinset.planning.season.season import carry_out
from pinset.planning.season.whole_units import WholeUnits
from pinset.planning.solve import solve
from planning.plain_season import Case, median, season
from planning.six_varieties import TODAY, six_variety_book, six_variety_stock

NONE = Spread(0, 0, 0)
CASE = Case(
    starts={0: 20, 3: 12},
    moves={9: 18, 12: 11},
    lead=9,
    window=7,
    days=(6.0, 8.0, 13.0),
    loss=(0.0, 0.05, 0.3),
    first=(5.0, 6.0, 10.0),
    gap=(4.0, 5.0, 9.0),
    curve=((7, 200.0, 1), (8, 150.0, 1), (14, 120.0, 2)),
    spread=0.25,
    keeps=4,
    orders={18: 5000.0, 20: 2500.0, 27: 3000.0},
)


def farm(case: Case, days: int = 45) -> tuple[Problem, Plan, Odds]:
    making = Making(
        "block", Stage.BLOCK, case.lead, case.window, 1.0 - sum(case.loss) / 3, tuple(case.starts),
        unit_cost=1.0,
    )  # fmt: skip
    curve = tuple(Picking(*each) for each in case.curve)
    fruiting = Fruiting(
        "fruiting", "block", tuple(range(days)), case.days_in_room, curve, ("r",), places=1.0
    )
    resources = Resources()
    if np.isfinite(case.places):
        resources = Resources(rooms=(GrowRoom("r", case.places),))
    if case.staffed:
        hands = tuple(60.0 if day in case.staffed else 0.0 for day in range(days + 100))
        resources = replace(resources, hands_minutes=hands)
    problem = Problem(
        TODAY, days, 21, (Recipe("v", "V", days, (making,), fruiting, case.keeps),),
        tuple(Order(f"p{day}", "b", "v", day, grams) for day, grams in case.orders.items()),
        resources=resources,
    )  # fmt: skip
    starts = tuple(
        Start(TODAY + timedelta(days=day), "v", "block", Stage.BLOCK, units, (), 0.0, TODAY, (), "")
        for day, units in case.starts.items()
    )
    moves = tuple(
        Move(TODAY + timedelta(days=day), "v", "fruiting", units, "r")
        for day, units in case.moves.items()
    )
    plan = Plan(TODAY, days, 21, starts, moves, (), (), (), (), (), 0.0, 0.0, 0.0, 0.0, "proven")
    phases = (Phase(Spread(*case.days), Spread(*case.loss)),)
    bearing = Bearing(Spread(*case.first), (Spread(*case.gap),), curve, case.spread)
    return problem, plan, Odds({"v": VarietyOdds({"block": phases}, bearing)})


@pytest.mark.parametrize(
    "case",
    [
        CASE,
        replace(CASE, places=22.0, days_in_room=12),
        replace(CASE, staffed=frozenset(d for d in range(60) if d % 7 not in (2, 3))),
        replace(CASE, staffed=frozenset(d for d in range(60) if d not in {14, 15, 16, 17})),
    ],
    ids=["plain", "a small room", "days off", "closed for longer than they stand"],
)
def test_many_seasons_at_once_are_many_plain_ones(case: Case) -> None:
    """Against simpy, event by event: means and the chance of each order, within 4 errors."""
    assert case.lead == np.ceil(median(case.days))
    problem, plan, odds = farm(case)
    seasons, plain = 20_000, 3000
    found = carry_out(problem, plan, odds, ByChance(seeded(1), seasons)).delivered
    rng = random.Random(2)
    peer = [season(case, rng, 45) for _ in range(plain)]
    for number, (day, amount) in enumerate(case.orders.items()):
        theirs = np.array([one[day] for one in peer])
        error = np.sqrt(theirs.var() / plain + found[number].var() / seasons)
        assert found[number].mean() == pytest.approx(theirs.mean(), abs=4 * error + 1.0)
        met, other = (found[number] >= 0.99 * amount).mean(), (theirs >= 0.99 * amount).mean()
        error = np.sqrt(max(met * (1 - met), 1e-4) * (1 / plain + 1 / seasons))
        assert met == pytest.approx(other, abs=4 * error)
        assert 0.02 < met < 0.999, "a case that tells something"


def test_as_expected_every_order_gets_what_the_plan_says() -> None:
    """On six varieties with stock, culture chains and bought spawn: to the gram."""
    book, living = six_variety_book(), six_variety_stock()
    problem, _ = build_problem(book, living, TODAY)
    plan = solve(problem, time_limit_s=15.0, gap=0.01)
    found = carry_out(problem, plan, odds_of(book, living, TODAY), Expected()).delivered[:, 0]
    short: dict[tuple[str, int], float] = {}
    for each in plan.short:
        key = (each.promise, (each.day - problem.start).days)
        short[key] = short.get(key, 0.0) + each.amount
    for number, order in enumerate(problem.orders):
        lacking = short.get((order.promise, order.due), 0.0)
        assert order.amount - found[number] == pytest.approx(lacking, abs=1.0)


def chained(*, late_start: bool = True) -> tuple[Problem, Plan, Odds]:
    """Two jars start twenty blocks; what the first batch loses a later one may make up."""
    jar = Making("grain", Stage.GRAIN, 3, 20, 1.0, (), unit_cost=1.0)
    days = (2, 6) if late_start else (2,)
    block = Making(
        "block", Stage.BLOCK, 8, 10, 0.8, days, arcs=(Arc("grain", 10.0),), unit_cost=1.0
    )
    problem = Problem(
        TODAY, 40, 21, (Recipe("v", "V", 40, (jar, block)),),
        (Order("p", "b", "v", 16, 16.0, "unit", "block"),),
        stock=(Stock("J", "v", "grain", 4.0, 0, 30, alive=4.0),),
    )  # fmt: skip
    start = Start(TODAY + timedelta(days=2), "v", "block", Stage.BLOCK, 20, (), 16, TODAY, (), "")
    plan = Plan(TODAY, 40, 21, (start,), (), (), (), (), (), (), 0.0, 0.0, 0.0, 0.0, "proven")
    phases = (Phase(Spread(8, 8, 8), Spread(0.0, 0.1, 0.5)),)
    return problem, plan, Odds({"v": VarietyOdds({"block": phases})})


def test_what_a_lot_loses_is_made_up_where_there_is_a_day_for_it() -> None:
    """The loss shows half-way, on day 6: a batch of that day is ready on day 14, in time."""
    draws = {"with_days": False, "with_yields": False}
    problem, plan, odds = chained()
    made_up = carry_out(problem, plan, odds, ByChance(seeded(3), 4000, **draws)).delivered[0]
    problem, plan, odds = chained(late_start=False)
    alone = carry_out(problem, plan, odds, ByChance(seeded(3), 4000, **draws)).delivered[0]
    assert (alone >= 16).mean() < 0.7
    assert (made_up >= 16).mean() > (alone >= 16).mean() + 0.1


def test_parents_that_are_not_there_start_nothing() -> None:
    problem, plan, odds = chained()
    bare = replace(problem, stock=(replace(problem.stock[0], units=1.0, alive=1.0),))
    found = carry_out(bare, plan, odds, ByChance(seeded(3), 500)).delivered[0]
    assert found.max() <= 10.0, "one jar starts ten blocks"


def test_a_living_lot_may_be_late_and_is_counted_with_what_it_may_still_lose() -> None:
    lot = Stock("L", "v", "block", 9.0, 5, 20, alive=10.0)
    making = Making("block", Stage.BLOCK, 8, 10, 0.9, ())
    orders = tuple(
        Order(f"p{day}", "b", "v", day, units, "unit", "block")
        for day, units in ((4, 5.0), (12, 20.0))
    )
    problem = Problem(TODAY, 30, 21, (Recipe("v", "V", 30, (making,)),), orders, stock=(lot,))
    plan = Plan(TODAY, 30, 21, (), (), (), (), (), (), (), 0.0, 0.0, 0.0, 0.0, "proven")
    growing = Growing(6.0, Phase(Spread(8, 10, 14), Spread(0.0, 0.1, 0.2)), 0.5)
    found = carry_out(
        problem, plan, Odds(growing={"L": growing}), ByChance(seeded(1), 4000)
    ).delivered
    on_day_4 = float((found[0] >= 5.0).mean())
    assert on_day_4 == pytest.approx(0.33, abs=0.05), "P(days <= 10) of a triangle 8, 10, 14"
    assert found[1].mean() + found[0].mean() == pytest.approx(10 * 0.95, abs=0.3)


def test_more_is_moved_where_mushrooms_fall_behind_what_is_planned() -> None:
    """With the same luck, once knowing how many grams should be there and once not."""
    case = replace(CASE, starts={0: 20, 3: 22}, moves={9: 18, 12: 11, 16: 8})
    problem, plan, odds = farm(case)
    known = carry_out(problem, plan, odds, Expected()).reached
    assert known.supply
    blind = replace(known, supply={})
    caught_up, not_so = (
        carry_out(problem, plan, odds, ByChance(seeded(7), 4000), targets=each)
        for each in (known, blind)
    )
    gained = caught_up.delivered.mean(axis=1) - not_so.delivered.mean(axis=1)
    assert gained[:2].min() > 20.0, "grams of orders of some kilograms"
    assert gained.sum() > 0.0, "also if the last order finds fewer blocks left"
    expected = carry_out(problem, plan, odds, Expected(), targets=known).delivered
    assert np.array_equal(expected, carry_out(problem, plan, odds, Expected()).delivered)


def test_weeks_planned_in_fractions_buy_no_less_than_the_least_batch() -> None:
    """A supplier sells twelve and the plan of far weeks says 2.8 a week: nobody goes short for it.

    By hand: twelve in every fourth week are as many as 2.8 a week, and they keep 35 days.
    """
    weeks = range(7, 84, 7)
    weekly = Case(
        starts=dict.fromkeys(weeks, 2.8),
        moves={day + 10: 2.7 for day in weeks},
        lead=5,
        window=35,
        days=(4.0, 5.0, 6.0),
        loss=(0.0, 0.0, 0.0),
        first=(5.0, 6.0, 7.0),
        gap=(4.0, 5.0, 6.0),
        curve=((6, 200.0, 1),),
        spread=0.1,
        keeps=6,
        orders={day + 19: 350.0 for day in weeks},
    )
    problem, plan, odds = farm(weekly, days=112)
    recipe = problem.recipes[0]
    twelve = replace(recipe, makings=(replace(recipe.makings[0], minimum_batch=12),))

    def met(case: Problem) -> float:
        known = carry_out(case, plan, odds, Expected()).reached
        found = carry_out(case, plan, odds, ByChance(seeded(5), 1000), targets=known).delivered
        return float((found[3:] >= 345.0).mean())

    by_ones = met(problem)
    assert by_ones > 0.5
    assert met(replace(problem, recipes=(twelve,))) >= by_ones - 0.02


def test_a_plan_that_is_followed_begins_the_least_batch_and_waits() -> None:
    owed = WholeUnits()
    begun = [owed.begun(0, 0, 2.8, 12) for _ in range(30)]
    assert begun[0] == 12
    assert set(begun) == {0, 12}
    assert abs(sum(begun) - 30 * 2.8) <= 12
    by_ones = WholeUnits()
    assert sum(by_ones.begun(0, 0, 2.8) for _ in range(30)) == 84
