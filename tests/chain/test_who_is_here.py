"""Who is here when, of people by numbers and by the clock."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from pinset.chain.day_hours import DayHours, Span
from pinset.chain.outages import Outage, OutageOf
from pinset.chain.register import Farm, FarmBook, Worker
from pinset.chain.who_is_here import Here, here_on, hours_on, is_somebody_here, spans_on

MONDAY, SUNDAY = date(2026, 3, 9), date(2026, 3, 15)


def book(*hours: DayHours) -> FarmBook:
    people = tuple(Worker(f"w{n}", "W", (each,) * 7, n == 0) for n, each in enumerate(hours))
    return FarmBook(Farm("F", 0.0, "Europe/Vienna"), workers=people)


def test_somebody_in_the_evening_is_here_in_the_evening() -> None:
    farm = book("17:00-20:30")
    here = here_on(farm, MONDAY)
    assert (here.begins_at, here.ends) == ("17:00", 20 * 60 + 30)
    assert hours_on(farm, farm.workers[0], MONDAY) == 3.5
    assert here.first_from(450, 60) == 17 * 60
    assert here.first_from(20 * 60, 60) is None, "not any more today"
    assert not here.is_here(16 * 60 + 50, 20)


def test_two_people_with_different_hours_are_two_times() -> None:
    here = here_on(book(4.0, "16:00-18:00"), MONDAY)
    assert here.spans == (Span(450, 690), Span(960, 1080))
    assert [here.after_gap(each) for each in (400, 500, 690, 800, 1000, 1100)] == [
        450, 500, 960, 960, 1000, 1100,
    ]  # fmt: skip
    assert here.worked_by(660, 60) == 990, "30 minutes before noon, 30 from 16:00"
    assert here_on(book(4.0, "16:00-18:00"), MONDAY, in_laboratory=True).ends == 690


def test_nobody_works_over_a_gap() -> None:
    here = here_on(book("07:00-11:00, 11:30-13:00"), MONDAY)
    assert here.first_from(10 * 60 + 30, 60) == 11 * 60 + 30
    assert here.last_begin(120) == 9 * 60, "the time after noon is too short for it"
    assert here.last_begin_by(12 * 60, 30) == 12 * 60
    assert here.last_begin_by(12 * 60, 120) == 9 * 60
    assert here.first_from(0, 1000) == 7 * 60, "longer than any: it begins with one"


def test_nobody_is_here_who_is_away_or_on_a_day_off() -> None:
    farm = book("17:00-20:30")
    away = replace(farm, outages=(Outage("o", OutageOf.PERSON, "w0", MONDAY, MONDAY),))
    for each, day in ((away, MONDAY), (farm, SUNDAY)):
        assert spans_on(each, each.workers[0], day) == ()
        assert not is_somebody_here(each, day)
        assert here_on(each, day) == Here((), 450)
        assert here_on(each, day).begins_at == "07:30", "the farm's own hour"


@pytest.mark.parametrize(("day", "spans"), [(MONDAY, (Span(450, 1440),)), (SUNDAY, ())])
def test_where_nobody_is_listed_somebody_is_here_all_day(
    day: date, spans: tuple[Span, ...]
) -> None:
    assert here_on(book(), day).spans == spans
