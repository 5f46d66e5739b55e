"""Kinds of value that columns of several tables hold."""

from __future__ import annotations

from pinset.chain.register import Weekday
from pinset.files.description.cells import Several
from pinset.files.description.day_cells import WeekdayKind
from pinset.files.description.number_cells import Number


def days(high: float = 1000) -> Number:
    """Return the kind of a column that holds days."""
    return Number(0, high, "days", "time")


def minutes(high: float = 10_000) -> Number:
    """Return the kind of a column that holds minutes of work."""
    return Number(0, high, "minutes", "time")


TEMPERATURE = Number(-30, 60, "°C", "temperature")
PRICE = Number(0, 1_000_000, scale=100, whole=True)
WEEKDAY = WeekdayKind(Weekday)
WEEKDAYS = Several(WEEKDAY)
DAY_NUMBERS = Several(Number(0, 1000, whole=True))
