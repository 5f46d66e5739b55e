"""A picking must keep until the day it is handed over, whichever day it was packed.

By hand on a farm with an early and a late delivery on neighbouring days; and on tiny farms drawn at
random, against the most that can be handed over: whole kilograms matched to wanted kilograms by
augmenting paths, which gives the most there is (the theorem of Berge on matchings).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pinset.chain.stages import Stage
from pinset.planning.model.model import build_model
from pinset.planning.model.reach import Causes
from pinset.planning.outlets.surplus import left_of_promises
from pinset.planning.plan import Plan
from pinset.planning.problem import IN_STORE, InRoom, InStore, Order, Problem
from pinset.planning.recipes import Fruiting, Making, Picking, Recipe
from pinset.planning.resources import GrowRoom, Resources
from pinset.planning.season.chances import OrderChance, chances_of
from pinset.planning.season.odds import Odds
from pinset.planning.solve import solve
from planning.six_varieties import TODAY

KEEPS = 3
KG = 1000.0


def early(code: str, due: int, kilos: float) -> Order:
    """Return an order that is packed the day before it is handed over."""
    return Order(code, code, "grey", due - 1, kilos * KG, due_after=1)


def late(code: str, due: int, kilos: float) -> Order:
    """Return an order that is packed on its own day."""
    return Order(code, code, "grey", due, kilos * KG)


def farm(
    orders: list[Order],
    store: Sequence[tuple[int, float]],
    picks: Sequence[tuple[int, float]] = (),
) -> Problem:
    """Return a farm that starts nothing: what lies there, with its last day, and what is picked."""
    ripe = tuple(Picking(day, kilos * KG) for day, kilos in picks)
    return Problem(
        start=TODAY,
        days=14,
        whole_days=7,
        recipes=(Recipe("grey", "Grey oyster", 14, (), picked_keeps_days=KEEPS),),
        orders=tuple(orders),
        in_rooms=(InRoom("A", "grey", "north", 10.0, 10.0, 13, ripe),) if ripe else (),
        store=tuple(InStore("grey", kilos * KG, last) for last, kilos in store),
    )


def planned(problem: Problem) -> Plan:
    return solve(problem, time_limit_s=5.0)


def short_of(plan: Plan) -> dict[str, float]:
    """Return the kilograms that are short, by promise."""
    found: dict[str, float] = {}
    for each in plan.short:
        found[each.promise] = found.get(each.promise, 0.0) + each.amount / KG
    return found


def chances(problem: Problem, plan: Plan) -> dict[str, OrderChance]:
    found = chances_of(problem, plan, Odds({}, {}), seasons=20).orders
    return {each.promise: each for each in found}


CAFE = farm([early("cafe", 3, 6.0)], [(2, 3.1), (4, 2.9)])


def test_what_is_good_when_packed_and_not_when_handed_over_does_not_count() -> None:
    plan = planned(CAFE)
    assert short_of(plan) == pytest.approx({"cafe": 3.1})
    later = replace(CAFE, store=(replace(CAFE.store[0], last_day=3), CAFE.store[1]))
    assert planned(later).short == (), "keeps until the day it is handed over"


def test_seasons_do_not_hand_it_over_either() -> None:
    cafe = chances(CAFE, planned(CAFE))["cafe"]
    assert cafe.chance == 0.0
    assert (cafe.low, cafe.expected, cafe.high) == pytest.approx((2900.0, 2900.0, 2900.0))


BOTH = farm(
    [early("cafe", 3, 4.0), late("inn", 2, 2.0), late("stall", 3, 3.0)],
    [(2, 3.0), (3, 2.5)],
    [(2, 1.0), (3, 1.5)],
)
"""The inn takes 2 of the 3 kg that keep until day 2; the third is lost. The cafe, packed the same
day for day 3, gets 2.5 and the 1 picked on day 2: it is short of 0.5. The stall has the 1.5 picked
on day 3, and is short of 1.5."""


def test_an_early_and_a_late_delivery_on_neighbouring_days() -> None:
    plan = planned(BOTH)
    assert short_of(plan) == pytest.approx({"cafe": 0.5, "stall": 1.5})
    found = chances(BOTH, plan)
    kilos = {code: each.expected / KG for code, each in found.items()}
    assert kilos == pytest.approx({"inn": 2.0, "cafe": 3.5, "stall": 1.5}, abs=1e-3)
    assert {code: each.chance for code, each in found.items()} == {
        "inn": 1.0, "cafe": 0.0, "stall": 0.0,
    }  # fmt: skip
    left = [(crop.day, crop.last_day, crop.grams) for crop in left_of_promises(BOTH, plan)]
    assert left == [(IN_STORE, 2, pytest.approx(1000.0))]


def test_the_one_delivered_first_is_served_first_however_they_are_listed() -> None:
    cafe, inn = early("cafe", 3, 2.0), late("inn", 2, 2.0)
    for orders in ([cafe, inn], [inn, cafe]):
        problem = farm(orders, [(3, 2.5)])
        plan = planned(problem)
        assert short_of(plan) == pytest.approx({"cafe": 1.5})
        assert chances(problem, plan)["inn"].chance == 1.0


def most(problem: Problem) -> int:
    """Return the most kilograms that can be handed over."""
    lying = [(IN_STORE, each.last_day, each.grams) for each in problem.store]
    lying += [
        (pick.day, pick.day + KEEPS, pick.grams) for lot in problem.in_rooms for pick in lot.picks
    ]
    units = [(there, last) for there, last, grams in lying for _ in range(round(grams / KG))]
    asked = [order for order in problem.orders for _ in range(round(order.amount / KG))]
    taker: dict[int, int] = {}

    def finds(want: int, seen: set[int]) -> bool:
        order = asked[want]
        for unit, (there, last) in enumerate(units):
            if there <= order.day and order.due <= last and unit not in seen:
                seen.add(unit)
                if unit not in taker or finds(taker[unit], seen):
                    taker[unit] = want
                    return True
        return False

    return sum(finds(want, set()) for want in range(len(asked)))


AMOUNTS = st.lists(st.tuples(st.integers(0, 4), st.integers(1, 4)), min_size=1, max_size=3)


@given(store=AMOUNTS, picks=AMOUNTS, first=AMOUNTS, second=AMOUNTS)
@settings(max_examples=60, deadline=None)
def test_as_much_is_handed_over_as_can_be(
    store: list[tuple[int, int]],
    picks: list[tuple[int, int]],
    first: list[tuple[int, int]],
    second: list[tuple[int, int]],
) -> None:
    """What is short in the plan, and what seasons without chance hand over, add up to the most."""
    orders = [early(f"early-{n}", day, kilos) for n, (day, kilos) in enumerate(first)]
    orders += [late(f"late-{n}", day, kilos) for n, (day, kilos) in enumerate(second)]
    problem = farm(
        orders,
        [(last, float(kilos)) for last, kilos in store],
        [(day, float(kilos)) for day, kilos in sorted(picks)],
    )
    plan = planned(problem)
    asked = sum(order.amount for order in orders) / KG
    assert sum(short_of(plan).values()) == pytest.approx(asked - most(problem), abs=0.02)
    handed = sum(each.expected for each in chances(problem, plan).values()) / KG
    assert handed == pytest.approx(most(problem), abs=0.01)


def test_blocks_moved_in_serve_an_early_delivery_only_while_their_picks_keep() -> None:
    """A move bears after 7 days, once: picked on day t + 7 it is good until t + 10."""
    block = Making("block", Stage.BLOCK, 14, 60, 1.0, ())
    fruiting = Fruiting("fruiting", "block", tuple(range(14)), 8, (Picking(7, 500.0),), ("north",))
    recipe = Recipe("grey", "Grey oyster", 28, (block,), fruiting, picked_keeps_days=KEEPS)
    resources = Resources(rooms=(GrowRoom("north", 100.0),))
    model = build_model(Problem(TODAY, 28, 7, (recipe,), resources=resources))
    causes = Causes(model)
    key = (0, "picked", 12, 13)
    helps = {t for (_, _, t), column in model.v.items() if causes.can_reach(column, key)}
    assert helps == {3, 4, 5}


def test_it_is_said_what_the_plan_counts_on_and_what_could_come_along() -> None:
    """3.1 kg are missing on day 3, when 1.2 are ripe: the rest cannot be had whatever is done."""
    ripe = replace(
        CAFE, in_rooms=(InRoom("A", "grey", "north", 10.0, 10.0, 9, (Picking(3, 1200.0),)),)
    )
    [short] = planned(ripe).short
    assert (short.amount, short.is_unavoidable) == (pytest.approx(3100.0), True)
    assert short.reason == (
        "For what is handed over before the picking of 15 March the plan counts only on what is "
        "picked by 14 March, and there is no more Grey oyster by then; no more can be started. "
        "About 1.2 kg should be ripe on 15 March: what is picked and packed before it leaves can "
        "still come along."
    )
    [none] = planned(CAFE).short
    assert none.is_unavoidable
    assert none.reason.endswith("no more can be started.")


def test_what_the_morning_could_make_up_for_is_not_called_unavoidable() -> None:
    store = (InStore("grey", 1500.0, 2),)
    rooms = (InRoom("A", "grey", "north", 10.0, 10.0, 9, (Picking(0, 2500.0),)),)
    today = replace(CAFE, orders=(early("cafe", 0, 4.0),), store=store, in_rooms=rooms)
    [short] = planned(today).short
    assert (short.amount, short.is_unavoidable) == (pytest.approx(2500.0), False)
    assert "the plan counts only on what lies in the store" in short.reason
    assert "About 2.5 kg should be ripe on 12 March" in short.reason
    assert "whatever is done" not in short.reason
