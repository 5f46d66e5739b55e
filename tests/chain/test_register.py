from __future__ import annotations

from datetime import date

import pytest

from chain.book import BOOK
from pinset.chain.register import CLEANLINESS, WORKING_WEEK, RoomKind, Spread, Weekday


def test_weekdays_are_those_of_the_calendar() -> None:
    assert Weekday.of(date(2026, 3, 12)) is Weekday.THU
    assert [day.number for day in Weekday] == list(range(7))
    assert all(Weekday.of(date(2026, 3, 9 + n)).number == n for n in range(7))
    assert len(WORKING_WEEK) == 5


def test_mean_of_a_triangle() -> None:
    assert Spread(0.0, 3.0, 9.0).mean == 4.0


def test_work_goes_from_the_laboratory_to_the_grow_rooms() -> None:
    order = sorted(CLEANLINESS, key=CLEANLINESS.__getitem__)
    assert order[0] is RoomKind.LABORATORY
    assert order[-1] is RoomKind.GROWING
    assert len(CLEANLINESS) == len(RoomKind)


def test_a_room_holds_what_its_shelves_hold() -> None:
    assert {room.code: room.holds for room in BOOK.rooms}["inc"] == 240
    assert BOOK.rooms[0].holds == 0


def test_a_route_finds_its_steps() -> None:
    assert BOOK.routes[0].step("grain").code == "grain"
    with pytest.raises(KeyError):
        BOOK.routes[0].step("crate")
