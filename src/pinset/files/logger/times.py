"""Cells of time to seconds."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.errors import InputError
from pinset.files.description.place import shown
from pinset.files.logger.block import Block
from pinset.files.logger.dates import HABIT_OF_DOTS, decide_order, in_order
from pinset.files.logger.numbers import read_numbers
from pinset.files.logger.records import DateOrder, Guess, LogLayout, Sure, TimeForm
from pinset.files.logger.report import LogReport
from pinset.files.logger.rows import Kind
from pinset.files.logger.stamps import DAY, MINUTE, StampColumn, read_stamps
from pinset.files.logger.timing import UNIT_S

Values = NDArray[float64]

MOST_S = 1e11  # thousands of years: no time
_FIRST_DAY = date(1970, 1, 1).toordinal()
_SERIAL_ZERO = date(1899, 12, 30).toordinal() - _FIRST_DAY
_ACCEPTED = {
    TimeForm.STAMP: "a date and a clock such as 2026-03-01 14:05:00",
    TimeForm.CLOCK: "a clock such as 14:05:00",
    TimeForm.ELAPSED_CLOCK: "hours and minutes such as 1:05:00",
    TimeForm.SERIAL: "a spreadsheet's count of days such as 46082.5868",
    TimeForm.EPOCH: "seconds since 1970",
    TimeForm.ELAPSED: "a number",
    TimeForm.EVEN: "a number",
}
_MILLISECONDS = 3  # digits kept of seconds that come from a count of days


@dataclass(frozen=True, slots=True, eq=False)
class RawTimes:
    """Times in the order of the file.

    ``seconds`` has shape (n,) and NaN where a cell held no time. Whether they count from 1970 says
    ``is_dated``; whether that is UTC, ``is_utc``. ``unread`` names the cells that held no time.
    """

    seconds: Values
    is_dated: bool
    is_utc: bool
    is_clock: bool  # without a date: begins again at midnight
    has_no_seconds: bool
    date_order: Guess[DateOrder | None]
    unread: tuple[tuple[int, str], ...]


def read_times(block: Block, layout: LogLayout) -> RawTimes:
    """Return the times of a block as its layout says they are written."""
    form = layout.time_form.value
    count = len(block.numbers)
    if form is TimeForm.EVEN:
        even = np.arange(count, dtype=float64) * layout.step_s.value
        return RawTimes(even, False, False, False, False, layout.date_order, ())
    columns = layout.time_columns.value
    if not columns or not count:
        return RawTimes(np.zeros(0), False, False, False, False, layout.date_order, ())
    if form in {TimeForm.ELAPSED, TimeForm.SERIAL, TimeForm.EPOCH}:
        return _of_numbers(block, layout, columns[0])
    return _of_stamps(block, layout, columns)


def _of_numbers(block: Block, layout: LogLayout, column: int) -> RawTimes:
    cells = block.columns[column]
    values = read_numbers(cells, layout.decimal.value).values
    form = layout.time_form.value
    if form is TimeForm.SERIAL:
        seconds = np.round((values + _SERIAL_ZERO) * DAY, _MILLISECONDS)
    else:
        unit = layout.time_unit.value
        if unit not in UNIT_S:
            raise InputError("time_unit", unit, ", ".join(UNIT_S))
        seconds = values * UNIT_S[unit]
    seconds = np.where(np.abs(seconds) < MOST_S, seconds, np.nan)
    return RawTimes(
        seconds=seconds,
        is_dated=form is not TimeForm.ELAPSED,
        is_utc=form is TimeForm.EPOCH,
        is_clock=False,
        has_no_seconds=False,
        date_order=layout.date_order,
        unread=_unread(seconds, cells),
    )


def _shares_minutes(stamps: StampColumn, block: Block) -> bool:
    """Return True if clocks have no seconds, and rows are not those of one probe after another."""
    if stamps.parts != len("hm"):
        return False
    texts = [block.columns[index] for index, kind in enumerate(block.kinds) if kind == Kind.WORDS]
    return not any(len(set(cells)) > 1 and cells[0] != cells[1] for cells in texts)


def _unread(seconds: Values, cells: list[str]) -> tuple[tuple[int, str], ...]:
    return tuple((int(at), cells[at]) for at in np.flatnonzero(np.isnan(seconds)))


def _of_stamps(block: Block, layout: LogLayout, columns: tuple[int, ...]) -> RawTimes:
    clock = read_stamps([cell.strip() for cell in block.columns[columns[-1]]])
    dated = clock if len(columns) == 1 else read_stamps(block.columns[columns[0]])
    form = layout.time_form.value
    seconds = clock.clock_s
    if (
        form is TimeForm.ELAPSED_CLOCK
        and clock.parts == len("hm")
        and layout.time_unit.value == "mm:ss"
    ):
        seconds = seconds / MINUTE
    order = layout.date_order
    is_utc = False
    if form is TimeForm.STAMP:
        if order.sure is not Sure.GIVEN:
            order = _order(dated, clock, block, layout, columns[0])
        seconds = seconds + _days(dated, order.value) * DAY
        is_utc = bool(np.mean(~np.isnan(clock.offset_s)) > 1 / 2)
        if is_utc:
            seconds = seconds - clock.offset_s
    return RawTimes(
        seconds=seconds,
        is_dated=form is TimeForm.STAMP,
        is_utc=is_utc,
        is_clock=form is TimeForm.CLOCK,
        has_no_seconds=_shares_minutes(clock, block),
        date_order=order,
        unread=_unread(seconds, block.columns[columns[-1]]),
    )


def _order(
    dated: StampColumn, clock: StampColumn, block: Block, layout: LogLayout, column: int
) -> Guess[DateOrder | None]:
    is_european = layout.decimal.value == "," or layout.separator.value == ";"
    habit = True if clock.is_halved else (False if is_european else None)
    return decide_order(dated.read, dated.dates, block.heads[column], is_american=habit)


def _days(dated: StampColumn, order: DateOrder | None) -> Values:
    """Return days since 1970, shape (n,); NaN where there is no such day."""
    days = [in_order(each, order or DateOrder.YEAR_FIRST) for each in dated.read]
    numbers = [float(day.toordinal() - _FIRST_DAY) if day else np.nan for day in days]
    return np.array([*numbers, np.nan], dtype=float64)[dated.date_of]


def say_unread(raw: RawTimes, block: Block, layout: LogLayout, report: LogReport) -> None:
    """Report the cells that held no time."""
    columns = layout.time_columns.value
    for at, cell in raw.unread:
        report.warn(
            "time-unread",
            f"{shown(cell)} is no time; accepted is {_ACCEPTED[layout.time_form.value]}. "
            "The row was left out.",
            row=block.numbers[at],
            column=block.names[columns[-1]],
        )


def say_order(raw: RawTimes, block: Block, layout: LogLayout, report: LogReport) -> None:
    """Report dates that can be read in two ways."""
    is_habit = raw.date_order.why == HABIT_OF_DOTS
    if raw.date_order.value is None or not (raw.date_order.sure is Sure.UNSURE or is_habit):
        return
    say = report.note if is_habit else report.warn
    column = layout.time_columns.value[0]
    text = next((cell.strip() for cell in block.columns[column] if cell.strip()), "")
    words = {
        DateOrder.DAY_FIRST: "day, month, year",
        DateOrder.MONTH_FIRST: "month, day, year",
        DateOrder.YEAR_FIRST: "year, month, day",
    }
    say(
        "date-order",
        f"{shown(text)} can be read in two ways; it was read as {words[raw.date_order.value]}, "
        f"since {raw.date_order.why}. The times between readings do not depend on it.",
        "Say the order of the dates if it is another one.",
        column=block.names[column],
    )
