"""Of a lot only the opened units have the opened life; sealed ones beside them keep."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from farm.small_farm import BOOK, CODES, NOW, ROUTE, TODAY, Taps, describe, lot
from pinset.chain.readiness import LotState, state
from pinset.chain.stages import Stage
from pinset.farm import door, trade
from pinset.farm.queries.alive import living
from pinset.farm.trade import ParentShare, Taken

A, B, C = CODES[:3]
KEEPS = replace(
    ROUTE,
    steps=tuple(
        replace(step, opened_keeps_days=7.0, keeps_days_warm=60.0) if step.code == "grain" else step
        for step in ROUTE.steps
    ),
)


@pytest.fixture(autouse=True)
def farm(db: None) -> None:  # noqa: ARG001
    describe(replace(BOOK, routes=(KEEPS,)))


def stock(tap: Taps, opened_on: date | None, count: int = 2) -> None:
    made = lot(A, Stage.GRAIN, "grain", made_on=TODAY - timedelta(days=30))
    door.record(
        [trade.opening(tap(hours=-400), made, count, "inc-1", opened_on=opened_on)], now=NOW
    )


def opened() -> list[tuple[int, date | None]]:
    return [(part.alive, part.opened_on) for part in living(TODAY, lots=[A])]


def take_part(tap: Taps, code: str, hours: float) -> None:
    share = ParentShare(A, 1, "inc-1", is_part=True)
    made = lot(code, Stage.BLOCK, "block")
    door.record([trade.inoculate(tap(hours=hours), [share], made, 8, "inc-2")], now=NOW)


def test_of_a_lot_that_was_opened_before_it_was_loaded_one_unit_is(tap: Taps) -> None:
    long_ago = TODAY - timedelta(days=11)
    stock(tap, long_ago)
    assert opened() == [(1, long_ago), (1, None)]
    states = [state(part, TODAY).state for part in living(TODAY, lots=[A])]
    assert states == [LotState.PAST, LotState.READY]


def test_what_is_thrown_out_is_the_opened_one(tap: Taps) -> None:
    stock(tap, TODAY - timedelta(days=11))
    thrown = trade.cull(tap(hours=-5), Taken(A, 1, "inc-1"), cause="past its time")
    door.record([thrown], now=NOW)
    assert opened() == [(1, None)]
    door.record([trade.correct(tap(hours=-4), thrown)], now=NOW)
    assert opened() == [(1, TODAY - timedelta(days=11)), (1, None)], "taken back"


def test_a_part_taken_once_the_opened_one_is_past_opens_another(tap: Taps) -> None:
    long_ago = TODAY - timedelta(days=11)
    stock(tap, long_ago, 3)
    take_part(tap, B, -48)
    two_ago = TODAY - timedelta(days=2)
    assert opened() == [(1, long_ago), (1, two_ago), (1, None)]
    take_part(tap, C, -1)
    assert opened() == [(1, long_ago), (1, two_ago), (1, None)], "out of the one that is open"


def test_all_opened_units_stand_where_any_does(tap: Taps) -> None:
    stock(tap, TODAY - timedelta(days=1), 3)
    door.record([trade.move(tap(hours=-3), Taken(A, 2, "inc-1"), "inc-2")], now=NOW)
    parts = living(TODAY, lots=[A])
    assert sum(part.alive for part in parts) == 3
    assert sum(part.alive for part in parts if part.opened_on) == 1
