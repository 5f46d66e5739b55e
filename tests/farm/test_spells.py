"""What the ledger says became of each lot in each step."""

from __future__ import annotations

from datetime import timedelta
from zoneinfo import ZoneInfo

from django.db import connection
from django.test.utils import CaptureQueriesContext

from farm.small_farm import CODES, NOW, TODAY, Taps, lot
from pinset.chain.register import FarmBook
from pinset.chain.spells import Flushed, Spell
from pinset.chain.stages import Stage
from pinset.farm import door, trade
from pinset.farm.entries import NewEntry
from pinset.farm.queries.spells import spells
from pinset.farm.trade import ParentShare, Taken

ZONE = ZoneInfo("Europe/Vienna")
MADE = TODAY - timedelta(days=60)
DAY = 24.0


def at(day: int) -> float:
    """Return the hours from now of the ninth hour of a day since the blocks were made."""
    return (day - 60) * DAY


def record(*entries: NewEntry) -> None:
    door.record(list(entries), now=NOW)


def blocks(tap: Taps, code: str = CODES[0], count: int = 20, place: str = "inc-1") -> NewEntry:
    child = lot(code, Stage.BLOCK, "block", made_on=MADE)
    return trade.inoculate(tap(hours=at(0)), [], child, count, place)


def told(code: str = CODES[0]) -> dict[str, Spell]:
    return {spell.step: spell for spell in spells(ZONE) if spell.lot == code}


def test_a_lot_is_told_from_making_to_clearing(farm: FarmBook, tap: Taps) -> None:  # noqa: ARG001
    code = CODES[0]
    wrong = trade.pick(tap(hours=at(33)), code, 90_000, 1, "cold-1", grown_at="grow-1")
    record(
        blocks(tap),
        trade.lose(tap(hours=at(8)), Taken(code, 2, "inc-1"), cause="green mould"),
        trade.cull(tap(hours=at(12)), Taken(code, 1, "inc-1"), cause="torn"),
        trade.move(tap(hours=at(14)), Taken(code, 17, "inc-1"), "inc-2"),
        trade.move(tap(hours=at(20)), Taken(code, 17, "inc-2"), "grow-1", step="fruiting"),
        trade.lose(tap(hours=at(25)), Taken(code, 1, "grow-1")),
        trade.pick(tap(hours=at(32)), code, 3200, 1, "cold-1", grown_at="grow-1"),
        wrong,
        trade.correct(tap(hours=at(33) + 1), wrong),
        trade.lose(tap(hours=at(33) + 2), Taken(code, 1, "grow-1")),
        trade.pick(tap(hours=at(34)), code, 1500, 1, "cold-1", grown_at="grow-1"),
        trade.pick(tap(hours=at(45)), code, 3000, 2, "cold-1", grown_at="grow-1"),
        trade.spend(tap(hours=at(50)), Taken(code, 15, "grow-1")),
    )
    found = told()
    assert found["block"] == Spell(
        code, "grey", "block", MADE, 20, 0, lost=2, culled=((12, 1),), left_after=20, culture="g1"
    )
    entered = MADE + timedelta(days=20)
    assert found["fruiting"] == Spell(
        code,
        "grey",
        "fruiting",
        entered,
        17,
        0,
        lost=2,
        spent=15,
        flushes=(
            Flushed(1, 300.0, MADE + timedelta(days=32), MADE + timedelta(days=34), 1),
            Flushed(2, 200.0, MADE + timedelta(days=45), MADE + timedelta(days=45), 2),
        ),
        culture="g1",
    )
    assert all(spell.is_over and spell.is_whole and spell.is_together for spell in found.values())


def test_spawn_that_is_opened_leaves_its_step(farm: FarmBook, tap: Taps) -> None:  # noqa: ARG001
    jars = lot(CODES[1], Stage.GRAIN, "grain", made_on=MADE)
    share = ParentShare(CODES[1], 3, "inc-1")
    child = lot(CODES[0], Stage.BLOCK, "block", made_on=MADE + timedelta(days=12))
    record(
        trade.inoculate(tap(hours=at(0)), [], jars, 8, "inc-1"),
        trade.inoculate(tap(hours=at(12)), [share], child, 30, "inc-2"),
    )
    grain = told(CODES[1])["grain"]
    assert (grain.units, grain.standing, grain.left_after) == (8, 5, 12)
    assert not grain.is_over
    assert told()["block"].standing == 30


def test_what_stood_there_when_the_farm_was_loaded_is_not_whole_in_that_step(
    farm: FarmBook,  # noqa: ARG001
    tap: Taps,
) -> None:
    made = lot(CODES[0], Stage.BLOCK, "block", made_on=MADE)
    record(
        trade.opening(tap(hours=at(10)), made, 18, "inc-1", made=20),
        trade.move(tap(hours=at(20)), Taken(CODES[0], 18, "inc-1"), "grow-1", step="fruiting"),
    )
    found = told()
    assert not found["block"].is_whole
    assert found["fruiting"].is_whole


def test_what_was_picked_before_pinset_is_not_whole(farm: FarmBook, tap: Taps) -> None:  # noqa: ARG001
    made = lot(CODES[0], Stage.BLOCK, "fruiting", made_on=MADE)
    since = MADE + timedelta(days=20)
    entry = trade.opening(
        tap(hours=at(30)), made, 18, "grow-1", step_since=since, picked_g=900, flush=1
    )
    record(entry)
    fruiting = told()["fruiting"]
    assert not fruiting.is_whole
    assert fruiting.since == since


def test_blocks_that_come_in_on_two_days_are_not_together(farm: FarmBook, tap: Taps) -> None:  # noqa: ARG001
    record(
        blocks(tap),
        trade.move(tap(hours=at(20)), Taken(CODES[0], 12, "inc-1"), "grow-1", step="fruiting"),
        trade.move(tap(hours=at(23)), Taken(CODES[0], 8, "inc-1"), "grow-1", step="fruiting"),
    )
    fruiting = told()["fruiting"]
    assert (fruiting.units, fruiting.since) == (20, MADE + timedelta(days=23))
    assert not fruiting.is_together


def test_more_taken_than_stood_there_is_not_whole(farm: FarmBook, tap: Taps) -> None:  # noqa: ARG001
    record(blocks(tap), trade.lose(tap(hours=at(8)), Taken(CODES[0], 25, "inc-1")))
    assert not told()["block"].is_whole


def test_a_recount_is_neither_loss_nor_use(farm: FarmBook, tap: Taps) -> None:  # noqa: ARG001
    record(blocks(tap), trade.recount(tap(hours=at(8)), CODES[0], "inc-1", -3))
    block = told()["block"]
    assert (block.units, block.lost, block.culled, block.left_after) == (17, 0, (), None)
    record(trade.recount(tap(hours=at(9)), CODES[0], "inc-1", 2))
    block = told()["block"]
    assert (block.units, block.standing) == (19, 19)
    assert block.is_together
    assert block.since == MADE


def test_a_variety_alone_and_as_many_statements_for_many_lots(
    farm: FarmBook,  # noqa: ARG001
    tap: Taps,
) -> None:
    record(*(blocks(tap, code) for code in CODES[:12]))
    with CaptureQueriesContext(connection) as asked:
        assert len(spells(ZONE, variety="grey")) == 12
    assert len(asked) <= 5
    assert spells(ZONE, variety="blue") == ()
