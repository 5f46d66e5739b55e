"""When chores are due: each case worked out by hand beside it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from pinset.chain.upkeep import Chore, ChoreAt, ChoreKind, Reads
from pinset.chain.upkeep_due import (
    Because,
    DoneOnce,
    State,
    due_of,
    limit_of,
    soon_days,
    wear_of,
    with_before,
)

TODAY = date(2026, 3, 12)
FLOOR = Chore("floor", "Floor", ChoreKind.ROOM_CLEANING, ChoreAt.ROOM, "lab", 7)
SEAL = Chore("seal", "Seal", ChoreKind.GASKET, ChoreAt.STERILISER, "big", 30, 10)
LAMP = Chore(
    "lamp", "Lamp", ChoreKind.LAMP, ChoreAt.BENCH, "hood", 30, reads=Reads.HOURS, limit=2000.0
)
HEPA = Chore(
    "hepa",
    "Filter",
    ChoreKind.HEPA,
    ChoreAt.BENCH,
    "hood",
    30,
    reads=Reads.PRESSURE_DROP,
    limit_times=2.0,
)


def ago(days: int) -> date:
    return TODAY - timedelta(days=days)


def done(days: int, reading: float | None = None, **more: bool) -> DoneOnce:
    return DoneOnce(ago(days), reading, **more)


@pytest.mark.parametrize(
    ("last", "state", "on"),
    [
        (0, State.LATER, 7),
        (5, State.LATER, 2),
        (6, State.SOON, 1),  # a seventh of 7 days: the day before
        (7, State.TODAY, 0),
        (8, State.OVERDUE, -1),
        (40, State.OVERDUE, -33),
    ],
)
def test_by_days(last: int, state: State, on: int) -> None:
    due = due_of(FLOOR, [done(90), done(last)], [], TODAY)
    assert (due.state, due.on, due.because) == (state, ago(-on), Because.DAYS)
    since = due_of(replace(FLOOR, since=ago(last)), [], [], TODAY)
    assert (since.state, since.on) == (state, ago(-on))


def test_what_nobody_ever_did_is_due_at_once() -> None:
    due = due_of(FLOOR, [], [], TODAY)
    assert (due.state, due.on, due.because) == (State.TODAY, TODAY, Because.NEVER)


@pytest.mark.parametrize(
    ("uses", "state", "on", "because"),
    [
        (3, State.LATER, 27, Because.DAYS),
        (10, State.TODAY, 0, Because.USES),  # the tenth cook was today
        (12, State.OVERDUE, -2, Because.USES),  # the tenth was two days ago
    ],
)
def test_by_use_or_by_days_whichever_comes_first(
    uses: int, state: State, on: int, because: Because
) -> None:
    cooks = [ago(uses - 1 - n) for n in range(uses)]  # one a day, the last one today
    due = due_of(SEAL, [done(max(3, uses))], cooks, TODAY)
    assert (due.state, due.on, due.because) == (state, ago(-on), because)


@pytest.mark.parametrize(("uses", "state"), [(7, State.LATER), (8, State.SOON), (9, State.SOON)])
def test_by_use_alone_it_has_no_day_until_it_was_used_so_often(uses: int, state: State) -> None:
    due = due_of(replace(SEAL, every_days=None), [done(20)], [ago(9)] * uses, TODAY)
    assert (due.state, due.on, due.uses) == (state, None, uses)


def test_something_amiss_stays_until_it_is_mended() -> None:
    due = due_of(SEAL, [done(3, is_amiss=True)], [], TODAY)
    assert (due.state, due.because, due.asks_change) == (State.OVERDUE, Because.AMISS, True)
    mended = due_of(SEAL, [done(3, is_amiss=True), done(1, is_changed=True)], [], TODAY)
    assert (mended.state, mended.on) == (State.LATER, ago(-29))


def test_a_lamp_at_its_hours_asks_for_a_new_one_whatever_the_days() -> None:
    at_limit = due_of(LAMP, [done(40, 1900.0), done(2, 2000.0)], [], TODAY)
    assert (at_limit.because, at_limit.on) == (Because.LIMIT, ago(2))
    new = due_of(LAMP, [done(2, 2000.0), done(1, 2003.0, is_changed=True)], [], TODAY)
    assert (new.state, new.on) == (State.LATER, ago(-29))
    assert new.wear is not None
    assert (new.wear.now, new.wear.left) == (0.0, 2000.0)  # the counter went on, the lamp is new


def test_hours_count_from_what_the_counter_read_when_the_lamp_was_new() -> None:
    wear = wear_of(replace(LAMP, first_reading=5000.0), [done(10, 5600.0)])
    assert wear is not None
    assert (wear.now, wear.left) == (600.0, 1400.0)


def test_the_limit_of_a_filter_is_so_many_times_its_first_reading() -> None:
    assert limit_of(HEPA, []) is None
    assert limit_of(HEPA, [done(60, 110.0), done(30, 150.0)]) == 220.0
    assert limit_of(replace(HEPA, first_reading=100.0), [done(30, 150.0)]) == 200.0
    changed = [done(60, 230.0), done(30, 120.0, is_changed=True), done(1, 130.0)]
    assert limit_of(HEPA, changed) == 240.0


def test_the_pace_says_when_the_limit_is_reached() -> None:
    # 110 Pa, then 150 Pa after 40 days: 1 Pa a day; 220 Pa is 70 Pa further
    wear = wear_of(HEPA, [done(40, 110.0), done(0, 150.0)])
    assert wear is not None
    assert wear.expected_on == ago(-70)
    flat = wear_of(HEPA, [done(40, 110.0), done(0, 110.0)])
    assert flat is not None
    assert flat.expected_on is None
    near = wear_of(HEPA, [done(6, 110.0), done(0, 150.0)])
    assert near is not None
    assert near.expected_on is None  # less than a week apart


def test_the_pace_alone_makes_nothing_due() -> None:
    due = due_of(HEPA, [done(29, 110.0), done(1, 219.0)], [], TODAY)
    assert due.wear is not None
    assert due.wear.expected_on is not None
    assert due.state is State.LATER


def test_a_probe_beyond_its_limit_either_way_asks_to_be_mended() -> None:
    probe = Chore(
        "p",
        "Probe",
        ChoreKind.PROBE_CHECK,
        ChoreAt.INSTRUMENT,
        "core",
        365,
        reads=Reads.OFF_DEGREES,
        limit=0.5,
    )
    assert due_of(probe, [done(0, -0.6)], [], TODAY).because is Because.LIMIT
    assert due_of(probe, [done(0, -0.4)], [], TODAY).state is State.LATER
    assert due_of(probe, [done(0, 0.0)], [], TODAY).state is State.LATER


def test_a_room_that_is_put_out_of_use_is_due_on_that_day() -> None:
    room = replace(FLOOR, kind=ChoreKind.ROOM_EMPTIED, every_days=90)
    late = [done(120)]
    assert due_of(room, late, [], TODAY).state is State.OVERDUE
    ahead = due_of(room, late, [], TODAY, planned=ago(-10))
    assert (ahead.state, ahead.on, ahead.because) == (State.SOON, ago(-10), Because.PLANNED)
    assert due_of(room, late, [], TODAY, planned=TODAY).state is State.TODAY


def test_how_soon_is_soon() -> None:
    assert [soon_days(days) for days in (1, 7, 30, 90, 365)] == [1, 1, 4, 12, 14]


def test_what_was_known_before_the_books_stands_in_its_place() -> None:
    """Read 20 days ago, before the books; a reading on paper is older, one of the books newer."""
    lamp = replace(LAMP, since=ago(20), last_reading=1500.0)
    assert with_before(LAMP, [done(3, 1600.0)]) == (done(3, 1600.0),)
    assert with_before(lamp, []) == (done(20, 1500.0),)
    both = with_before(lamp, [done(25, 1480.0), done(3, 1600.0)])
    assert [each.reading for each in both] == [1480.0, 1500.0, 1600.0]
    assert due_of(lamp, with_before(lamp, []), [], TODAY).wear == wear_of(lamp, both[1:2])
    torn = replace(FLOOR, since=ago(2), amiss="torn")
    assert due_of(torn, with_before(torn, []), [], TODAY).because is Because.AMISS
    mended = with_before(torn, [done(2, is_changed=True)])
    assert due_of(torn, mended, [], TODAY).because is Because.DAYS
