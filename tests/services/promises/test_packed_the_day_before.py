"""The plan, its seasons and the allotment hold picked mushrooms against the same day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pinset.chain.register import Buyer, FarmBook, Promise
from pinset.planning.building.from_book import Picked, build_problem
from pinset.planning.season.chances import chances_of
from pinset.planning.season.odds import Odds
from pinset.planning.solve import solve
from pinset.services.book_reader import Reader
from pinset.services.promises.allotment import allot
from pinset.services.promises.due_deliveries import DueDelivery
from planning.small_farm import bought_route, small_farm

TUESDAY = date(2026, 9, 29)
KEEPS = 5
KG = 1000
Wanted = Sequence[tuple[str, int, int]]  # buyer, days from Tuesday, kilograms


def book_of(wanted: Wanted) -> FarmBook:
    """Return a farm whose cafe is served at 08:30, too early for that morning's picking."""
    book = small_farm(bought_route())
    promises = tuple(
        Promise(f"p{n}", buyer, "bought", kilos * KG, on_date=TUESDAY + timedelta(days=day))
        for n, (buyer, day, kilos) in enumerate(wanted)
    )
    return replace(
        book,
        varieties=tuple(replace(each, picked_keeps_days=KEEPS) for each in book.varieties),
        buyers=(
            Buyer("cafe", "Cafe", "08:30"),
            Buyer("inn", "Inn", "14:00"),
            Buyer("bar", "Bar", "11:00"),
        ),
        promises=promises,
    )


def told(wanted: Wanted, lying: Sequence[tuple[int, float]]) -> list[list[float]]:
    """Return the kilograms of each promise by the plan, by its seasons and by the allotment.

    ``lying`` are kilograms in store with the days from Tuesday on which they were picked.
    """
    book = book_of(wanted)
    store = [Picked("bought", TUESDAY + timedelta(days=day), kilos * KG) for day, kilos in lying]
    problem, _ = build_problem(book, (), TUESDAY, horizon_days=28, whole_days=0, store=store)
    problem = replace(problem, has_end_stock=False)
    plan = solve(problem, time_limit_s=10.0)
    short: dict[str, float] = {}
    for each in plan.short:
        short[each.promise] = short.get(each.promise, 0.0) + each.amount
    chances = {
        each.promise: each.expected
        for each in chances_of(problem, plan, Odds({}, {}), seasons=5, days=14).orders
    }
    due = [DueDelivery(each, each.on_date or TUESDAY, 0) for each in book.promises]
    allotted = allot(due, store, {}, Reader(book, TUESDAY))
    return [
        [(each.amount - short.get(each.code, 0.0)) / KG for each in book.promises],
        [chances[each.code] / KG for each in book.promises],
        [allotted.of(each).grams / KG for each in due],
    ]


def test_what_keeps_until_the_day_before_is_counted_by_none() -> None:
    """3.1 kg picked on Saturday keep until Thursday, 2.9 of Monday until Saturday."""
    for kilos in told([("cafe", 3, 6)], [(-3, 3.1), (-1, 2.9)]):
        assert kilos == pytest.approx([2.9], abs=0.02)
    for kilos in told([("inn", 2, 6)], [(-3, 3.1), (-1, 2.9)]):
        assert kilos == pytest.approx([6.0], abs=0.02)


def test_of_one_day_who_is_served_first_gets_it_in_seasons_too() -> None:
    """The bar at 11:00 before the inn at 14:00, though it was promised later."""
    _, by_seasons, by_allotment = told([("inn", 2, 3), ("bar", 2, 3)], [(-2, 4)])
    assert by_allotment == pytest.approx([1.0, 3.0])
    assert by_seasons == pytest.approx(by_allotment, abs=0.02)


@given(
    days=st.lists(
        st.tuples(st.sampled_from(["cafe", "inn"]), st.integers(0, 3)), min_size=1, max_size=4,
        unique=True,
    ),
    kilos=st.lists(st.integers(1, 4), min_size=4, max_size=4),
    lying=st.lists(st.tuples(st.integers(-5, -1), st.integers(1, 4)), min_size=1, max_size=3),
)  # fmt: skip
@settings(max_examples=8, deadline=None)
def test_each_promise_gets_as_much_by_the_plan_its_seasons_and_the_allotment(
    days: list[tuple[str, int]], kilos: list[int], lying: list[tuple[int, int]]
) -> None:
    wanted = [(buyer, day, kilos[n]) for n, (buyer, day) in enumerate(days)]
    by_plan, by_seasons, by_allotment = told(wanted, lying)
    assert by_plan == pytest.approx(by_allotment, abs=0.02)
    assert by_seasons == pytest.approx(by_allotment, abs=0.02)
