from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from farm.small_farm import BOOK, CODES, NOW, ROUTE, TODAY, Taps, lot
from pinset.chain.readiness import keeps_until
from pinset.chain.register import FarmBook, Room, RoomKind, Shelf
from pinset.chain.stages import Stage
from pinset.farm import register_store, trade
from pinset.farm.corrections import undo_of
from pinset.farm.door import record
from pinset.farm.queries.alive import living
from pinset.farm.trade import Taken
from pinset.farm.trade.looking import Verdict

pytestmark = pytest.mark.usefixtures("farm")
BLOCK = CODES[3]
EARLY, LATE = TODAY - timedelta(days=10), TODAY - timedelta(days=4)
HOURS = {EARLY: -240, LATE: -96}


def stands(place: str = "grow-1") -> list[tuple[int, str, date]]:
    """Return units, step and day of what stands at a place, in the order of living lots."""
    return [
        (one.alive, one.step, one.step_since)
        for one in living(TODAY, lots=[BLOCK])
        if one.place == place
    ]


@pytest.fixture
def twice(farm: FarmBook, tap: Taps) -> Taps:  # noqa: ARG001 - the farm must be there
    """Record 40 blocks, of which 19, then 6 went to the same shelf of the grow room."""
    made = lot(BLOCK, Stage.BLOCK, "block", made_on=date(2026, 2, 10))
    record(
        [
            trade.opening(tap(hours=-700), made, 40, "inc-2"),
            trade.move(
                tap(hours=HOURS[EARLY]), Taken(BLOCK, 19, "inc-2"), "grow-1", step="fruiting"
            ),
            trade.move(tap(hours=HOURS[LATE]), Taken(BLOCK, 6, "inc-2"), "grow-1", step="fruiting"),
        ],
        now=NOW,
    )
    return tap


@pytest.mark.usefixtures("twice")
def test_each_part_keeps_its_own_day_in_the_room() -> None:
    assert stands() == [(19, "fruiting", EARLY), (6, "fruiting", LATE)]
    assert stands("inc-2") == [(15, "block", date(2026, 2, 10))]


def test_what_is_lost_or_carried_on_is_taken_from_the_oldest(twice: Taps) -> None:
    record([trade.lose(twice(hours=-3), Taken(BLOCK, 4, "grow-1"), cause="mould")], now=NOW)
    assert stands() == [(15, "fruiting", EARLY), (6, "fruiting", LATE)]
    record([trade.move(twice(hours=-2), Taken(BLOCK, 17, "grow-1"), "inc-1")], now=NOW)
    assert stands() == [(4, "fruiting", LATE)]
    assert stands("inc-1") == [(15, "fruiting", EARLY), (2, "fruiting", LATE)]


def test_what_fruits_already_does_not_begin_anew(twice: Taps) -> None:
    again = trade.move(twice(hours=-2), Taken(BLOCK, 19, "grow-1"), "inc-1", step="fruiting")
    record([again], now=NOW)
    assert stands("inc-1") == [(19, "fruiting", EARLY)]
    assert stands() == [(6, "fruiting", LATE)]


def test_a_part_that_begins_a_step_where_it_stands(tap: Taps) -> None:
    made = lot(BLOCK, Stage.BLOCK, "block", made_on=date(2026, 2, 10))
    record(
        [
            trade.opening(tap(hours=-700), made, 40, "inc-2"),
            trade.move(tap(hours=-96), Taken(BLOCK, 10, "inc-2"), "inc-2", step="fruiting"),
        ],
        now=NOW,
    )
    assert stands("inc-2") == [(30, "block", date(2026, 2, 10)), (10, "fruiting", LATE)]
    record(
        [trade.move(tap(hours=-1), Taken(BLOCK, 30, "inc-2"), "inc-2", step="fruiting")], now=NOW
    )
    assert stands("inc-2") == [(10, "fruiting", LATE), (30, "fruiting", TODAY)]


def test_a_move_that_is_taken_back_leaves_the_other_as_it_was(twice: Taps) -> None:
    third = trade.move(twice(hours=-1), Taken(BLOCK, 15, "inc-2"), "grow-1", step="fruiting")
    record([third], now=NOW)
    assert stands() == [(19, "fruiting", EARLY), (6, "fruiting", LATE), (15, "fruiting", TODAY)]
    record([undo_of(third.client_id, twice())], now=NOW)
    assert stands() == [(19, "fruiting", EARLY), (6, "fruiting", LATE)]
    assert stands("inc-2") == [(15, "block", date(2026, 2, 10))]


def test_a_pick_counts_for_the_units_that_can_bear(twice: Taps) -> None:
    # ten days or more to the first flush, eight at the shortest: asked about before the sixth day
    record([trade.pick(twice(hours=-2), BLOCK, 3800, 1, "cold-1", grown_at="grow-1")], now=NOW)
    old, young = [one for one in living(TODAY, lots=[BLOCK]) if one.place == "grow-1"]
    assert (old.flush, old.flush_g, old.last_picked_on) == (1, 3800, TODAY)
    assert (young.flush, young.flush_g, young.last_picked_on) == (0, 0, None)


def test_judged_ready_holds_for_the_parts_that_stood_there(twice: Taps) -> None:
    soon = TODAY + timedelta(days=1)
    judged = trade.judge(twice(hours=-150), BLOCK, Verdict.READY, day=soon)
    record([judged], now=NOW)
    found = [one.expected_ready_on for one in living(TODAY, lots=[BLOCK]) if one.place == "grow-1"]
    assert found == [soon, None]


def test_in_whatever_order_the_moves_arrive(tap: Taps) -> None:
    made = lot(BLOCK, Stage.BLOCK, "block", made_on=date(2026, 2, 10))
    first, second = (
        trade.move(tap(hours=HOURS[day]), Taken(BLOCK, units, "inc-2"), "grow-1", step="fruiting")
        for day, units in ((EARLY, 19), (LATE, 6))
    )
    record([second], now=NOW)
    record([trade.opening(tap(hours=-700), made, 40, "inc-2")], now=NOW)
    record([first], now=NOW)
    assert stands() == [(19, "fruiting", EARLY), (6, "fruiting", LATE)]


def rooms_before(place: str) -> list[tuple[tuple[date, float], ...]]:
    return [
        tuple((stood.until, stood.temperature_c) for stood in one.stood)
        for one in living(TODAY, lots=[BLOCK])
        if one.place == place
    ]


@pytest.mark.usefixtures("farm")
def test_the_rooms_in_which_units_stood_are_remembered(tap: Taps) -> None:
    made = lot(BLOCK, Stage.BLOCK, "block", made_on=date(2026, 2, 10))
    record(
        [
            trade.opening(tap(hours=-700), made, 40, "inc-2"),
            trade.move(tap(hours=HOURS[EARLY]), Taken(BLOCK, 10, "inc-2"), "lab-1"),
            trade.move(tap(hours=HOURS[LATE]), Taken(BLOCK, 10, "lab-1"), "cold-1"),
        ],
        now=NOW,
    )
    assert rooms_before("inc-2") == [()]
    assert rooms_before("cold-1") == [((EARLY, 24.0), (LATE, 22.0))]
    record(
        [trade.move(tap(hours=-2), Taken(BLOCK, 5, "cold-1"), "grow-1", step="fruiting")],
        now=NOW,
    )
    assert rooms_before("grow-1") == [()]  # a new step begins anew


def test_each_part_knows_its_own_way(twice: Taps) -> None:
    record([trade.move(twice(hours=-2), Taken(BLOCK, 19, "grow-1"), "lab-1")], now=NOW)
    record([trade.move(twice(hours=-1), Taken(BLOCK, 6, "grow-1"), "inc-1")], now=NOW)
    assert rooms_before("inc-1") == [((TODAY, 16.0),)]
    assert rooms_before("lab-1") == [((TODAY, 16.0),)]
    assert rooms_before("inc-2") == [()]


def expected() -> set[date | None]:
    return {one.expected_ready_on for one in living(TODAY, lots=[BLOCK]) if one.place == "grow-1"}


def test_what_was_expected_of_a_flush_is_over_once_it_is_picked(twice: Taps) -> None:
    soon, later = TODAY + timedelta(days=2), TODAY + timedelta(days=9)
    record([trade.judge(twice(hours=-72), BLOCK, Verdict.READY, day=soon)], now=NOW)
    assert expected() == {soon}
    record([trade.pick(twice(hours=-24), BLOCK, 900, 1, "cold-1")], now=NOW)
    assert soon not in {
        one.expected_ready_on for one in living(TODAY, lots=[BLOCK]) if one.last_picked_on
    }
    record([trade.judge(twice(hours=-1), BLOCK, Verdict.READY, day=later)], now=NOW)
    assert expected() == {later}


def test_what_is_said_to_be_ripe_and_picked_on_one_day_is_no_next_flush(twice: Taps) -> None:
    """In the morning it was judged to be ripe; by noon it is picked."""
    record([trade.judge(twice(hours=-2), BLOCK, Verdict.READY, day=TODAY)], now=NOW)
    assert expected() == {TODAY}
    record([trade.pick(twice(hours=-1), BLOCK, 900, 1, "cold-1")], now=NOW)
    picked = [one for one in living(TODAY, lots=[BLOCK]) if one.last_picked_on]
    assert {one.expected_ready_on for one in picked} == {None}


def test_what_comes_later_to_its_shelf_mates_does_not_shorten_their_time(tap: Taps) -> None:
    """Five plates went into the cold on the day they were ready, the sixth ten days later."""
    plate, ready = CODES[0], date(2026, 2, 10)
    keeps = replace(ROUTE.steps[0], keeps_days_warm=20, keeps_days_cold=60)
    route = replace(ROUTE, steps=(keeps, *ROUTE.steps[1:]))
    fridge = Room("fridge", "Fridge", RoomKind.COLD, 4.0, (Shelf("cold-9", 20),))
    register_store.write(
        register_store.book_records(replace(BOOK, routes=(route,), rooms=(*BOOK.rooms, fridge))),
        date(2026, 1, 1), "", NOW,
    )  # fmt: skip
    made = lot(plate, Stage.PLATE, "plate", made_on=ready - timedelta(days=10))
    record([trade.opening(tap(hours=-24 * 35), made, 6, "inc-1")], now=NOW)
    for units, day in ((5, ready), (1, ready + timedelta(days=10))):
        hours = -24 * (TODAY - day).days
        record([trade.move(tap(hours=hours), Taken(plate, units, "inc-1"), "cold-9")], now=NOW)
    kept = {one.alive: keeps_until(one) for one in living(TODAY, lots=[plate])}
    assert kept == {
        5: ready + timedelta(days=60),
        1: ready + timedelta(days=10 + 30),  # half of its time is over by then
    }


def test_parts_that_keep_as_long_as_each_other_are_told_as_one(twice: Taps) -> None:
    """What fruits keeps by no days: 19 of one day, carried on in two turns, are one again."""
    for hours, units in ((-30, 10), (-3, 9)):
        record([trade.move(twice(hours=hours), Taken(BLOCK, units, "grow-1"), "inc-1")], now=NOW)
    assert stands("inc-1") == [(19, "fruiting", EARLY)]
