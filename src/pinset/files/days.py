"""Dates as people and spreadsheets write them; one that can be read in two ways is refused."""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta

from pinset.errors import InputError

_ISO = re.compile(r"([0-9]{4})-([0-9]{1,2})-([0-9]{1,2})(?:[T ][0-9:.]+)?")
_DOTS = re.compile(r"([0-9]{1,2})\. ?([0-9]{1,2})\. ?([0-9]{4})")
_SLASHES = re.compile(r"([0-9]{1,2})([/-])([0-9]{1,2})\2([0-9]{4})")
_SHORT_YEAR = re.compile(r"[0-9]{1,2}[./-][0-9]{1,2}[./-][0-9]{2}")
_MONTHS = 12
_SPREADSHEET_ZERO = date(1899, 12, 30)
_SERIALS = range(20_000, 80_000)


def read_day(cell: date | str | float) -> date:
    """Return the date of a cell.

    Raises
    ------
    InputError
        If it is no date or one of two; the field is the id of the finding, the hint says why.
    """
    if isinstance(cell, datetime):
        return cell.date()
    if isinstance(cell, date):
        return cell
    if isinstance(cell, (int, float)):
        raise InputError("date", cell, "a date", _serial_hint(cell))
    text = cell.strip()
    if found := _ISO.fullmatch(text):
        return _date(text, found[1], found[2], found[3])
    if found := _DOTS.fullmatch(text):
        return _date(text, found[3], found[2], found[1])
    if found := _SLASHES.fullmatch(text):
        return _from_slashes(text, int(found[1]), int(found[3]), found[4])
    if _SHORT_YEAR.fullmatch(text):
        raise InputError("date", text, "a date", "Write the year with four digits.")
    if text.isascii() and text.isdigit() and len(text) < len("100000"):
        raise InputError("date", text, "a date", _serial_hint(int(text)))
    raise InputError("date", text, "a date")


def _date(text: str, year: str, month: str, day: str) -> date:
    try:
        return date(int(year), int(month), int(day))
    except ValueError:
        raise InputError("date", text, "a date", "There is no such day.") from None


def _from_slashes(text: str, first: int, second: int, year: str) -> date:
    """12/25/2026 and 25/12/2026 have one reading each, 03/04/2026 has two."""
    if first <= _MONTHS and second <= _MONTHS and first != second:
        one, other = f"{year}-{second:02d}-{first:02d}", f"{year}-{first:02d}-{second:02d}"
        raise InputError(
            "date-ambiguous", text, "a date", f"It could be {one} or {other}: write one of the two."
        )
    day, month = (first, second) if second <= _MONTHS else (second, first)
    return _date(text, year, str(month), str(day))


def _serial_hint(number: float) -> str:
    if int(number) not in _SERIALS:
        return ""
    day = _SPREADSHEET_ZERO + timedelta(days=int(number))
    return (
        "This looks like a spreadsheet's own count of days; give the column the form of a date "
        f"(it would show {day.isoformat()})."
    )
