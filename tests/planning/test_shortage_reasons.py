"""What is said of a shortage must be true of the farm: dates, parents, resources in time."""

from __future__ import annotations

import itertools
import re
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import Any

import pytest

from pinset.chain.stages import Stage
from pinset.planning.building.from_book import build_problem
from pinset.planning.model.model import build_model
from pinset.planning.model.programme import INFINITY, THREADS, Change, Outcome, Programme, run
from pinset.planning.model.reach import Causes
from pinset.planning.plan import Plan
from pinset.planning.problem import InRoom, Order, Pinned, Problem, Stock
from pinset.planning.reading.new_batches import first_new, first_pick
from pinset.planning.reading.room_climates import RoomClimates
from pinset.planning.reading.short_reason import ShortReason
from pinset.planning.reading.shortage import shortfall
from pinset.planning.recipes import Arc, Fruiting, Making, Picking, Recipe
from pinset.planning.resources import CookOption, GrowRoom, Resources, SteriliserDays
from pinset.planning.search.any_day import on_any_day, with_everybody_there
from pinset.planning.solve import solve
from planning.six_varieties import TODAY, six_variety_book, six_variety_stock

DAYS = 40
DAY_IN_WORDS = re.compile(r"(\d{1,2}) (March|April|May|June|July|August|September)")


def chain(
    *,
    bags: tuple[Stock, ...],
    order_day: int = 20,
    grams: float = 10_000.0,
    grain_starts: tuple[int, ...] = (0, 7, 14),
    block_starts: tuple[int, ...] = (0, 2, 4, 6, 8, 10),
    resources: Resources = Resources(),  # noqa: B008  (frozen)
    largest: float = 0.0,
) -> Problem:
    """Return bags of grain (5 days), blocks (7 days, 10 of a bag), picked 3 days later, 500 g."""
    grain = Making("grain", Stage.GRAIN, 5, 20, 1.0, grain_starts, cook="agar", litres=1.0)
    block = Making(
        "block",
        Stage.BLOCK,
        7,
        10,
        1.0,
        block_starts,
        arcs=(Arc("grain", 10.0),),
        cook="block",
        litres=5.0,
        unit_cost=1.0,
        largest_batch=largest,
    )
    fruiting = Fruiting("fruiting", "block", tuple(range(DAYS)), 5, (Picking(3, 500.0),), ("g",))
    return Problem(
        start=TODAY,
        days=DAYS,
        whole_days=21,
        recipes=(Recipe("v", "Grey oyster", DAYS, (grain, block), fruiting),),
        orders=(Order("p", "market", "v", order_day, grams),),
        stock=bags,
        resources=replace(resources, rooms=(GrowRoom("g", 500.0),)),
        has_end_stock=False,
    )


def bag(units: float, ready: int) -> Stock:
    return Stock("G1", "v", "grain", units, ready, ready + 15)


def named_days(reason: str) -> list[date]:
    return [
        datetime.strptime(f"{day} {month} {TODAY.year}", "%d %B %Y").date()  # noqa: DTZ007
        for day, month in DAY_IN_WORDS.findall(reason)
    ]


def test_the_earliest_batch_waits_for_its_parents() -> None:
    problem = chain(bags=(bag(1, 3),), order_day=9)
    first = first_new(problem, problem.recipes[0])["block"]
    assert (first.start, first.ready) == (4, 11)  # day 0 and 2 have no bag
    assert first_pick(problem, problem.recipes[0], first) == 14
    (short,) = solve(problem, time_limit_s=5.0).short
    assert short.is_unavoidable
    # a jar on 15 March, blocks that day though it is not one of theirs, 7 days and 3 to the pick
    assert "25 March at the earliest" in short.reason
    assert (short.reason_code, short.about) == (ShortReason.TOO_SOON, ("block",))
    assert "since no grain jar is usable before 15 March" in short.reason


def both_forms(grams: float, units: float, alive: float) -> Problem:
    """Return ready blocks of which some are sold tomorrow and the others bear in a week."""
    blocks = Stock("B1", "v", "block", alive, 0, 15)
    problem = chain(bags=(blocks,), order_day=6, grams=grams)
    sold = Order("u", "grower", "v", 1, units, step="block", measure="unit")
    making = replace(problem.recipes[0].makings[1], short_cost=0.5)
    recipe = replace(problem.recipes[0], makings=(problem.recipes[0].makings[0], making))
    return replace(problem, recipes=(recipe,), orders=(*problem.orders, sold))


def test_blocks_that_fruit_instead_of_being_sold_are_not_called_nature() -> None:
    shorts = solve(both_forms(grams=9000.0, units=6, alive=20), time_limit_s=5.0).short
    (short,) = [each for each in shorts if each.promise == "u"]
    assert short.reason_code is ShortReason.SHARED
    assert not short.is_unavoidable
    assert f"{short.amount:.0f} blocks would be there for this" in short.reason
    assert "in the plan that goes to what is promised by weight" in short.reason
    assert "whatever is done" not in short.reason


def dear(problem: Problem) -> Problem:
    """Return it with units that are worth more than what they would bear."""
    first, second = problem.recipes[0].makings
    recipe = replace(problem.recipes[0], makings=(first, replace(second, short_cost=50.0)))
    return replace(problem, recipes=(recipe,))


def test_each_form_is_told_with_what_it_takes_of_the_other() -> None:
    """Of 20 blocks 6 are sold and 14 bear 7 kg: 3 kg of the 5 kg that are short go to the sold."""
    problem = dear(both_forms(grams=12_000.0, units=6, alive=20))
    told = {each.reason_code: each for each in solve(problem, time_limit_s=5.0).short}
    shared, nature = told[ShortReason.SHARED], told[ShortReason.TOO_SOON]
    assert shared.amount == pytest.approx(3000.0, abs=1.0)
    assert not shared.is_unavoidable
    assert ". 6 blocks would be there for this" in shared.reason
    assert nature.amount == pytest.approx(2000.0, abs=1.0)
    assert nature.is_unavoidable
    assert len(told) == 2


def reasons_of(problem: Problem, short: dict[str, float]) -> dict[str, tuple[float, float]]:
    """Return by promised form what is told as shared and as nature of shortages that are given."""
    model = build_model(problem)
    found = shortfall(
        model,
        {key: short[key[1]] for key in model.short},
        climates=RoomClimates(problem, {}),
        time_limit_s=20.0,
        threads=THREADS,
    )
    return {key[1]: (found.shared.get(key, 0.0), found.unavoidable[key]) for key in model.short}


def test_what_the_plan_does_not_give_the_other_form_is_not_shared_with_it() -> None:
    """Of 10 blocks the plan moves nine and a half and sells none: half a one is left over.

    Without limits it would be sold; moved in it would bear 250 g more, and no more than that.
    """
    problem = dear(both_forms(grams=10_000.0, units=6, alive=10))
    told = reasons_of(problem, {"picked": 5250.0, "block": 6.0})
    assert told["picked"] == pytest.approx((0.0, 5000.0), abs=1.0)
    assert told["block"] == pytest.approx((5.5, 0.0), abs=0.01)


def test_where_nothing_is_alive_for_either_it_is_nature() -> None:
    shorts = solve(both_forms(grams=9000.0, units=6, alive=0), time_limit_s=5.0).short
    (short,) = [each for each in shorts if each.promise == "u"]
    assert short.is_unavoidable
    assert short.reason_code is not ShortReason.SHARED


def test_what_is_promised_of_a_jar_nobody_has_gives_no_blocks() -> None:
    """To leave more jars out than are promised would make them out of nothing."""
    problem = chain(bags=(), order_day=13)
    sold = Order("u", "kitchen", "v", 1, 8.0, step="grain", measure="unit")
    grain = replace(problem.recipes[0].makings[0], short_cost=0.5)
    recipe = replace(problem.recipes[0], makings=(grain, problem.recipes[0].makings[1]))
    shorts = solve(
        replace(problem, recipes=(recipe,), orders=(*problem.orders, sold)), time_limit_s=5.0
    ).short
    (short,) = [each for each in shorts if each.promise == "p"]
    # grain of 12 March, blocks of the 17th, 7 days and 3 to the pick
    assert short.reason_code is ShortReason.TOO_SOON
    assert short.is_unavoidable
    assert "27 March at the earliest" in short.reason


def test_without_stock_the_chain_is_reckoned_from_its_first_step() -> None:
    problem = chain(bags=())
    first = first_new(problem, problem.recipes[0])["block"]
    assert (first.start, first.ready) == (6, 13)  # grain of day 0 is usable on day 5


def test_want_of_days_is_not_nature() -> None:
    """Blocks of day 0 and 14 miss day 12; of day 2 they would not."""
    problem = chain(bags=(bag(2, 1),), order_day=12, block_starts=(0, 14))
    (short,) = solve(problem, time_limit_s=5.0).short
    assert not short.is_unavoidable
    assert short.amount == pytest.approx(10_000.0, abs=1.0)
    assert re.match(
        r"The days set for starting and moving, and the days off, cost \d", short.reason
    )
    assert (short.reason_code, short.about) == (ShortReason.SET_DAYS, ("picked",))
    (day,) = named_days(short.reason)
    assert date(2026, 3, 13) <= day <= date(2026, 3, 14), "usable on day 1, picked 10 days later"


def test_nobody_picks_on_a_day_off() -> None:
    """What is ripe on Saturday is picked on Monday: too late for a Sunday market."""
    hands = tuple(0.0 if (TODAY + timedelta(days=d)).weekday() > 4 else 900.0 for d in range(DAYS))
    saturday = next(d for d in range(DAYS) if (TODAY + timedelta(days=d)).weekday() == 5)
    ripe = InRoom("F1", "v", "g", 20.0, 20.0, saturday + 1, (Picking(saturday, 10_000.0),))
    problem = replace(
        chain(bags=(), order_day=saturday + 1, resources=Resources(hands_minutes=hands)),
        in_rooms=(ripe,),
    )
    plan = solve(problem, time_limit_s=5.0)
    assert [pick.day.weekday() for pick in plan.picks] == [0]
    (short,) = plan.short
    assert not short.is_unavoidable
    assert short.amount == pytest.approx(10_000.0, abs=1.0)
    assert "days off" in short.reason
    later = replace(problem, orders=(replace(problem.orders[0], day=saturday + 8),))
    assert not solve(later, time_limit_s=5.0).short, "kept six days from Monday"


def test_too_few_parents_are_named_with_how_many_and_when() -> None:
    problem = chain(bags=(bag(1, 0),), order_day=12)
    (short,) = solve(problem, time_limit_s=5.0).short
    assert short.is_unavoidable
    assert short.amount == pytest.approx(5000.0, abs=1.0)  # one jar makes 10 of the 20 blocks
    assert "can be picked from 22 March" in short.reason
    assert (short.reason_code, short.about) == (ShortReason.FEW_PARENTS, ("block",))
    assert "about 1 more grain jar on" in short.reason
    assert "at the earliest" not in short.reason


def test_the_next_delivery_is_named() -> None:
    problem = chain(bags=(), order_day=9)
    recipe = problem.recipes[0]
    bought = replace(
        recipe.makings[0], is_purchase=True, cook="", start_days=(0, 7), ready_days=(6, 13)
    )
    recipe = replace(recipe, makings=(bought, recipe.makings[1]))
    (short,) = solve(replace(problem, recipes=(recipe,)), time_limit_s=5.0).short
    assert "since the next delivery of grain that can be had is on 18 March" in short.reason


def with_bought_grain(problem: Problem, **changed: object) -> Problem:
    """Return the problem with grain that is bought; none can be ordered any more, unless given."""
    recipe = problem.recipes[0]
    bought = replace(
        recipe.makings[0],
        is_purchase=True,
        cook="",
        **({"start_days": (), "ready_days": ()} | changed),  # type: ignore[arg-type]
    )
    return replace(problem, recipes=(replace(recipe, makings=(bought, recipe.makings[1])),))


def test_bought_spawn_is_called_bags_in_what_nature_forbids() -> None:
    early = with_bought_grain(chain(bags=(bag(1, 3),), order_day=9))
    (short,) = solve(early, time_limit_s=5.0).short
    assert "since no spawn bag is usable before 15 March" in short.reason
    few = with_bought_grain(chain(bags=(bag(1, 0),), order_day=12))
    (short,) = solve(few, time_limit_s=5.0).short
    assert "about 1 more spawn bag on" in short.reason


def test_bought_spawn_that_is_promised_itself_is_called_bags() -> None:
    """Spawn that comes on Mondays is sold on: why it is ordered, and what is short of it."""
    problem = with_bought_grain(
        chain(bags=()), start_days=(0, 7), ready_days=(6, 13), short_cost=20.0
    )
    sold = Order("p", "school", "v", 8, 12.0, "unit", "grain")
    plan = solve(replace(problem, orders=(sold,)), time_limit_s=5.0)
    (start,) = (each for each in plan.starts if each.step == "grain")
    assert start.why == "Feeds 12 spawn bags of Grey oyster for school on 20 March."
    recipe = problem.recipes[0]
    few = replace(
        recipe, makings=(replace(recipe.makings[0], largest_batch=8.0), recipe.makings[1])
    )
    (short,) = solve(replace(problem, recipes=(few,), orders=(sold,)), time_limit_s=5.0).short
    assert short.reason.startswith("Short of 4 spawn bags: ")


def test_a_batch_thought_too_large_is_not_nature() -> None:
    problem = chain(bags=(bag(9, 0),), order_day=11, largest=5.0, block_starts=(0, 14))
    (short,) = solve(problem, time_limit_s=5.0).short
    assert not short.is_unavoidable
    assert "largest batches" in short.reason
    assert (short.reason_code, short.about) == (ShortReason.WHOLE_UNITS, ("picked",))


def test_where_nothing_of_it_is_made_nothing_is_said_to_be_left_over() -> None:
    """A least batch of 60 blocks at 9 each is not begun for six that are worth 20 each."""
    problem = chain(bags=(bag(9, 0),))
    recipe = problem.recipes[0]
    block = replace(recipe.makings[1], minimum_batch=60, unit_cost=9.0, short_cost=20.0)
    problem = replace(
        problem,
        recipes=(replace(recipe, makings=(recipe.makings[0], block)),),
        orders=(Order("p", "school", "v", 12, 6.0, "unit", "block"),),
    )
    (short,) = solve(problem, time_limit_s=5.0).short
    assert short.amount == pytest.approx(6.0)
    assert not short.is_unavoidable
    assert short.reason.startswith("Short of 6 blocks, all that is promised: ")
    assert "over" not in short.reason
    assert (short.reason_code, short.about) == (ShortReason.WHOLE_UNITS, ("block",))


def steriliser(*, hours: dict[str, float]) -> Resources:
    return Resources(
        sterilisers=(
            SteriliserDays(
                "s",
                tuple(
                    CookOption(kind, 5.0, 50.0 if kind == "block" else 5.0, cost=1.0)
                    for kind in ("agar", "block")
                ),
                tuple(hours.get(str(day), 5.0) for day in range(DAYS)),
                (1.0,) * DAYS,
            ),
        ),
        is_sterile_counted=True,
    )


def test_what_comes_too_late_is_never_the_reason() -> None:
    """Grain cooked on day 5 is blocks on day 18 and mushrooms on day 21; never on day 14."""
    model = build_model(chain(bags=(bag(2, 0),), resources=steriliser(hours={})))
    causes = Causes(model)
    agar = [each for each in model.capacities if each.resource == "cooks of kind agar"]
    block = [each for each in model.capacities if each.resource == "cooks of kind block"]
    assert agar
    assert block
    assert not any(causes.can_help(each, (0, "picked", 14, 14)) for each in agar if each.day >= 0)
    assert any(causes.can_help(each, (0, "picked", 21, 21)) for each in agar)
    assert any(causes.can_help(each, (0, "picked", 14, 14)) for each in block if each.day <= 3)
    assert not any(causes.can_help(each, (0, "picked", 14, 14)) for each in block if each.day > 3)


def test_the_resource_and_what_would_mend_it_are_named() -> None:
    """20 blocks of day 2 need two cooks by day 1, and there is one."""
    problem = chain(
        bags=(bag(5, 0),),
        order_day=13,
        block_starts=(2,),
        resources=steriliser(hours={"0": 0.0}),
    )
    (short,) = solve(problem, time_limit_s=5.0).short
    assert not short.is_unavoidable
    assert short.amount == pytest.approx(5000.0, abs=1.0)
    assert short.reason == (
        "Short of 10 blocks because the steriliser has no time for block cooks on 13 March; "
        "about 50 L more of prepared vessels would mend it."
    )
    assert (short.reason_code, short.about) == (ShortReason.FULL, ("cooks of kind block",))


def test_what_no_route_makes_is_named_as_such() -> None:
    problem = chain(bags=())
    orders = (
        replace(problem.orders[0], variety="enoki"),
        replace(problem.orders[0], measure="unit", step="crate"),
    )
    shorts = solve(replace(problem, orders=orders), time_limit_s=5.0).short
    assert {(each.reason_code, each.about) for each in shorts} == {
        (ShortReason.NO_ROUTE, ()),
        (ShortReason.NO_STEP, ("crate",)),
    }


def test_vessels_for_today_cannot_be_cooked_any_more() -> None:
    problem = chain(
        bags=(bag(5, 0),),
        order_day=11,
        block_starts=(0,),
        resources=steriliser(hours={}),
    )
    (short,) = solve(problem, time_limit_s=5.0).short
    assert not short.is_unavoidable
    assert "because no more block vessels stand prepared on 12 March" in short.reason


@pytest.fixture(scope="module")
def pressed() -> Plan:
    """Return the plan of a farm that has promised twice what it is laid out for."""
    book = six_variety_book()
    book = replace(
        book, promises=tuple(replace(each, amount=2 * each.amount) for each in book.promises)
    )
    problem, _ = build_problem(book, six_variety_stock(), TODAY)
    return solve(problem, time_limit_s=60.0, gap=0.05)


def test_no_reason_contradicts_its_own_day(pressed: Plan) -> None:
    earliest = [s for s in pressed.short if "at the earliest" in s.reason]
    possible = [s for s in pressed.short if "can be picked from" in s.reason]
    assert earliest
    assert possible
    for short in earliest:
        assert named_days(short.reason)[1] > short.day, short.reason
    for short in possible:
        assert named_days(short.reason)[0] <= short.day, short.reason


def test_no_resource_is_named_after_the_day_it_is_short(pressed: Plan) -> None:
    because = [s for s in pressed.short if " because " in s.reason]
    assert because
    for short in because:
        assert all(day <= short.day for day in named_days(short.reason)), short.reason
        if short.measure == "gram" and short.day < date(2026, 4, 1):
            assert "agar" not in short.reason


def test_the_farm_on_any_day_is_never_worse_than_on_its_own() -> None:
    """Else what is said to be nature, and what for want of days, would both be wrong."""
    book = six_variety_book()
    for promised in (1.0, 2.0):
        many = tuple(replace(each, amount=promised * each.amount) for each in book.promises)
        problem, _ = build_problem(replace(book, promises=many), six_variety_stock(), TODAY)
        own, free = build_model(problem), build_model(on_any_day(with_everybody_there(problem)))
        least = []
        for model in (own, free):
            prices = dict.fromkeys(range(len(model.programme.cost)), 0.0)
            prices |= dict.fromkeys(model.short.values(), 1.0)
            unlimited = {each.row: INFINITY for each in model.capacities}
            batches = dict.fromkeys((*model.x.values(), *model.s.values()), INFINITY)
            change = Change(row_upper=unlimited, upper=batches, cost=prices, is_relaxed=True)
            least.append(run(model.programme, time_limit_s=20.0, change=change).objective)
        assert least[1] <= least[0] + 1e-6


@pytest.mark.parametrize(
    ("out_of_time", "problem"),
    [
        (1, chain(bags=(bag(1, 0),))),  # what the farm's own days allow
        (2, chain(bags=(bag(1, 0),))),  # what nature allows on any day
        (2, chain(bags=(bag(9, 0),), largest=5.0, block_starts=(0, 14))),  # what is lacking
    ],
)
def test_no_reason_is_claimed_where_the_time_is_over(
    monkeypatch: pytest.MonkeyPatch, out_of_time: int, problem: Problem
) -> None:
    plain = [(each.amount, each.reason_code) for each in solve(problem, time_limit_s=5.0).short]
    passes = itertools.count(1)

    def run_out(programme: Programme, **how: Any) -> Outcome:
        found = run(programme, **how)
        return replace(found, values=None) if next(passes) >= out_of_time else found

    monkeypatch.setattr("pinset.planning.reading.shortage.run", run_out)
    untold = solve(problem, time_limit_s=5.0).short
    assert [each.amount for each in untold] == pytest.approx([amount for amount, _ in plain])
    for short, (_, code) in zip(untold, plain, strict=True):
        assert code is not ShortReason.UNTOLD
        assert short.reason_code is ShortReason.UNTOLD
        assert not short.is_unavoidable
        assert short.reason.startswith("Short of ")
        assert "before it was known why" in short.reason


def test_what_a_pin_takes_is_not_called_unavoidable() -> None:
    """Ten blocks stand ready, six are sold tomorrow; all ten are pinned to fruit today."""
    free = replace(both_forms(grams=2000.0, units=6, alive=10), pins=())
    assert solve(free, time_limit_s=5.0).short == ()
    pin = Pinned("all", "v", "Grey oyster", "fruiting", 0, 10.0)
    (short,) = solve(replace(free, pins=(pin,)), time_limit_s=5.0).short
    assert (short.promise, short.reason_code) == ("u", ShortReason.PINNED)
    assert short.amount == pytest.approx(6.0)
    assert not short.is_unavoidable
    assert "Without what is pinned, 6 blocks more would be there" in short.reason


def test_beside_a_pin_nature_is_still_told_for_what_it_costs() -> None:
    """Ten blocks for sixteen: six are short whatever is done, ten by the pin."""
    free = both_forms(grams=2000.0, units=16, alive=10)
    only = tuple(order for order in free.orders if order.promise == "u")
    pin = Pinned("all", "v", "Grey oyster", "fruiting", 0, 10.0)
    shorts = solve(replace(free, orders=only, pins=(pin,)), time_limit_s=5.0).short
    assert [(each.is_unavoidable, round(each.amount, 1)) for each in shorts] == [
        (True, 6.0),
        (False, 10.0),
    ]
    assert shorts[1].reason_code is ShortReason.PINNED
