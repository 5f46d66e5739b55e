"""At which hour a steriliser is loaded on a day, by whoever is there."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from pinset.chain.day_hours import DayHours
from pinset.chain.in_use import loaded_on
from pinset.chain.outages import Outage, OutageOf
from pinset.chain.register import CookKind, Farm, FarmBook, Steriliser, Weekday, Worker
from pinset.chain.who_is_here import hours_on

FRIDAY, SATURDAY, SUNDAY = (date(2026, 3, day) for day in (6, 7, 8))
KETTLE = Steriliser("k", "Kettle", "bay", (CookKind("grain", 5, 60, 90, 150),), 9, 1, 1.4, "12:00")
HOURS = (8.0, 8.0, 8.0, 8.0, 8.0, 4.0, 0.0)  # from 07:30; on Saturday until 11:30


def book(*hours: tuple[DayHours, ...]) -> FarmBook:
    people = tuple(Worker(f"w{n}", "W", each) for n, each in enumerate(hours))
    farm = Farm("F", 0.0, "Europe/Vienna", working_days=tuple(Weekday)[:6])
    return FarmBook(farm, workers=people, sterilisers=(KETTLE,))


def hour(farm: FarmBook, day: date) -> str:
    found = loaded_on(farm, KETTLE, day)
    return found.load_at if found else "not"


def test_on_a_short_day_it_is_loaded_before_all_have_left() -> None:
    """Loading takes two thirds of an hour of hands: 40 minutes before 11:30."""
    assert hour(book(HOURS), FRIDAY) == "12:00"
    assert hour(book(HOURS), SATURDAY) == "10:50"


def test_whoever_stays_longest_counts() -> None:
    longer = (*HOURS[:5], 6.0, 0.0)
    assert hour(book(HOURS, longer), SATURDAY) == "12:00"
    away = Outage("o", OutageOf.PERSON, "w1", SATURDAY, SATURDAY)
    assert hour(replace(book(HOURS, longer), outages=(away,)), SATURDAY) == "10:50"


@pytest.mark.parametrize(("hours", "when"), [(0.75, "07:35"), (0.5, "not"), (1.0, "07:50")])
def test_a_day_may_be_too_short_to_load_at_all(hours: float, when: str) -> None:
    assert hour(book((8.0,) * 5 + (hours, 0.0)), SATURDAY) == when


def test_it_is_loaded_when_the_next_one_comes() -> None:
    """Nobody is here before the kettle's hour: in the evening, or after noon."""
    evening = book(("17:00-20:30",) * 7)
    split = book(("07:00-11:00, 16:00-18:00",) * 7)
    assert hour(evening, FRIDAY) == "17:00"
    assert hour(split, FRIDAY) == "10:20", "it is loaded earlier rather than later"
    assert hour(book(("17:00-17:30",) * 7), FRIDAY) == "not"


def test_where_nobody_works_or_is_listed_it_stays_as_it_is() -> None:
    assert hour(book(HOURS), SUNDAY) == "12:00"
    assert hour(book(), SATURDAY) == "12:00"


def test_nobody_has_hours_on_a_day_on_which_the_farm_does_not_work() -> None:
    farm = book((8.0,) * 7)
    off = replace(farm, farm=replace(farm.farm, days_off=(FRIDAY,)))
    [worker] = farm.workers
    days = (FRIDAY, SATURDAY, SUNDAY)
    assert [hours_on(farm, worker, day) for day in days] == [8.0, 8.0, 0.0]
    assert [hours_on(off, worker, day) for day in days] == [0.0, 8.0, 0.0]
