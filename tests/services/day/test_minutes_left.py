"""What people and the clean bench still have of a day."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time

import pytest

from pinset.chain.register import Bench, Farm, FarmBook, Room, RoomKind, Worker
from pinset.planning.building.taken import LEAST_MINUTES
from pinset.planning.problem import Problem
from pinset.planning.resources import Resources
from pinset.services.day.minutes_left import (
    DoneToday,
    minutes_left,
    only_these_minutes,
)

TODAY = date(2026, 3, 12)
BOOK = FarmBook(
    Farm("Test", 400, "Europe/Vienna"),  # from 07:30, rounds of 15 min
    rooms=(Room("one", "One", RoomKind.GROWING, 15.0), Room("two", "Two", RoomKind.GROWING, 15.0)),
    benches=(Bench("hood", "Hood", "lab", 360),),
    workers=(
        Worker("a", "Ada", (8.0,) * 7, laboratory=True),
        Worker("b", "Ben", (4.0,) * 7, laboratory=False),
    ),
)
WHOLE = Resources(
    bench_minutes=(360.0, 360.0), laboratory_minutes=(480.0, 480.0), hands_minutes=(690.0, 690.0)
)
NOTHING = DoneToday()


def today_of(
    clock: str, done: DoneToday = NOTHING, *, book: FarmBook = BOOK, of: Resources = WHOLE
) -> tuple[float, ...]:
    """Return today's hands, laboratory and bench minutes; the day after stays whole."""
    left = minutes_left(book, TODAY, time.fromisoformat(clock), done)
    own = only_these_minutes(Problem(TODAY, 2, 2, (), resources=of), left).resources
    rows = (own.hands_minutes, own.laboratory_minutes, own.bench_minutes)
    whole = (of.hands_minutes, of.laboratory_minutes, of.bench_minutes)
    assert [row[1:] for row in rows] == [row[1:] for row in whole]
    return tuple(row[0] for row in rows if row)


def test_at_noon_the_morning_is_gone() -> None:
    """Ada stays until 15:30, 3 h; Ben went at 11:30; nobody has walked the rounds."""
    assert today_of("12:30") == (180.0 - 30.0, 180.0, 180.0)


def test_what_was_done_is_not_taken_off_what_the_clock_leaves() -> None:
    walked = DoneToday(bench=90.0, prepared=60.0, is_round_walked=True)
    assert today_of("12:30", walked) == (180.0, 180.0, 180.0)


def test_the_bench_holds_no_more_than_its_minutes() -> None:
    """Of its 360 min 300 are used at 12:30; it is free for 3 h, but not for so much work."""
    assert today_of("12:30", DoneToday(bench=300.0))[2] == 60.0
    assert today_of("12:30", DoneToday(bench=400.0))[2] == 0.0


def test_no_day_gets_longer_and_the_first_minute_is_the_whole_day() -> None:
    assert today_of("07:30") == (690.0, 480.0, 360.0)
    assert today_of("07:30", DoneToday(is_round_walked=True)) == (690.0, 480.0, 360.0)
    assert today_of("05:00") == (690.0, 480.0, 360.0)


def test_in_the_evening_nothing_is_left() -> None:
    assert today_of("20:00") == (LEAST_MINUTES, 0.0, 0.0)


def test_a_day_off_stays_one_and_what_is_not_limited_is_not() -> None:
    off = Resources(bench_minutes=(0.0, 360.0), hands_minutes=(0.0, 690.0))
    assert today_of("12:30", of=off) == (0.0, 0.0)
    nobody = replace(BOOK, workers=())
    assert today_of("12:30", book=nobody, of=Resources(bench_minutes=(360.0,))) == (360.0,)


def test_before_work_begins_the_problem_is_the_same() -> None:
    problem = Problem(TODAY, 2, 2, (), resources=WHOLE)
    assert only_these_minutes(problem, None) is problem


@pytest.mark.parametrize("walked", [False, True])
def test_the_round_is_kept_free_until_it_is_walked(*, walked: bool) -> None:
    assert today_of("08:30", DoneToday(is_round_walked=walked))[0] == 420 + 180 - 30 * (not walked)
