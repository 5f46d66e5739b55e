"""What is left of each picking once promises are served, and when outlets can have it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from math import inf
from random import Random

import pytest

from pinset.chain.outages import Outage, OutageOf
from pinset.chain.register import Buyer, Outlet, OutletKind, Weekday
from pinset.planning.building.from_book import build_problem
from pinset.planning.outlets.surplus import Crop, left_of_promises
from pinset.planning.outlets.visits import visits_of
from pinset.planning.plan import ExpectedPick, Plan
from pinset.planning.problem import IN_STORE, InStore, Order, Problem
from pinset.planning.recipes import Recipe
from planning.small_farm import bought_route, small_farm

MONDAY = date(2026, 3, 16)
GREY = Recipe("grey", "Grey", 28, (), picked_keeps_days=4)


def left(
    picks: dict[int, float], orders: dict[int, float], *store: InStore
) -> tuple[tuple[int, int, float], ...]:
    """Return day, last day and grams of what is left."""
    problem = Problem(
        MONDAY,
        28,
        0,
        (GREY,),
        tuple(Order(f"p{day}", "a kitchen", "grey", day, amount) for day, amount in orders.items()),
        store=store,
    )
    expected = tuple(
        ExpectedPick(MONDAY + timedelta(days=day), "grey", grams) for day, grams in picks.items()
    )
    plan = Plan(MONDAY, 28, 0, (), (), (), expected, (), (), (), 0.0, 0.0, 0.0, 0.0, "proven")
    return tuple((c.day, c.last_day, c.grams) for c in left_of_promises(problem, plan))


def test_promises_take_the_oldest_that_is_still_good() -> None:
    assert left({0: 5000.0, 3: 2000.0}, {4: 4000.0}) == ((0, 4, 1000.0), (3, 7, 2000.0))
    assert left({0: 5000.0, 3: 2000.0}, {5: 4000.0}) == ((0, 4, 5000.0),)
    assert left({0: 5000.0, 6: 2000.0}, {4: 7000.0}) == ((6, 10, 2000.0),)


def test_what_is_past_its_days_when_it_is_handed_over_serves_nothing() -> None:
    """Packed on its last day for an early hour of the next, it would be a day too old."""
    order = Order("p", "a kitchen", "grey", 4, 2000.0, due_after=1)
    problem = Problem(MONDAY, 28, 0, (GREY,), (order,))
    picks = (ExpectedPick(MONDAY, "grey", 2000.0),)
    plan = Plan(MONDAY, 28, 0, (), (), (), picks, (), (), (), 0.0, 0.0, 0.0, 0.0, "proven")
    assert [crop.grams for crop in left_of_promises(problem, plan)] == [2000.0]


def test_what_lies_in_the_store_is_used_by_its_own_last_day() -> None:
    store = InStore("grey", 800.0, 1)
    assert left({0: 1000.0}, {1: 1200.0}, store) == ((0, 4, 600.0),)
    assert left({}, {}, store) == ((IN_STORE, 1, 800.0),)


@pytest.mark.parametrize("seed", range(40))
def test_giving_what_is_left_away_touches_no_promise(seed: int) -> None:
    """Without what is left over nothing is left, promises get the same; later picks change nothing.

    What is left of a picking is thus known as soon as it is picked.
    """
    random = Random(seed)
    picks = {day: 500.0 * random.randint(1, 8) for day in random.sample(range(20), 7)}
    orders = {day: 500.0 * random.randint(1, 8) for day in random.sample(range(22), 6)}
    whole = left(picks, orders)
    less = dict(picks)
    for day, _, grams in whole:
        less[day] -= grams
    assert left(less, orders) == ()
    assert handed(less, orders) == handed(picks, orders)
    until = max(picks)
    fewer = {day: grams for day, grams in picks.items() if day < until}
    assert left(fewer, orders) == tuple(each for each in whole if each[0] < until)


def handed(picks: dict[int, float], orders: dict[int, float]) -> dict[int, float]:
    """Return what each order gets, oldest first, kilogram by kilogram of 500 g."""
    lying = sorted(day for day, grams in picks.items() for _ in range(round(grams / 500.0)))
    given = {}
    for due, amount in sorted(orders.items()):
        good = [day for day in lying if day <= due <= day + GREY.picked_keeps_days]
        taken = good[: round(amount / 500.0)]
        for day in taken:
            lying.remove(day)
        given[due] = 500.0 * len(taken)
    return given


def test_what_keeps_beyond_the_promises_that_are_known_is_left_alone() -> None:
    assert left({23: 900.0, 24: 900.0}, {}) == ((23, 27, 900.0),)


def test_units_that_are_sold_take_no_picked_weight() -> None:
    order = Order("p", "a club", "grey", 2, 3.0, measure="unit", step="block")
    problem = Problem(MONDAY, 28, 0, (GREY,), (order,), store=(InStore("grey", 800.0, 3),))
    plan = Plan(MONDAY, 28, 0, (), (), (), (), (), (), (), 0.0, 0.0, 0.0, 0.0, "proven")
    assert left_of_promises(problem, plan) == (Crop("grey", IN_STORE, 3, 800.0),)


THURSDAY = date(2026, 3, 12)
STALL = Outlet("stall", "Stall", OutletKind.MARKET, (Weekday.SAT,), most_g=8000)


def visits(*outlets: Outlet, handed: float = 0.0) -> list[tuple[str, int, int]]:
    book = replace(small_farm(bought_route()), outlets=outlets, buyers=(Buyer("b", "B", "06:30"),))
    book = replace(book, outages=(Outage("away", OutageOf.PERSON, "me", THURSDAY, THURSDAY),))
    problem, _ = build_problem(book, (), THURSDAY, assume_prepared=False)
    found = visits_of(book, problem, {("stall", THURSDAY + timedelta(days=2)): handed})
    return [(v.outlet, v.day, v.packed) for v in found if v.day < 10]


def test_an_outlet_with_weekdays_is_open_on_them_and_one_without_when_somebody_works() -> None:
    assert visits(STALL) == [("stall", 2, 2), ("stall", 9, 9)]
    drier = replace(STALL, code="drier", weekdays=())
    days = [day for _, day, _ in visits(drier)]
    assert days[0] == 1, "everybody is away today"
    assert set(days) <= set(range(1, 10))
    ending = replace(drier, until=THURSDAY + timedelta(days=1))
    assert visits(ending) == [("drier", 1, 1)]


def test_early_hours_carry_what_was_picked_the_day_before() -> None:
    assert visits(replace(STALL, buyer="b"))[0] == ("stall", 2, 1)
    assert visits(replace(STALL, deliver_at="06:00"))[0] == ("stall", 2, 1)
    assert visits(replace(STALL, buyer="b", deliver_at="11:00"))[0] == ("stall", 2, 2)


def test_what_was_handed_over_today_counts() -> None:
    assert visits(STALL, handed=8000.0) == [("stall", 9, 9)]
    book = replace(small_farm(bought_route()), outlets=(replace(STALL, least_g=3000),))
    problem, _ = build_problem(book, (), THURSDAY, assume_prepared=False)
    first, second, *_ = visits_of(book, problem, {("stall", THURSDAY + timedelta(days=2)): 2000.0})
    assert (first.least, first.most) == (1000.0, 6000.0)
    assert (second.least, second.most) == (3000.0, 8000.0)


def test_prices_are_those_of_the_outlet_or_the_variety_s_own() -> None:
    book = small_farm(bought_route())
    variety = replace(book.varieties[0], price_cents_per_kg=1300)
    drier = Outlet(
        "d", "D", OutletKind.DRYING, price_cents_per_kg=9000, fresh_per_dry=9.0, most_g=None
    )
    book = replace(book, varieties=(variety,), outlets=(replace(STALL, weekdays=()), drier))
    problem, _ = build_problem(book, (), THURSDAY, assume_prepared=False)
    found = {v.outlet: v for v in visits_of(book, problem)}
    assert found["stall"].cents == {variety.code: 1300.0}
    assert found["d"].cents == {variety.code: pytest.approx(1000.0)}
    assert found["d"].most == inf
    book = replace(book, outlets=(replace(STALL, varieties=("something-else",)),))
    assert visits_of(book, problem) == ()
