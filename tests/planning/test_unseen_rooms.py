"""What ripened before today while nobody was there long enough for it to spoil."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from pinset.chain.living import LivingLot
from pinset.chain.register import FarmBook
from pinset.planning.building.from_rooms import rooms_of
from pinset.planning.building.step_numbers import DEFAULT_SAFETY
from pinset.planning.problem import InRoom, Problem
from pinset.planning.resources import Resources
from planning.test_rest_of_flush import BOOK, LOT, MONDAY

NEW = replace(LOT, flush=0)
"""Ten blocks in the room since Monday: 2.5 kg a day on the sixth to the ninth day after it."""

CLOSED = range(4, 11)
"""Days after Monday on which nobody works; what ripens on the ninth hangs two days."""


def day(number: int) -> date:
    return MONDAY + timedelta(days=number)


def closed(days: range) -> FarmBook:
    off = tuple(day(number) for number in days)
    return replace(BOOK, farm=replace(BOOK.farm, days_off=off))


def room_on(book: FarmBook, lot: LivingLot, today: int) -> InRoom:
    (room,), _ = rooms_of(book, (lot,), day(today), DEFAULT_SAFETY)
    return room


def picked(book: FarmBook, lot: LivingLot, today: int) -> dict[int, float]:
    """Return the grams that are counted on, by days after Monday."""
    hands = tuple(0.0 if day(today + n) in book.farm.days_off else 480.0 for n in range(40))
    problem = Problem(day(today), 40, 21, (), resources=Resources(hands_minutes=hands))
    found: dict[int, float] = {}
    for when, pick in problem.gathered(room_on(book, lot, today).picks):
        found[today + when] = found.get(today + when, 0.0) + pick.grams
    return found


@pytest.mark.parametrize("today", range(3, 12))
def test_before_in_and_after_the_closed_days_the_same_is_counted_on(today: int) -> None:
    assert picked(closed(CLOSED), NEW, today) == {11: pytest.approx(2500.0)}


@pytest.mark.parametrize("today", range(7, 12))
def test_so_it_is_with_the_rest_of_a_flush(today: int) -> None:
    """Its first share was picked on the sixth day; those of the seventh and the eighth are lost."""
    begun = replace(LOT, flush_g=2500, picked_g=2500, last_picked_on=day(6))
    assert picked(closed(range(7, 11)), begun, today) == {11: pytest.approx(2500.0)}


def test_after_a_weekend_all_of_it_is_there() -> None:
    assert sum(picked(closed(range(6, 8)), NEW, 8).values()) == pytest.approx(10_000.0)
    assert min(picked(closed(range(6, 8)), NEW, 8)) == 8


def test_what_somebody_saw_to_be_late_is_counted_on_from_today() -> None:
    assert picked(closed(CLOSED), NEW, 12) == {n: pytest.approx(2500.0) for n in range(12, 16)}


def test_its_day_is_open_from_the_first_of_the_closed_days() -> None:
    """So many days had it waited when it was last known not to be ripe; the next day it may be."""
    assert room_on(closed(CLOSED), NEW, 11).waits_days == 4.0
    assert room_on(closed(range(9, 11)), NEW, 11).waits_days == 11.0


def test_places_are_free_tomorrow_where_all_of_it_is_past() -> None:
    assert room_on(closed(range(4, 14)), NEW, 14).leaves_day == 1
