"""Packing and handing over: early hours are packed the day before, late ones are not forgotten."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from pinset.chain.register import Buyer, Farm, FarmBook, Promise, Variety, Weekday
from pinset.services.book_reader import Reader
from pinset.services.jobs_of_selling import DueDelivery, due_on, handing_over, packing

FRIDAY = date(2026, 3, 13)
PROMISES = (
    Promise("early", "market", "grey", 34_000, weekday=Weekday.SAT),
    Promise("noon", "kitchen", "grey", 5_000, weekday=Weekday.FRI),
    Promise("spawn", "kitchen", "grey", 2, "unit", "grain", weekday=Weekday.FRI),
)
BOOK = FarmBook(
    Farm("Test", 400, "Europe/Vienna"),
    varieties=(Variety("grey", "Grey oyster", "Pleurotus ostreatus", "r"),),
    buyers=(Buyer("market", "Market", "06:30"), Buyer("kitchen", "Kitchen", "11:00")),
    promises=PROMISES,
)


def due(day: date, delivered: dict[tuple[str, date], int] | None = None) -> list[DueDelivery]:
    days = [day + timedelta(days=n) for n in range(-1, 4)]
    return [each for d in days for each in due_on(PROMISES, d, delivered or {})]


def test_early_market_is_packed_the_day_before_and_noon_on_the_day() -> None:
    jobs = packing(due(FRIDAY), Reader(BOOK, FRIDAY))
    assert [(job.grams, job.due, job.for_day) for job in jobs] == [
        (5000, "before 11:00", FRIDAY),
        (34_000, "", FRIDAY + timedelta(days=1)),
    ]
    assert packing(due(FRIDAY + timedelta(days=1)), Reader(BOOK, FRIDAY + timedelta(days=1))) == ()


def test_over_a_weekend_it_is_packed_on_the_last_working_day() -> None:
    monday = replace(PROMISES[0], weekday=Weekday.MON)
    ahead = [DueDelivery(monday, FRIDAY + timedelta(days=3), 0)]
    assert [job.grams for job in packing(ahead, Reader(BOOK, FRIDAY))] == [34_000]
    assert packing(ahead, Reader(BOOK, FRIDAY - timedelta(days=1))) == ()


def test_what_is_handed_over_is_what_is_left() -> None:
    jobs = handing_over(due(FRIDAY, {("noon", FRIDAY): 1200}), Reader(BOOK, FRIDAY))
    assert [(job.promise, job.grams, job.count, job.fixed_at) for job in jobs] == [
        ("noon", 3800, 4, "11:00"),
        ("spawn", 0, 2, "11:00"),
    ]


@pytest.mark.parametrize("late", [1])
def test_what_was_due_yesterday_is_still_asked_for(late: int) -> None:
    today = FRIDAY + timedelta(days=late)
    [noon] = [j for j in handing_over(due(today), Reader(BOOK, today)) if j.promise == "noon"]
    assert (noon.day, noon.fixed_at, noon.stake) == (FRIDAY, "", "5 kg")
