"""Dates of a logger's file: day first or month first, decided from the whole file.

A cook lasts hours or a few days, so the right order is the one in which all dates of a file exist
and lie closest together; where that does not decide, the file is flagged.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from pinset.files.logger.records import DateOrder, Guess, Sure

CENTURY = 2000
EARLIEST_YEAR, LATEST_YEAR = 1990, 2099
HABIT_OF_DOTS = "dates with dots are written day first"
YOUNGEST_FORM = 2015  # a two-digit year before it is rather a day

_MONTHS = {
    "jan": 1, "ene": 1, "gen": 1, "led": 1, "sty": 1,
    "feb": 2, "fév": 2, "fev": 2, "lut": 2,
    "mar": 3, "mär": 3, "mrz": 3, "maa": 3, "mrt": 3,
    "apr": 4, "avr": 4, "abr": 4, "kwi": 4,
    "may": 5, "mai": 5, "mag": 5, "mei": 5, "maj": 5,
    "jun": 6, "giu": 6, "cze": 6, "juin": 6,
    "jul": 7, "lug": 7, "lip": 7, "juil": 7,
    "aug": 8, "aoû": 8, "aou": 8, "ago": 8, "sie": 8,
    "sep": 9, "set": 9, "wrz": 9,
    "oct": 10, "okt": 10, "ott": 10, "out": 10, "paź": 10,
    "nov": 11, "lis": 11,
    "dec": 12, "dez": 12, "déc": 12, "dic": 12, "gru": 12,
}  # fmt: skip

_NUMBERS = re.compile(r"(\d{1,4})[-/. ]+(\d{1,2})[-/. ]+(\d{1,4})")
_COMPACT = re.compile(r"(\d{4})(\d{2})(\d{2})")
_NAMED = re.compile(r"(?P<day>\d{1,2})\W*(?P<month>[^\W\d_]{3,})\W*(?P<year>\d{4}|\d{2})")
_NAMED_FIRST = re.compile(r"(?P<month>[^\W\d_]{3,})\W*(?P<day>\d{1,2})\W+(?P<year>\d{4})")
_YEAR_NAMED = re.compile(r"(?P<year>\d{4})\W*(?P<month>[^\W\d_]{3,})\W*(?P<day>\d{1,2})")
_HEADER_DAY_FIRST = re.compile(r"\b[dtjg]{1,2}\W?m{1,2}\W?[yja]{2,4}\b", re.IGNORECASE)
_HEADER_MONTH_FIRST = re.compile(r"\bm{1,2}\W?[dtj]{1,2}\W?[yja]{2,4}\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class DateText:
    """A date as written: three numbers, or the day itself if it has one reading only."""

    parts: tuple[int, int, int] = (0, 0, 0)
    lengths: tuple[int, int, int] = (0, 0, 0)  # digits of each part
    day: date | None = None


def read_date(text: str) -> DateText | None:
    """Return a date as written, or None if the text is no date in any order."""
    found = _NUMBERS.fullmatch(text) or _COMPACT.fullmatch(text)
    if found:
        first, second, third = found.groups()
        lengths = (len(first), len(second), len(third))
        each = DateText((int(first), int(second), int(third)), lengths)
        if lengths[0] == len("2026"):
            day = in_order(each, DateOrder.YEAR_FIRST)
            return DateText(day=day) if day else None
        return each if any(in_order(each, order) for order in DateOrder) else None
    for pattern in (_NAMED, _NAMED_FIRST, _YEAR_NAMED):
        named = pattern.fullmatch(text)
        if named:
            word = named["month"].casefold()
            month = _MONTHS.get(word[:4]) or _MONTHS.get(word[:3])
            day = _date(int(named["year"]), month or 0, int(named["day"]))
            return DateText(day=day) if day else None
    return None


def in_order(text: DateText, order: DateOrder) -> date | None:
    """Return the day of a date read in an order, or None if there is no such day."""
    if text.day:
        return text.day
    first, second, third = text.parts
    if order is DateOrder.YEAR_FIRST:
        if text.lengths[0] not in {2, 4} or text.lengths[2] > len("31"):
            return None
        return _date(first, second, third)
    if text.lengths[2] not in {2, 4} or text.lengths[0] > len("31"):
        return None
    if order is DateOrder.DAY_FIRST:
        return _date(third, second, first)
    return _date(third, first, second)


def _date(year: int, month: int, day: int) -> date | None:
    if year < CENTURY // 20:
        year += CENTURY
    try:
        found = date(year, month, day)
    except ValueError:
        return None
    return found if EARLIEST_YEAR <= year <= LATEST_YEAR else None


def decide_order(
    dates: Iterable[DateText], texts: Sequence[str], header: str, *, is_american: bool | None
) -> Guess[DateOrder | None]:
    """Return the order of the dates of a file, decided from all of them.

    Parameters
    ----------
    dates : iterable of DateText
        The different dates of the file.
    texts : sequence of str
        The same as written.
    header : str
        Name of the column, which may say the order (``dd/mm/yyyy``).
    is_american : bool or None
        Whether other signs of the file speak for (AM and PM) or against (a decimal comma) the
        habits of the United States; None: neither.
    """
    open_dates = [each for each in dates if each.day is None]
    if not open_dates:
        return Guess(None, Sure.NAMED, "every date has one reading only")
    if _HEADER_DAY_FIRST.search(header):
        return Guess(DateOrder.DAY_FIRST, Sure.NAMED, "the head of the column says so")
    if _HEADER_MONTH_FIRST.search(header):
        return Guess(DateOrder.MONTH_FIRST, Sure.NAMED, "the head of the column says so")
    spans = {order: _span(open_dates, order) for order in DateOrder}
    whole = {order: span for order, span in spans.items() if span is not None}
    if not whole:
        order = _fewest_missing(open_dates)
        return Guess(order, Sure.UNSURE, "some dates exist in no order")
    least = min(whole.values())
    best = [order for order, span in whole.items() if span == least]
    days = {in_order(open_dates[0], order) for order in best}
    if len(best) > 1 and len(days) > 1 and DateOrder.YEAR_FIRST in best:
        best = _with_two_digit_year(open_dates[0], best)
    if len(best) == 1 or len(days) == 1:
        why = "all dates exist" if len(whole) == 1 else "so the dates lie closest together"
        return Guess(best[0], Sure.LIKELY, why)
    return _by_habit(best, texts, is_american=is_american)


def _span(dates: Sequence[DateText], order: DateOrder) -> int | None:
    days = [in_order(each, order) for each in dates]
    known = [day.toordinal() for day in days if day]
    return max(known) - min(known) if len(known) == len(days) else None


def _fewest_missing(dates: Sequence[DateText]) -> DateOrder:
    return max(
        DateOrder, key=lambda order: sum(in_order(each, order) is not None for each in dates)
    )


def _with_two_digit_year(first: DateText, best: list[DateOrder]) -> list[DateOrder]:
    """Tell 26-03-01 (year first) from 01-03-26: no logger file is from before 2015."""
    year_last: list[DateOrder] = [each for each in best if each is not DateOrder.YEAR_FIRST]
    if CENTURY + first.parts[2] < YOUNGEST_FORM <= CENTURY + first.parts[0]:
        return [DateOrder.YEAR_FIRST]
    return year_last or best


def _by_habit(
    best: list[DateOrder], texts: Sequence[str], *, is_american: bool | None
) -> Guess[DateOrder | None]:
    if DateOrder.DAY_FIRST in best and any("." in text for text in texts):
        return Guess(DateOrder.DAY_FIRST, Sure.LIKELY, HABIT_OF_DOTS)
    if is_american and DateOrder.MONTH_FIRST in best:
        return Guess(
            DateOrder.MONTH_FIRST, Sure.UNSURE, "with AM and PM the month mostly comes first"
        )
    why = "most of the world writes the day first"
    return Guess(DateOrder.DAY_FIRST if DateOrder.DAY_FIRST in best else best[0], Sure.UNSURE, why)
