"""Every kilogram is given once, in one order, and as much is handed over as can be.

How much can be is computed apart: matching whole kilograms to wanted kilograms by augmenting paths,
which gives the most there is (the theorem of Berge on matchings).
"""

from __future__ import annotations

import secrets
from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from farm.small_farm import NOW, TODAY
from pinset.chain.register import Buyer, Farm, FarmBook, Promise, Variety, Weekday
from pinset.farm import register_store
from pinset.planning.building.from_book import Picked
from pinset.planning.plan import ExpectedPick, Short
from pinset.services.answers import off_plan
from pinset.services.book_reader import Reader
from pinset.services.day import today
from pinset.services.jobs.records import JobKind
from pinset.services.plans import planning_day
from pinset.services.promises import promises
from pinset.services.promises.allotment import Allotment, allot, in_order
from pinset.services.promises.due_deliveries import DueDelivery
from pinset.services.promises.shorts_allotted import (
    GONE_BEFORE,
    TOO_OLD_OR_LATE,
    shorts_as_allotted,
)
from pinset.services.words import kilograms

MONDAY = date(2026, 3, 9)
KEEPS = 3
KG = 1000
LATER = MONDAY + timedelta(days=21)
ALL_WEEK = tuple(Weekday)


def promise(code: str, kilos: int, buyer: str = "noon") -> Promise:
    return Promise(code, buyer, "grey", kilos * KG, on_date=MONDAY)


def book_of(*promised: Promise) -> FarmBook:
    return FarmBook(
        Farm("Test", 400, "Europe/Vienna", working_days=ALL_WEEK),
        varieties=(Variety("grey", "Grey", "Pleurotus ostreatus", "r", picked_keeps_days=KEEPS),),
        buyers=(Buyer("noon", "Noon", "12:00"), Buyer("ten", "Ten", "10:00")),
        promises=promised,
    )


def given_out(
    due: list[DueDelivery],
    store: list[tuple[int, int]] = [],  # noqa: B006  (never changed)
    picks: list[tuple[int, int]] = [],  # noqa: B006
) -> tuple[Allotment, list[float]]:
    """Return the allotment and the kilograms of each delivery; days count from Monday."""
    reader = Reader(book_of(*(each.promise for each in due)), MONDAY)
    stored = [Picked("grey", MONDAY + timedelta(days=day), kilos * KG) for day, kilos in store]
    today_kg = sum(kilos for day, kilos in picks if day == 0)
    later = [ExpectedPick(MONDAY + timedelta(days=day), "grey", kilos * KG) for day, kilos in picks]
    found = allot(due, stored, {"grey": today_kg * KG}, reader, later)
    return found, [found.of(each).grams / KG for each in due]


def on(day: int, each: Promise) -> DueDelivery:
    return DueDelivery(each, MONDAY + timedelta(days=day), 0)


def test_due_first_then_handed_over_first_then_promised_first() -> None:
    a, b, c, d = promise("a", 4), promise("b", 4), promise("c", 4, "ten"), promise("d", 4)
    due = [on(1, d), on(0, b), on(0, a), on(0, c)]
    reader = Reader(book_of(a, b, c, d), MONDAY)
    assert [each.promise.code for each in in_order(due, reader)] == ["c", "a", "b", "d"]
    found = allot(due, [Picked("grey", MONDAY, 10 * KG)], {}, reader)
    assert [found.of(each).grams for each in due] == [0, 2 * KG, 4 * KG, 4 * KG]


def test_what_is_past_its_days_then_is_not_given() -> None:
    """Picked on Saturday it keeps until Tuesday, so Wednesday gets nothing of it."""
    _, kilos = given_out([on(2, promise("a", 5)), on(1, promise("b", 2))], store=[(-2, 9)])
    assert kilos == [0, 2]


def test_later_picking_spares_the_store_for_nobody() -> None:
    """Today takes 3 of the 4 kg in store; tomorrow's buyer gets the rest and what is picked."""
    _, kilos = given_out(
        [on(0, promise("a", 3)), on(1, promise("b", 5))], store=[(-1, 4)], picks=[(1, 2)]
    )
    assert kilos == [3, 3]


def most(supplies: list[tuple[int, int, int]], wants: list[tuple[int, int]]) -> int:
    """Return the most kilograms that can be handed over, by augmenting paths.

    ``supplies`` are first day, last day and kilograms; ``wants`` day and kilograms.
    """
    units = [(first, last) for first, last, kilos in supplies for _ in range(kilos)]
    asked = [day for day, kilos in wants for _ in range(kilos)]
    taker: dict[int, int] = {}

    def finds(want: int, seen: set[int]) -> bool:
        for unit, (first, last) in enumerate(units):
            if first <= asked[want] <= last and unit not in seen:
                seen.add(unit)
                if unit not in taker or finds(taker[unit], seen):
                    taker[unit] = want
                    return True
        return False

    return sum(finds(want, set()) for want in range(len(asked)))


AMOUNTS = st.lists(st.tuples(st.integers(0, 6), st.integers(1, 4)), max_size=5)


@settings(max_examples=150, deadline=None, derandomize=True)
@given(st.lists(st.tuples(st.integers(-KEEPS, 0), st.integers(1, 4)), max_size=3), AMOUNTS, AMOUNTS)
def test_as_much_is_handed_over_as_can_be_and_nothing_twice(
    store: list[tuple[int, int]], picks: list[tuple[int, int]], wants: list[tuple[int, int]]
) -> None:
    due = [on(day, promise(f"p{number}", kilos)) for number, (day, kilos) in enumerate(wants)]
    _, kilos = given_out(due, store, picks)
    supplies = [(0, day + KEEPS, amount) for day, amount in store]
    supplies += [(day, day + KEEPS, amount) for day, amount in picks]
    assert sum(kilos) == pytest.approx(most(supplies, wants))
    assert all(got <= each.promise.amount / KG for got, each in zip(kilos, due, strict=True))


def test_a_shortage_falls_on_whoever_gets_less_with_its_own_reason() -> None:
    """The plan left the larger promise short; it was promised first and is whole."""
    first, second = promise("first", 5), promise("second", 4)
    due = [on(0, first), on(0, second)]
    reader = Reader(book_of(first, second), MONDAY)
    found, _ = given_out(due, store=[(0, 6)])
    planned = Short("first", MONDAY, "grey", 3000.0, "gram", 5000.0, "Too few blocks.", True)
    [short] = shorts_as_allotted([planned], due, found, reader, LATER)
    assert (short.promise, short.amount, short.promised) == ("second", 3000.0, 4000.0)
    assert (short.reason, short.is_unavoidable) == ("Too few blocks.", True)


def test_what_the_plan_knew_nothing_of_has_a_reason_too() -> None:
    missed, now = promise("missed", 5), promise("now", 4)
    due = [on(-1, missed), on(0, now)]
    found, kilos = given_out(due, store=[(0, 6)])
    assert kilos == [5, 1]
    reader = Reader(book_of(missed, now), MONDAY)
    [short] = shorts_as_allotted([], due, found, reader, LATER)
    assert (short.promise, short.amount, short.reason) == ("now", 3000.0, GONE_BEFORE)


def test_what_is_too_old_by_then_is_not_told_as_gone_to_others() -> None:
    """Nobody gets any of it: picked on Saturday it keeps until Tuesday, and is due on Wednesday."""
    due = [on(2, promise("a", 5))]
    found, kilos = given_out(due, store=[(-2, 9)])
    assert kilos == [0]
    reader = Reader(book_of(due[0].promise), MONDAY)
    [short] = shorts_as_allotted([], due, found, reader, LATER)
    assert short.reason == TOO_OLD_OR_LATE


@pytest.mark.parametrize(("measure", "until"), [("gram", MONDAY), ("unit", LATER)])
def test_far_weight_and_units_are_as_short_as_the_plan_says(measure: str, until: date) -> None:
    """The plan is short of 3 on that day; it falls on the one promised last."""
    first, second = (replace(promise(code, 5), measure=measure) for code in ("first", "second"))
    due = [on(2, second), on(2, first)]
    reader = Reader(book_of(first, second), MONDAY)
    day = MONDAY + timedelta(days=2)
    planned = Short("first", day, "grey", 3000.0, measure, 5000.0, "Too few blocks.", True)
    [short] = shorts_as_allotted([planned], due, Allotment(), reader, until)
    assert (short.promise, short.amount, short.reason) == ("second", 3000.0, "Too few blocks.")


def test_today_and_promises_say_the_same_of_two_buyers_on_one_day(
    stock: dict[str, str],
) -> None:
    """Of 6 kg in store and what is picked the 5 kg promised first are whole; the other waits."""
    off_plan.pick(
        stock["fruiting"], 6000, person="ada", client_id=secrets.token_hex(16),
        at=NOW - timedelta(days=1), reason="invented",
    )  # fmt: skip
    inn = Promise("inn-grey", "inn", "grey", 90_000, weekday=Weekday.THU)
    register_store.write([Buyer("inn", "The inn"), inn], TODAY, "", NOW)
    planned = planning_day.replan()
    rows = {
        row.promise: (row.expected, row.state)
        for _, week in promises.promises_view().weeks
        for row in week
        if row.day == TODAY and row.measure == "gram"
    }
    said = {
        job.what: job.detail
        for section in today.day_view().sections
        for job in section.jobs
        if job.kind in {JobKind.DELIVER.value, JobKind.PACK.value} and job.unit == "kg"
    }
    picked = sum(pick.grams for pick in planned.plan.picks if pick.day == TODAY)
    rest = round(6000 + picked) - 5000
    assert rows["market-grey"] == (5000, "on course")
    assert rows["inn-grey"][0] == pytest.approx(rest, abs=1)
    assert said == {
        f"kg to pack: {kilograms(5000 + rest)} Grey oyster": "Packed before 14:00; short by "
        f"{kilograms(90_000 - rest)} Grey oyster",
        "kg Grey oyster for Market stall": "Promised 5 kg",
        "kg Grey oyster for The inn": f"Promised 90 kg; {kilograms(rest)} or so will be there",
    }
