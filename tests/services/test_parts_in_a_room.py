"""Parts of a lot that came into a grow room on different days, as a grower meets them."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from farm.small_farm import BOOK, CODES, NOW, ROUTE, TODAY, Taps, lot
from pinset.chain.living import LivingLot
from pinset.chain.stages import Stage
from pinset.farm import door, trade
from pinset.farm.queries.alive import living
from pinset.farm.trade import Taken
from pinset.planning.from_stock import rooms_of
from pinset.planning.step_numbers import DEFAULT_SAFETY
from pinset.services import planning_day
from pinset.services.book_reader import Reader
from pinset.services.jobs_in_grow_rooms import clearing
from pinset.services.lots import lot_view

BLOCK = CODES[3]
READER = Reader(BOOK, TODAY)


@pytest.fixture
def twice(farm: object, tap: Taps) -> None:  # noqa: ARG001 - the farm must be there
    """Record 40 blocks, of which 19, then 6 went to the same shelf of the grow room."""
    made = lot(BLOCK, Stage.BLOCK, "block", made_on=date(2026, 2, 10))
    entries = [trade.opening(tap(hours=-700), made, 40, "inc-2")]
    for hours, units in ((-240, 19), (-96, 6)):
        taken = Taken(BLOCK, units, "inc-2")
        entries.append(trade.move(tap(hours=hours), taken, "grow-1", step="fruiting"))
    door.record(entries, now=NOW)


@pytest.mark.usefixtures("twice")
def test_the_lot_page_says_when_each_part_is_ready() -> None:
    first, second, third = lot_view(BLOCK).line.ready.split("; ")
    assert first.startswith("19 ready ")
    assert second.startswith("6 ready ")
    assert first.removeprefix("19 ") != second.removeprefix("6 ")
    assert third.startswith("15 past its time")


@pytest.mark.usefixtures("twice")
def test_the_plan_expects_the_first_part_on_its_own_days() -> None:
    book, today = planning_day.farm_book()
    rooms, _ = rooms_of(book, living(today), today, DEFAULT_SAFETY)
    fruiting = [room for room in rooms if room.lot == BLOCK]
    firsts = [(room.units, min(pick.day for pick in room.picks)) for room in fruiting]
    assert [units for units, _ in firsts] == [19, 6]
    assert firsts[1][1] - firsts[0][1] == 6


def test_spent_parts_are_one_job() -> None:
    old = TODAY - timedelta(days=200)
    parts = [
        LivingLot(
            BLOCK, "grey", "fruiting", Stage.BLOCK, units, old, since, "grow-1", "grow", 16.0, ROUTE
        )
        for units, since in ((19, old), (6, old + timedelta(days=6)))
    ]
    [job] = clearing(parts, READER, set())
    assert (job.count, job.lots[0].units) == (25, 25)
