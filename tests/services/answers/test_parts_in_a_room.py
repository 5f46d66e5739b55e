"""Parts of a lot that came into a grow room on different days, as a grower meets them."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import pytest

from farm.small_farm import BOOK, CODES, NOW, ROUTE, TODAY, Taps, describe, lot
from pinset.chain.living import LivingLot
from pinset.chain.register import FarmBook, RoomKind, Shelf, Spread, Step, StepKind
from pinset.chain.stages import Stage
from pinset.errors import RefusedError
from pinset.farm import door, trade
from pinset.farm.check import check
from pinset.farm.queries.alive import living
from pinset.farm.trade import Taken
from pinset.planning.building.from_rooms import rooms_of
from pinset.planning.building.step_numbers import DEFAULT_SAFETY
from pinset.services.answers import recording
from pinset.services.book_reader import Reader
from pinset.services.books.lots import lot_view
from pinset.services.jobs.in_grow_rooms import clearing
from pinset.services.jobs.records import JobKind, LotAmount
from pinset.services.plans import planning_day

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
    assert [room.waits_days for room in fruiting] == [10.0, 4.0]


def move_job(lay: Callable[..., str], units: int, lot_code: str = BLOCK) -> str:
    return lay(
        JobKind.MOVE,
        count=units,
        to_step="fruiting",
        to_room="grow",
        lots=(LotAmount(lot_code, units, "block"),),
    )


def do(job: str, **more: object) -> recording.Done:
    return recording.done(job, person="ada", client_id=secrets.token_hex(16), **more)  # type: ignore[arg-type]


def fruiting_since(code: str) -> dict[date, int]:
    parts = [part for part in living(TODAY, lots=[code]) if part.step == "fruiting"]
    return {part.step_since: part.alive for part in parts}


def test_more_than_planned_is_moved_as_it_was_said(
    lay: Callable[..., str], stock: dict[str, str]
) -> None:
    done = do(move_job(lay, 6, stock["block"]), count=8)
    assert done.sentence.startswith("8 ")
    assert fruiting_since(stock["block"]) == {TODAY: 8}


def test_more_than_planned_of_several_lots_is_asked_about(
    lay: Callable[..., str], stock: dict[str, str]
) -> None:
    other = lot(CODES[160], Stage.BLOCK, "block", made_on=TODAY - timedelta(days=14))
    door.record([trade.opening(Taps(start=50_000)(hours=-48), other, 20, "inc-2")], now=NOW)
    job = lay(
        JobKind.MOVE,
        count=12,
        to_step="fruiting",
        to_room="grow",
        lots=(LotAmount(stock["block"], 6, "block"), LotAmount(other.code, 6, "block")),
    )
    with pytest.raises(RefusedError, match="15 were said, and 12 are left of the job: 6 of"):
        do(job, count=15)
    do(job, lots=[(stock["block"], 9), (other.code, 6)])
    assert (fruiting_since(stock["block"]), fruiting_since(other.code)) == ({TODAY: 9}, {TODAY: 6})


@pytest.mark.parametrize(("old", "reason"), [(14, "as said"), (20, "recounted")])
def test_more_than_stands_there_is_asked_about(
    lay: Callable[..., str], stock: dict[str, str], old: int, reason: str
) -> None:
    job = move_job(lay, old, stock["block"])
    with pytest.raises(RefusedError, match="22 of lot"):
        do(job, count=22)
    assert do(job, count=22, reason=reason).findings


@pytest.mark.usefixtures("twice")
def test_what_fruits_already_is_asked_about_and_keeps_its_day(lay: Callable[..., str]) -> None:
    young = lay(
        JobKind.MOVE,
        count=19,
        to_step="fruiting",
        to_room="grow",
        lots=(LotAmount(BLOCK, 19, "block"),),
    )
    with pytest.raises(RefusedError) as refused:
        do(young, count=19, reason="")
    assert "only 15 of it are not in fruiting yet: 19 since" in str(refused.value)
    assert ", 6 since" in str(refused.value) or " and 6 since" in str(refused.value)
    do(young, count=19, reason="carried to a drier shelf")
    early, late = TODAY - timedelta(days=10), TODAY - timedelta(days=4)
    assert fruiting_since(BLOCK) == {early: 19, late: 6, TODAY: 15}


def test_what_begins_its_next_step_where_it_stands_keeps_its_shelf(
    lay: Callable[..., str], farm: FarmBook
) -> None:
    ripening = Step(
        "ripening", StepKind.STAND, Stage.BLOCK, Spread(5, 7, 9), Spread(0, 0, 0), 22.0,
        room=RoomKind.INCUBATION,
    )  # fmt: skip
    [route] = farm.routes
    describe(replace(farm, routes=(replace(route, steps=(*route.steps[:3], ripening)),)))
    made = lot(BLOCK, Stage.BLOCK, "block", made_on=TODAY - timedelta(days=14))
    door.record([trade.opening(Taps(start=80_000)(hours=-48), made, 20, "inc-2")], now=NOW)
    job = lay(
        JobKind.MOVE, count=20, to_step="ripening", to_room="inc",
        lots=(LotAmount(BLOCK, 20, "block"),),
    )  # fmt: skip
    do(job)
    stands = [(one.place, one.step, one.step_since) for one in living(TODAY, lots=[BLOCK])]
    assert stands == [("inc-2", "ripening", TODAY)]
    assert check() == ()


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


@pytest.fixture
def small_room(stock: dict[str, str], farm: FarmBook) -> str:
    """The grow room has 25 places, of which 12 are taken; a block takes one and a half there."""
    grow = (Shelf("grow-1", 10), Shelf("grow-2", 15))
    rooms = tuple(
        replace(room, shelves=grow) if room.code == "grow" else room for room in farm.rooms
    )
    [route] = farm.routes
    steps = tuple(replace(s, places=1.5) if s.code == "fruiting" else s for s in route.steps)
    [standing] = [lot for lot in living(TODAY) if lot.step == "fruiting"]
    taken = trade.Taken(standing.code, 8, "grow-1")
    door.record(
        [trade.cull(Taps(start=90_000)(hours=-30), taken, cause="mould")], now=NOW
    )  # 12 blocks of one place each are left
    describe(replace(farm, rooms=rooms, routes=(replace(route, steps=steps),)))
    return stock["block"]


def test_into_a_grow_room_without_places_is_asked_about(
    lay: Callable[..., str], small_room: str
) -> None:
    job = move_job(lay, 10, small_room)
    with pytest.raises(RefusedError) as refused:
        do(job)
    free = 25 - 12
    assert refused.value.sentence == (
        f"Grow room has {free} places left, and what is carried takes 15."
    )
    assert "write down what was cleared" in refused.value.hint
    done = do(job, reason="they stand on the floor")
    assert done.findings == (f"Written down although: {refused.value.sentence}",)
    assert fruiting_since(small_room) == {TODAY: 10}


def test_what_fits_into_the_grow_room_is_not_asked_about(
    lay: Callable[..., str], small_room: str
) -> None:
    assert do(move_job(lay, 8, small_room)).findings == ()


def test_what_one_shelf_has_no_place_for_stands_on_the_next(
    lay: Callable[..., str], stock: dict[str, str], farm: FarmBook
) -> None:
    grow = (Shelf("grow-1", 26), Shelf("grow-2", 8), Shelf("grow-3", 5))
    describe(
        replace(
            farm,
            rooms=tuple(
                replace(room, shelves=grow) if room.code == "grow" else room for room in farm.rooms
            ),
        )
    )
    do(move_job(lay, 15, stock["block"]))  # 6, 8 and 5 places are free
    parts = [part for part in living(TODAY, lots=[stock["block"]]) if part.step == "fruiting"]
    assert {part.place: part.alive for part in parts} == {"grow-1": 6, "grow-2": 8, "grow-3": 1}
    assert check() == ()


def test_fewer_moved_than_asked_for_says_where_the_rest_is(
    lay: Callable[..., str], stock: dict[str, str]
) -> None:
    [said] = do(move_job(lay, 9, stock["block"]), count=8).findings
    assert said.startswith("1 unit stays in the books where it stood")
