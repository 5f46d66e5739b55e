"""What leaves at an hour that has passed gets nothing that is still to be picked."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time, timedelta

import pytest

from pinset.chain.day_hours import DayHours
from pinset.chain.register import (
    Buyer,
    Farm,
    FarmBook,
    Flush,
    Promise,
    Route,
    Spread,
    Step,
    StepKind,
    Variety,
    Weekday,
    Worker,
)
from pinset.chain.stages import Stage
from pinset.planning.building.from_book import Picked, build_problem
from pinset.planning.problem import IN_STORE
from pinset.services.book_reader import Reader
from pinset.services.promises.allotment import allot
from pinset.services.promises.due_deliveries import DueDelivery, packed_on

MONDAY = date(2026, 3, 9)
KG = 1000
NONE = Spread(0, 0, 0)
FRUITING = Step(
    "fruiting", StepKind.FRUIT, Stage.BLOCK, Spread(6, 6, 6), NONE, 16,
    yield_g=KG, flushes=(Flush(NONE, 1.0, 4, 0.0),),
)  # fmt: skip
BOOK = FarmBook(
    Farm("Test", 400, "Europe/Vienna", working_days=tuple(Weekday)),
    routes=(Route("r", (FRUITING,)),),
    varieties=(Variety("grey", "Grey", "Pleurotus ostreatus", "r", picked_keeps_days=3),),
    buyers=(Buyer("noon", "Noon", "12:00"),),
    promises=(Promise("p", "noon", "grey", 5 * KG, on_date=MONDAY),),
)
DUE = DueDelivery(BOOK.promises[0], MONDAY, 0)


@pytest.mark.parametrize(
    ("since", "gets"),
    [(None, (2 * KG, 3 * KG)), (time(12), (2 * KG, 3 * KG)), (time(12, 5), (2 * KG, 0))],
)
def test_it_is_allotted_what_lies_in_the_store(since: time | None, gets: tuple[int, int]) -> None:
    store = (Picked("grey", MONDAY - timedelta(days=1), 2 * KG),)
    shares = allot([DUE], store, {"grey": 9.0 * KG}, Reader(BOOK, MONDAY), (), since).shares
    share = shares["p", MONDAY]
    assert (share.in_store, share.of_today) == gets


@pytest.mark.parametrize(("since", "day"), [(0.0, 0), (12.0, 0), (12.1, IN_STORE)])
def test_it_is_planned_from_what_lies_in_the_store(since: float, day: int) -> None:
    problem, _ = build_problem(BOOK, (), MONDAY, since_hours=since)
    assert [order.day for order in problem.orders] == [day]


def test_a_day_on_which_nobody_is_there_packs_nothing() -> None:
    """Saturday is a working day, but the only person is there from Monday to Friday."""
    saturday = MONDAY + timedelta(days=5)
    alone = FarmBook(
        BOOK.farm, buyers=BOOK.buyers, workers=(Worker("ada", "Ada", (8.0,) * 5 + (0.0, 0.0)),)
    )
    due = DueDelivery(BOOK.promises[0], saturday, 0)
    assert packed_on(due, Reader(alone, MONDAY)) == saturday - timedelta(days=1)
    assert packed_on(due, Reader(BOOK, MONDAY)) == saturday


def at(hour: str, *hours: DayHours) -> Reader:
    buyers = (Buyer("noon", "Noon", hour),)
    return Reader(replace(BOOK, buyers=buyers, workers=(Worker("ada", "Ada", hours),)), MONDAY)


@pytest.mark.parametrize(
    ("hour", "of_day", "packed"),
    [("14:00", 1, 0), ("20:00", 1, 1), ("07:00", 5, 4), ("14:00", 5, 5), ("07:00", 6, 5)],
)
def test_a_van_before_anybody_comes_is_packed_the_working_day_before(
    hour: str, of_day: int, packed: int
) -> None:
    """In the evening on working days, on Saturday all day; on Sunday nobody is here."""
    reader = at(hour, *("17:00-20:30",) * 5, 8.0, 0.0)
    due = DueDelivery(BOOK.promises[0], MONDAY + timedelta(days=of_day), 0)
    assert packed_on(due, reader) == MONDAY + timedelta(days=packed)
    order = replace(BOOK.promises[0], on_date=due.day)
    problem, _ = build_problem(replace(reader.book, promises=(order,)), (), MONDAY)
    last = of_day - 1 if hour != "20:00" and (of_day, hour) != (5, "14:00") else of_day
    assert [each.day for each in problem.orders] == [last]


def test_over_a_long_pause_it_is_packed_before_the_pause() -> None:
    reader = at("07:00", *(8.0,) * 7)
    off = tuple(MONDAY + timedelta(days=day) for day in range(1, 15))
    book = replace(reader.book, farm=replace(reader.book.farm, days_off=off))
    due = DueDelivery(BOOK.promises[0], MONDAY + timedelta(days=14), 0)
    assert packed_on(due, Reader(book, MONDAY)) == MONDAY
