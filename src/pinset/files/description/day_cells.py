"""Cells that hold dates, clock times, hours of a day and weekdays."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, time
from enum import StrEnum

from pinset.chain.day_hours import ACCEPTED, DayHours, is_in_spans, spans_text
from pinset.errors import InputError
from pinset.files.days import read_day
from pinset.files.description.cells import CellError, cell_text
from pinset.files.description.number_cells import Number
from pinset.files.description.sheet import Raw


@dataclass(frozen=True, slots=True)
class Day:
    """A date."""

    first_year: int = 1990
    none: None = None

    @property
    def accepted(self) -> str:
        """What is accepted."""
        return f"a date from {self.first_year} to 2099, such as 2026-03-12 or 12.03.2026"

    def read(self, cell: Raw, *, comma_is_decimal: bool = False) -> date:
        """Return the date."""
        del comma_is_decimal
        try:
            day = read_day(cell if isinstance(cell, (date, float, int)) else cell_text(cell))
        except InputError as error:
            raise CellError(error.field, cell_text(cell), self.accepted, error.hint) from None
        if not self.first_year <= day.year <= 2099:  # noqa: PLR2004 - as the words say
            raise CellError("date-range", cell_text(cell), self.accepted, "Look at the year.")
        return day

    def show(self, value: date) -> Raw:
        """Return the date itself; the file's writer gives it its form."""
        return value


@dataclass(frozen=True, slots=True)
class Clock:
    """A clock time, kept as ``07:30``."""

    accepted: str = "a clock time from 00:00 to 23:59, such as 07:30"
    none: str = ""

    def read(self, cell: Raw, *, comma_is_decimal: bool = False) -> str:
        """Return the time as two digits, colon, two digits."""
        del comma_is_decimal
        if isinstance(cell, time):
            return cell.strftime("%H:%M")
        text = cell_text(cell)
        hours, colon, minutes = text.replace(".", ":").partition(":")
        minutes = minutes.removesuffix(":00")
        sound = colon and _is_digits(hours, 1, 2) and _is_digits(minutes, 2, 2)
        if not sound or int(hours) > 23 or int(minutes) > 59:  # noqa: PLR2004 - a clock
            raise CellError("clock", text, self.accepted)
        return f"{int(hours):02d}:{int(minutes):02d}"

    def show(self, value: str) -> str:
        """Return the time."""
        return value


_HOURS = Number(0, 24, "hours", "time")


@dataclass(frozen=True, slots=True)
class HoursOfDay:
    """Somebody's hours on a weekday: a number, or from when until when by the clock."""

    accepted: str = ACCEPTED
    none: float = 0.0

    def read(self, cell: Raw, *, comma_is_decimal: bool = False) -> DayHours:
        """Return the number, or the spans in their one form."""
        if isinstance(cell, str) and is_in_spans(cell):
            text = cell_text(cell)
            try:
                return spans_text(text)
            except InputError as error:
                raise CellError("hours", text, error.accepted, error.hint) from None
        try:
            return float(_HOURS.read(cell, comma_is_decimal=comma_is_decimal))
        except CellError as error:
            raise CellError(error.name, error.given, self.accepted, error.hint) from None

    def show(self, value: DayHours) -> Raw:
        """Return the number, or the spans as they are kept."""
        return value if isinstance(value, str) else _HOURS.show(value)


def _is_digits(text: str, least: int, most: int) -> bool:
    return least <= len(text) <= most and text.isascii() and text.isdigit()


_WEEKDAYS = {
    "mon": "monday",
    "tue": "tuesday",
    "wed": "wednesday",
    "thu": "thursday",
    "fri": "friday",
    "sat": "saturday",
    "sun": "sunday",
}


@dataclass(frozen=True, slots=True)
class WeekdayKind:
    """A day of the week, by its three letters or its full English name."""

    enum: type[StrEnum]
    accepted: str = "one of mon, tue, wed, thu, fri, sat, sun"
    none: None = None

    def read(self, cell: Raw, *, comma_is_decimal: bool = False) -> StrEnum:
        """Return the day."""
        del comma_is_decimal
        word = cell_text(cell).casefold().rstrip(".")
        for short, full in _WEEKDAYS.items():
            if len(word) >= len(short) and full.startswith(word):
                return self.enum(short)
        raise CellError("weekday", cell_text(cell), self.accepted)

    def show(self, value: StrEnum) -> str:
        """Return the three letters."""
        return value.value
