"""What the ledger says of every lot while it grew: looks, finds, and what it shares with others."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from zoneinfo import ZoneInfo

from django.db import connection
from django.test.utils import CaptureQueriesContext

from farm.small_farm import CODES, NOW, TODAY, Taps, lot
from pinset.chain.histories import LotHistory, Seen, Shared
from pinset.chain.register import FarmBook
from pinset.chain.stages import Stage
from pinset.farm import door, trade
from pinset.farm.corrections import undo_of
from pinset.farm.entries import NewEntry
from pinset.farm.queries.histories import histories
from pinset.farm.trade import ParentShare, Taken

ZONE = ZoneInfo("Europe/Vienna")
MADE = TODAY - timedelta(days=60)
BAD = frozenset({"green-dust", "wet-sour"})
GRAIN, BLOCK = CODES[0], CODES[1]


def at(day: float) -> float:
    """Return the hours from now of so many days after the blocks were made."""
    return (day - 60.0) * 24.0


def record(*entries: NewEntry) -> None:
    door.record(list(entries), now=NOW)


def told() -> dict[str, LotHistory]:
    return {each.lot: each for each in histories(ZONE, BAD)}


def grain(tap: Taps) -> NewEntry:
    made = lot(GRAIN, Stage.GRAIN, "grain", made_on=MADE - timedelta(days=10))
    return trade.opening(tap(hours=at(-2)), made, 12, "inc-1")


def blocks(tap: Taps, count: int = 20) -> NewEntry:
    child = replace(
        lot(BLOCK, Stage.BLOCK, "block", made_on=MADE), cook="drum-1", session="S1", culture="g-1"
    )
    parents = [ParentShare(GRAIN, 2, "inc-1")]
    made = trade.inoculate(tap(hours=at(0), person="ada"), parents, child, count, "inc-1")
    return replace(made, details={**made.details, "open_min": 12})


def found(tap: Taps, day: float, units: int, of: int, place: str = "inc-1") -> list[NewEntry]:
    """Return a look that found some contaminated, and the tap that took them out."""
    said = {"signs": ["green-dust"], "where": "seam", "seen": units, "of": of}
    look = trade.look(tap(hours=at(day)), [Taken(BLOCK, of, place)], details=said)
    out = trade.lose(tap(hours=at(day)), Taken(BLOCK, units, place), cause="green dust")
    return [look, replace(out, details={**out.details, "look": look.client_id})]


def test_from_making_to_the_grow_room(farm: FarmBook, tap: Taps) -> None:  # noqa: ARG001
    record(
        grain(tap),
        blocks(tap),
        trade.look(tap(hours=at(5)), [Taken(BLOCK, 20, "inc-1"), Taken(GRAIN, 10, "inc-1")]),
        *found(tap, 8, 2, 20),
        trade.move(tap(hours=at(10)), Taken(BLOCK, 18, "inc-1"), "inc-2"),
        trade.cull(tap(hours=at(12)), Taken(BLOCK, 1, "inc-2"), cause="torn"),
        trade.lose(tap(hours=at(14)), Taken(BLOCK, 1, "inc-2"), cause="green"),
        trade.move(tap(hours=at(20)), Taken(BLOCK, 16, "inc-2"), "grow-1", step="fruiting"),
        trade.lose(tap(hours=at(25)), Taken(BLOCK, 1, "grow-1")),
    )
    block, jar = told()[BLOCK], told()[GRAIN]
    assert block.seen == (
        Seen(0.0, 5.0, 20, 0),
        Seen(5.0, 8.0, 20, 2, ("green-dust",), "seam"),
        Seen(8.0, 14.0, 17, 1),
        Seen(14.0, 20.0, 16, 0),
    )
    assert (block.units, block.standing, block.found, block.open_min) == (20, 0, 3, 12.0)
    assert block.shared == {
        Shared.COOK: "drum-1",
        Shared.PARENT: GRAIN,
        Shared.LINE: "g-1",
        Shared.SESSION: "S1",
        Shared.PERSON: "ada",
        Shared.PLACE: "inc-1",
    }
    assert [each.found for each in jar.seen] == [0, 0]  # opened for the blocks, then looked at
    assert jar.seen[0].units == 2
    assert jar.seen[1].units == 10
    assert 7.0 < jar.seen[0].after_days < 9.0  # when it was written down at first
    assert Shared.PERSON not in jar.shared


def test_what_is_taken_back_never_was(farm: FarmBook, tap: Taps) -> None:  # noqa: ARG001
    both = found(tap, 8, 2, 20)
    record(grain(tap), blocks(tap), *both)
    record(*(undo_of(each.client_id, tap()) for each in reversed(both)))
    assert told()[BLOCK].seen == ()
    assert told()[BLOCK].standing == 20


def test_seen_but_left_standing(farm: FarmBook, tap: Taps) -> None:  # noqa: ARG001
    record(grain(tap), blocks(tap), *found(tap, 8, 2, 20)[:1], *found(tap, 9, 3, 20))
    assert [each.found for each in told()[BLOCK].seen] == [2, 1]
    assert told()[BLOCK].standing == 17


def test_a_sign_that_is_no_contamination_finds_none(farm: FarmBook, tap: Taps) -> None:  # noqa: ARG001
    said = {"signs": ["stalled"], "where": "all-through", "seen": 4, "of": 20}
    look = trade.look(tap(hours=at(9)), [Taken(BLOCK, 20, "inc-1")], details=said)
    record(grain(tap), blocks(tap), look)
    assert [each.found for each in told()[BLOCK].seen] == [0]


def test_work_in_no_session_is_a_persons_of_a_day(farm: FarmBook, tap: Taps) -> None:  # noqa: ARG001
    made = lot(CODES[2], Stage.GRAIN, "grain", made_on=MADE)
    record(grain(tap), trade.inoculate(tap(hours=at(0), person="ada"), [], made, 4, "inc-1"))
    assert told()[CODES[2]].shared[Shared.SESSION] == f"transfers {MADE.isoformat()} 1"


def test_many_lots_take_no_more_questions(farm: FarmBook, tap: Taps) -> None:  # noqa: ARG001
    def questions() -> int:
        with CaptureQueriesContext(connection) as asked:
            told()
        return len(asked)

    record(grain(tap), blocks(tap))
    before = questions()
    for i in range(3, 20):
        made = lot(CODES[i], Stage.GRAIN, "grain", made_on=MADE)
        record(
            trade.inoculate(
                tap(hours=at(1)), [ParentShare(GRAIN, 1, "inc-1", is_part=True)], made, 4, "inc-1"
            )
        )
    assert questions() == before


def test_what_shows_in_the_grow_room_is_the_rooms(farm: FarmBook, tap: Taps) -> None:  # noqa: ARG001
    record(
        grain(tap),
        blocks(tap),
        trade.move(tap(hours=at(10)), Taken(BLOCK, 12, "inc-1"), "grow-1", step="fruiting"),
        trade.lose(tap(hours=at(15)), Taken(BLOCK, 3, "grow-1"), cause="green"),
        *found(tap, 16, 2, 9, "grow-1"),
        trade.spend(tap(hours=at(18)), Taken(BLOCK, 7, "grow-1")),
        *found(tap, 20, 1, 8),
    )
    block = told()[BLOCK]
    assert block.seen == (
        Seen(0.0, 10.0, 12, 0),
        Seen(0.0, 20.0, 8, 1, ("green-dust",), "seam"),
    )
    assert block.standing == 7
