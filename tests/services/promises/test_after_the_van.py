"""What leaves at an hour that has passed gets nothing that is still to be picked."""

from __future__ import annotations

from datetime import date, time, timedelta

import pytest

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
