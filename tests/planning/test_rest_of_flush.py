"""What is still expected of a flush that is being picked: a day's share picked leaves the rest."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from pinset.chain.living import LivingLot
from pinset.chain.register import (
    Farm,
    FarmBook,
    Flush,
    Room,
    RoomKind,
    Route,
    Spread,
    Step,
    StepKind,
    Variety,
    Weekday,
    Worker,
)
from pinset.chain.stages import Stage
from pinset.planning.building.from_rooms import rooms_of
from pinset.planning.building.step_numbers import DEFAULT_SAFETY

MONDAY = date(2026, 3, 2)
NONE = Spread(0, 0, 0)
FRUITING = Step(
    "fruiting", StepKind.FRUIT, Stage.BLOCK, Spread(6, 6, 6), NONE, 16,
    room=RoomKind.GROWING, yield_g=1000, flushes=(Flush(NONE, 1.0, 4, 0.0),),
)  # fmt: skip
ROUTE = Route("r", (FRUITING,))
BOOK = FarmBook(
    farm=Farm("F", 0.0, "Europe/Vienna", working_days=tuple(Weekday)),
    rooms=(Room("grow", "Grow room", RoomKind.GROWING, 16),),
    workers=(Worker("w", "W", (8.0,) * 7),),
    routes=(ROUTE,),
    varieties=(Variety("v", "V", "species", "r", trim_loss=0.0),),
)
LOT = LivingLot(
    "A", "v", "fruiting", Stage.BLOCK, 10, MONDAY, MONDAY, "grow-1", "grow", 16.0, ROUTE,
    made=10, flush=1,
)  # fmt: skip


def expected(lot: LivingLot, today: date) -> list[float]:
    """Return the grams expected day by day from today on."""
    (room,), _ = rooms_of(BOOK, (lot,), today, DEFAULT_SAFETY)
    return [pick.grams for pick in sorted(room.picks, key=lambda each: each.day)]


@pytest.mark.parametrize("first_g", [2500, 1800, 600, 3300])
def test_who_picks_what_is_expected_finds_the_rest_expected_as_before(first_g: int) -> None:
    """10 kg over four days; the first pick, two days early, was of so much.

    Where that was less than a day's share, a flush of four days has not yet borne all on its third.
    """
    today = MONDAY + timedelta(days=4)
    lot = replace(LOT, flush_g=first_g, picked_g=first_g, last_picked_on=today)
    picked, days, before = 0.0, 0, list[float]()
    while now := expected(lot, today + timedelta(days=1)):
        assert now[: len(before)] == pytest.approx(before, rel=1e-3)
        today, days, picked, before = today + timedelta(days=1), days + 1, picked + now[0], now[1:]
        lot = replace(lot, flush_g=first_g + round(picked), last_picked_on=today)
    assert before == []
    assert days <= 4
    assert picked == pytest.approx(10_000 - first_g, abs=3)


def test_nothing_is_expected_once_it_is_all_picked() -> None:
    """A few grams left over by rounding are no pick."""
    today = MONDAY + timedelta(days=6)
    lot = replace(LOT, flush_g=9_997, picked_g=9_997, last_picked_on=today)
    assert expected(lot, today + timedelta(days=1)) == []


def test_a_flush_that_begins_late_is_picked_over_as_many_days() -> None:
    """Due from the sixth day to the ninth, it is first picked on the eighth."""
    today = MONDAY + timedelta(days=8)
    assert expected(replace(LOT, flush=0), today) == [2500.0] * 4
    lot = replace(LOT, flush_g=2500, picked_g=2500, last_picked_on=today)
    assert expected(lot, today + timedelta(days=1)) == [2500.0] * 3
