"""The last block of a lot goes along when the rest of it moves."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import BOOK, ROUTE, TODAY
from pinset.chain.living import LivingLot
from pinset.chain.stages import Stage
from pinset.services.book_reader import Reader
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.jobs.rest_of_lot import with_the_rest

READER = Reader(BOOK, TODAY)
KEEPING = replace(ROUTE, steps=tuple(replace(step, keeps_days_warm=30.0) for step in ROUTE.steps))
MOVE = PlannedJob(
    "move:grey", JobKind.MOVE, "move", TODAY, 25, "units", "blocks U625Y into Grow room",
    "growing", detail="Grey oyster, fruiting", place="Grow room", to_room="grow", variety="grey",
    step="fruiting", to_step="fruiting", lots=(LotAmount("U625Y", 25),), minutes=10,
)  # fmt: skip


def blocks(alive: int, *, days: int = 30, held: str = "") -> LivingLot:
    made = TODAY - timedelta(days=days)
    lot = LivingLot(
        "U625Y", "grey", "block", Stage.BLOCK, alive, made, made, "", "inc", 22.0, ROUTE
    )
    return replace(lot, route=KEEPING, held=held)


def test_one_block_is_not_left_behind() -> None:
    [job] = with_the_rest([MOVE], [blocks(26)], {"U625Y": 25}, READER)
    assert (job.count, job.lots) == (26, (LotAmount("U625Y", 26),))
    assert job.detail == "Grey oyster, fruiting; with the last 1 of U625Y"


@pytest.mark.parametrize(
    ("standing", "counted"),
    [
        (blocks(26), 26),  # the plan has something for the last one
        (blocks(40), 25),  # fifteen are no rest
        (blocks(26, days=2), 25),  # not ready
        (blocks(26, held="looks odd"), 25),
    ],
)
def test_what_is_no_rest_stays(standing: LivingLot, counted: int) -> None:
    assert with_the_rest([MOVE], [standing], {"U625Y": counted}, READER) == (MOVE,)


def test_a_full_room_takes_no_more_than_was_planned() -> None:
    room = next(each for each in BOOK.rooms if each.code == MOVE.to_room)
    there = replace(blocks(round(room.holds) - 25), code="2CWF9", step="fruiting", room=room.code)
    assert with_the_rest([MOVE], [blocks(26), there], {"U625Y": 25}, READER) == (MOVE,)


def test_a_later_move_is_as_planned() -> None:
    later = replace(MOVE, day=TODAY + timedelta(days=1))
    assert with_the_rest([later], [blocks(26)], {"U625Y": 25}, READER) == (later,)
