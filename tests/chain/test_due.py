"""Days on which promises fall due."""

import doctest
from datetime import date, timedelta

import pinset.chain.due
from pinset.chain.due import due_days
from pinset.chain.register import Promise, Weekday

DAY = date(2026, 3, 12)  # a Thursday


def weekly(**more: object) -> Promise:
    return Promise("p", "b", "v", 1000, weekday=Weekday.THU, **more)  # type: ignore[arg-type]


def test_both_ends_count() -> None:
    assert due_days(weekly(), DAY, DAY) == (DAY,)
    assert due_days(weekly(), DAY, DAY + timedelta(days=7)) == (DAY, DAY + timedelta(days=7))


def test_window_of_the_promise_is_kept() -> None:
    promise = weekly(from_date=DAY + timedelta(days=1), until=DAY + timedelta(days=14))
    assert due_days(promise, DAY, DAY + timedelta(days=60)) == (
        DAY + timedelta(days=7),
        DAY + timedelta(days=14),
    )


def test_once() -> None:
    once = Promise("p", "b", "v", 1000, on_date=DAY)
    assert due_days(once, DAY, DAY) == (DAY,)
    assert due_days(once, DAY + timedelta(days=1), DAY + timedelta(days=9)) == ()


def test_neither_weekday_nor_date_is_never_due() -> None:
    assert due_days(Promise("p", "b", "v", 1), DAY, DAY + timedelta(days=9)) == ()


def test_example() -> None:
    assert doctest.testmod(pinset.chain.due).failed == 0
