from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from farm.small_farm import CODES, NOW, TODAY, Taps, lot
from pinset.chain.lineage import Ancestor, child_counters
from pinset.chain.stages import Stage
from pinset.errors import InputError
from pinset.farm import trade
from pinset.farm.door import record
from pinset.farm.entries import NewEntry
from pinset.farm.queries.alive import living, prepared, vessels_in_use
from pinset.farm.trade import ParentShare, Taken
from pinset.farm.trade.looking import Verdict

pytestmark = pytest.mark.usefixtures("farm")
PLATE, GRAIN, GRAIN2, BLOCK, READY = CODES[:5]


def chain_of_lots(tap: Taps) -> list[NewEntry]:
    """Plates, master grain, second grain from cooked jars, blocks of which half fruit."""
    early = date(2026, 2, 1)
    return [
        trade.opening(
            tap(hours=-400),
            lot(PLATE, Stage.PLATE, "plate", made_on=early, transfers=2),
            8,
            "lab-1",
        ),
        trade.inoculate(
            tap(hours=-300),
            [ParentShare(PLATE, 3, "lab-1")],
            lot(GRAIN, Stage.GRAIN, "grain", made_on=date(2026, 2, 20)),
            24,
            "inc-1",
        ),
        trade.cook(
            tap(hours=-250),
            "cook-9",
            [(lot(READY, Stage.PREPARED, "grain", culture=""), 40)],
            "inc-2",
            steriliser="kettle",
            cook_kind="grain",
            hold_minutes=90,
        ),
        trade.inoculate(
            tap(hours=-200),
            [ParentShare(GRAIN, 2, "inc-1", is_part=True, amount=300)],
            lot(GRAIN2, Stage.GRAIN, "grain", made_on=date(2026, 3, 1), cook="cook-9"),
            30,
            "inc-1",
            vessels=[Taken(READY, 30, "inc-2")],
        ),
        trade.inoculate(
            tap(hours=-100),
            [ParentShare(GRAIN2, 4, "inc-1")],
            lot(BLOCK, Stage.BLOCK, "block", made_on=date(2026, 3, 8)),
            40,
            "inc-2",
        ),
        trade.move(tap(hours=-20), Taken(BLOCK, 15, "inc-2"), "grow-1", step="fruiting"),
        trade.lose(tap(hours=-10), Taken(GRAIN, 1, "inc-1"), cause="green mould"),
        trade.pick(tap(hours=-2), BLOCK, 3200, 1, "cold-1", grown_at="grow-1"),
    ]


def test_the_living_lots_of_a_chain(tap: Taps) -> None:
    record(chain_of_lots(tap), now=NOW)
    everything = living(TODAY)
    opened = {one.code: one for one in everything if one.opened_on}
    found = {(one.code, one.place): one for one in everything if not one.opened_on}
    assert set(found) == {
        (PLATE, "lab-1"),
        (GRAIN, "inc-1"),
        (GRAIN2, "inc-1"),
        (BLOCK, "inc-2"),
        (BLOCK, "grow-1"),
    }
    assert found[PLATE, "lab-1"].alive == 5
    assert found[PLATE, "lab-1"].transfers == 2
    grain = found[GRAIN, "inc-1"]
    assert (grain.alive, grain.made, grain.lost) == (23 - opened[GRAIN].alive, 24, 1)
    assert 0 < opened[GRAIN].alive < 23
    assert (grain.generation, grain.transfers) == (1, 2)
    assert opened[GRAIN].opened_on == (NOW - timedelta(hours=200)).date()
    assert (grain.room, grain.temperature_c) == ("inc", 24.0)
    assert found[GRAIN2, "inc-1"].generation == 2
    standing, fruiting = found[BLOCK, "inc-2"], found[BLOCK, "grow-1"]
    assert (standing.alive, standing.step, standing.step_since) == (25, "block", date(2026, 3, 8))
    assert (fruiting.alive, fruiting.step, fruiting.step_since) == (
        15,
        "fruiting",
        date(2026, 3, 11),
    )
    assert (fruiting.picked_g, fruiting.flush, fruiting.last_picked_on) == (3200, 1, TODAY)
    assert fruiting.generation == 2
    assert fruiting.now_step().yield_g == 600.0


def test_prepared_vessels_stand_apart_and_are_counted_in_circulation(tap: Taps) -> None:
    record(chain_of_lots(tap), now=NOW)
    (jars,) = prepared()
    assert (jars.code, jars.alive, jars.step, jars.cook) == (READY, 10, "grain", "cook-9")
    # 23 + 26 grain jars growing and 10 cooked; blocks stay in their bag while they fruit
    assert vessels_in_use(TODAY) == {"bag": 40, "jar": 59, "plate": 5}


def test_a_move_takes_the_step_along(tap: Taps) -> None:
    record(chain_of_lots(tap), now=NOW)
    record([trade.move(tap(hours=-1), Taken(BLOCK, 5, "grow-1"), "inc-1")], now=NOW)
    (moved,) = [one for one in living(TODAY, lots=[BLOCK]) if one.place == "inc-1"]
    assert (moved.step, moved.step_since) == ("fruiting", date(2026, 3, 11))


def test_judgements_overrule_until_the_next_step(tap: Taps) -> None:
    record(chain_of_lots(tap), now=NOW)
    record(
        [
            trade.judge(tap(hours=-5), BLOCK, Verdict.READY, day=date(2026, 3, 14)),
            trade.judge(tap(hours=-5), GRAIN, Verdict.HELD, reason="smells sour"),
        ],
        now=NOW,
    )
    found = {(one.code, one.place): one for one in living(TODAY)}
    assert found[BLOCK, "inc-2"].expected_ready_on == date(2026, 3, 14)
    assert found[GRAIN, "inc-1"].held == "smells sour"
    decided = {Verdict.USE_BY: date(2026, 3, 20), Verdict.WATCHED: date(2026, 3, 16)}
    record([trade.judge(tap(), BLOCK, each, day=day) for each, day in decided.items()], now=NOW)
    (block, *_) = living(TODAY, lots=[BLOCK])
    assert (block.use_by, block.look_on) == (date(2026, 3, 20), date(2026, 3, 16))
    with pytest.raises(InputError, match="by which the lot is to be used"):
        trade.judge(tap(), BLOCK, Verdict.USE_BY)
    record([trade.judge(tap(), GRAIN, Verdict.RELEASED)], now=NOW)
    record([trade.move(tap(), Taken(BLOCK, 25, "inc-2"), "grow-1", step="fruiting")], now=NOW)
    found = {(one.code, one.place): one for one in living(TODAY)}
    assert found[GRAIN, "inc-1"].held == ""


def test_a_culture_that_is_not_cleared_holds_its_lots(tap: Taps) -> None:
    record(
        [trade.receive(tap(), lot(GRAIN, Stage.GRAIN, "grain", culture="g2"), 5, "inc-1")], now=NOW
    )
    assert living(TODAY)[0].held == "culture g2 is not cleared for use"
    record([trade.judge(tap(), GRAIN, Verdict.CLEARED)], now=NOW)
    assert living(TODAY)[0].held == ""


@pytest.mark.parametrize("made", [Stage.TUBE, Stage.PLATE, Stage.LIQUID])
@pytest.mark.parametrize("of", [Stage.TUBE, Stage.PLATE, Stage.LIQUID])
def test_the_ledger_counts_transfers_as_the_rule_does(tap: Taps, made: Stage, of: Stage) -> None:
    parent, child = lot(PLATE, of, "plate", transfers=2), lot(GRAIN, made, "plate")
    record([trade.opening(tap(hours=-9), parent, 8, "lab-1")], now=NOW)
    record([trade.inoculate(tap(), [ParentShare(PLATE, 1, "lab-1")], child, 4, "lab-1")], now=NOW)
    (fresh,) = living(TODAY, lots=[GRAIN])
    assert fresh.transfers == child_counters(made, [Ancestor(of, 0, 2)]).transfers


@pytest.mark.parametrize("made", [Stage.PLATE, Stage.GRAIN])
def test_a_lot_may_be_written_down_before_what_it_was_made_of(tap: Taps, made: Stage) -> None:
    """A tablet without network hands its entries in later than another one its own."""
    parent, child = lot(PLATE, Stage.TUBE, "plate", transfers=2), lot(GRAIN, made, "plate")
    record([trade.inoculate(tap(), [ParentShare(PLATE, 1, "lab-1")], child, 4, "lab-1")], now=NOW)
    assert {one.code for one in living(TODAY)} >= {GRAIN}
    record([trade.opening(tap(hours=-9), parent, 8, "lab-1")], now=NOW)
    (fresh,) = living(TODAY, lots=[GRAIN])
    assert fresh.transfers == child_counters(made, [Ancestor(Stage.TUBE, 0, 2)]).transfers


def test_a_clone_is_a_new_mother_and_held(tap: Taps) -> None:
    record(chain_of_lots(tap), now=NOW)
    record([trade.clone(tap(), BLOCK, lot(CODES[9], Stage.PLATE, "plate"), 3, "lab-1")], now=NOW)
    (plates,) = living(TODAY, lots=[CODES[9]])
    assert (plates.generation, plates.transfers) == (0, 0)
    assert "not cleared" in plates.held


def test_an_opening_lot_brings_its_past(tap: Taps) -> None:
    record(
        [
            trade.opening(
                tap(),
                lot(BLOCK, Stage.BLOCK, "fruiting", made_on=date(2026, 1, 5)),
                18,
                "grow-1",
                made=20,
                step_since=date(2026, 2, 10),
                picked_g=4000,
                flush=1,
            )
        ],
        now=NOW,
    )
    (one,) = living(TODAY)
    assert (one.alive, one.made, one.step_since) == (18, 20, date(2026, 2, 10))
    assert (one.picked_g, one.flush, one.last_picked_on) == (4000, 1, None)


def test_the_number_of_statements_does_not_grow(tap: Taps) -> None:
    def statements() -> int:
        with CaptureQueriesContext(connection) as seen:
            living(TODAY)
        return len(seen)

    first = [trade.opening(tap(), lot(CODES[20], Stage.GRAIN, "grain"), 5, "inc-1")]
    record(first, now=NOW)
    few = statements()
    many = [
        trade.inoculate(
            tap(),
            [ParentShare(CODES[20], 1, "inc-1", is_part=True)],
            lot(code, Stage.BLOCK, "block"),
            9,
            "inc-2",
        )
        for code in CODES[21:81]
    ]
    record(many, now=NOW)
    assert len(living(TODAY)) == 62  # one of the grain lot's units is opened, the rest are whole
    assert statements() == few <= 10
