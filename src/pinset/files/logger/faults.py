"""Probes that say nothing: unplugged, open, out of range, or stuck at one value."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy import bool_, float64
from numpy.typing import NDArray

from pinset.files.description.place import listed, shown
from pinset.files.logger.numbers import NumberColumn
from pinset.files.logger.records import LogColumn, Use
from pinset.files.logger.report import LogReport
from pinset.files.logger.slow_steps import goes_on
from pinset.files.logger.stamps import HOUR, MINUTE

Values = NDArray[float64]

LEAST_C, MOST_C = -30.0, 160.0
POWER_ON_C = 85.0  # a DS18B20 gives it before its first conversion (its data sheet; memory)
LEAP_K = 10.0
MOVES_K = 10.0  # by which others must move for a still probe to be stuck
STILL_S = 20.0 * MINUTE
STILL_ALONE_S = 45.0 * MINUTE  # where only one other probe moves, or over a whole log
STILL_START_S = 2.5 * HOUR  # a core may stay at its start for long
FEWEST = 10
LEVEL_K = 3.0  # of the hottest, or of its own start
MOST_ROWS_SAID = 3
UNPLUGGED = "Look at the plug, the wire and the tip of this probe; those readings are left out."
TENTHS = (
    "They look like tenths of a degree: have the logger's software write degrees, or divide the "
    "column by ten."
)
MOST_FAULTS = 0.5  # of the readings; more, and the column counts in another unit


@dataclass(frozen=True, slots=True)
class Read:
    """A column as read from its cells."""

    index: int
    name: str
    use: Use
    cells: NumberColumn


def say_cells(read: Read, numbers: Sequence[int], decimal: str, report: LogReport) -> None:
    """Report cells that are no numbers, empty, or words for no reading."""
    what = {Use.TEMPERATURE: "a temperature", Use.PRESSURE: "a pressure"}.get(read.use, "a number")
    example = f"such as 121{decimal}3"
    for at, text in read.cells.texts:
        report.warn(
            "text-in-numbers",
            f"{shown(text)} is no number; accepted is {what} {example}. It was left out.",
            row=numbers[at],
            column=read.name,
        )
        report.doubt(read.index, "text-in-numbers")
    if read.cells.others:
        at, text = read.cells.others[0]
        report.warn(
            "decimal-mixed",
            f"{shown(text)} has another decimal sign than the rest of the file "
            f"({len(read.cells.others)} times in this column); it was read as a decimal sign.",
            "Look at these numbers.",
            row=numbers[at],
            column=read.name,
        )
    if read.use is Use.NUMBER:
        return
    if read.cells.blanks:
        _say_missing(read, numbers, report)
    if read.cells.faults:
        words = listed(sorted({shown(text) for _, text in read.cells.faults}), most=4)
        rows = [numbers[at] for at, _ in read.cells.faults]
        _say_unplugged(read, rows, f"it reads {words}", len(numbers), report)


def _say_missing(read: Read, numbers: Sequence[int], report: LogReport) -> None:
    count, every = len(read.cells.blanks), len(numbers)
    if count == every:
        _say_unplugged(read, list(numbers), "it is empty", every, report)
        return
    report.warn(
        "missing",
        f"{read.name} has no value in {count} of {every} readings, first in row "
        f"{numbers[read.cells.blanks[0]]}.",
        "Was the probe plugged in?",
        row=numbers[read.cells.blanks[0]],
        column=read.name,
    )


def _say_unplugged(
    read: Read, rows: Sequence[int], what: str, every: int, report: LogReport, hint: str = UNPLUGGED
) -> None:
    where = (
        f"rows {rows[0]} to {rows[-1]}"
        if len(rows) > MOST_ROWS_SAID
        else f"row {', '.join(map(str, rows))}"
    )
    report.wrong(
        "unplugged",
        f"{read.name} gives no reading in {len(rows)} of {every} ({where}): {what}.",
        hint
        or "Look at the plug, the wire and the tip of this probe; those readings are left out.",
        row=rows[0],
        column=read.name,
    )
    report.doubt(read.index, "unplugged")


def without_faults(
    read: Read,
    values: Values,
    given: Values,
    numbers: Sequence[int],
    report: LogReport,
    bounds: tuple[float, float] = (LEAST_C, MOST_C),
) -> Values:
    """Return values with NaN where a probe cannot have measured them.

    Parameters
    ----------
    read : Read
        The column.
    values, given : ndarray, shape (n,)
        Converted (degC or kPa), and as in the file.
    numbers : sequence of int
        Rows in the file.
    report : LogReport
        Where findings go.
    bounds : tuple of float
        What a probe can measure, in the unit of ``values``.
    """
    is_fault = (values < bounds[0]) | (values > bounds[1])
    if read.use is Use.TEMPERATURE:
        is_fault |= _power_on(values)
    if not np.any(is_fault):
        return values
    places = np.flatnonzero(is_fault)
    seen = listed([f"{value:g}" for value in np.unique(given[places])], most=4)
    what = f"it reads {seen}, which no probe in a cook does"
    tenths = read.use is Use.TEMPERATURE and _are_tenths(given, is_fault)
    hint = TENTHS if tenths else UNPLUGGED
    _say_unplugged(read, [numbers[int(at)] for at in places], what, len(numbers), report, hint)
    return np.where(is_fault, np.nan, values)


def _are_tenths(given: Values, is_fault: NDArray[bool_]) -> bool:
    """Return True if most readings are none, and a tenth of all of them could be a cook's in °C."""
    known = given[~np.isnan(given)]
    is_whole = bool(np.all(known == np.round(known)))
    tenths = known / 10.0
    is_cook = bool(np.all((tenths >= LEAST_C) & (tenths <= MOST_C)))
    return is_whole and is_cook and float(np.mean(is_fault)) > MOST_FAULTS


def _power_on(values: Values) -> NDArray[bool_]:
    """Return which readings are a lone 85 °C among readings that agree and are far from it."""
    found = np.zeros(len(values), dtype=bool_)
    for at in np.flatnonzero(values == POWER_ON_C):
        after = min(int(at) + 1, len(values) - 1)
        near = values[1:3] if at == 0 else values[[int(at) - 1, after]]
        if len(near) == 2 and not np.any(np.isnan(near)):  # noqa: PLR2004  (a pair that agrees)
            is_far = bool(np.all(np.abs(near - POWER_ON_C) > 2 * LEAP_K))
            found[at] = is_far and abs(float(near[0] - near[1])) < LEAP_K
    return found


def say_stuck(seconds: Values, columns: Sequence[LogColumn], report: LogReport) -> None:
    """Report temperature columns that stand still while others move.

    A chamber stands still while it holds, and a core before heat has reached it; neither is stuck.
    """
    temperatures = [column for column in columns if column.use is Use.TEMPERATURE]
    for column in temperatures:
        others = [each.values for each in temperatures if each is not column]
        for first, last in _still(column.values):
            if goes_on(seconds, column.values, first, last):
                continue
            if others and _is_stuck(seconds, column.values, others, first, last):
                lasting = float(seconds[last] - seconds[first]) / MINUTE
                report.wrong(
                    "stuck",
                    f"{column.name} stands at {column.values[first]:.1f} °C for {lasting:.0f} min "
                    "while other probes move or are much hotter.",
                    "Look at this probe and its wire; its readings prove nothing. If it was fine, "
                    "say why you know.",
                    column=column.name,
                    say=[f"column.{column.index + 1}.fine=REASON"],
                )
                report.doubt(column.index, "stuck")
                break


def _still(values: Values) -> list[tuple[int, int]]:
    """Return first and last place of runs of equal values that are long enough."""
    known = np.flatnonzero(~np.isnan(values))
    if len(known) < FEWEST:
        return []
    starts = np.concatenate(([0], np.flatnonzero(np.diff(values[known]) != 0) + 1))
    ends = np.concatenate((starts[1:], [len(known)])) - 1
    long = ends - starts + 1 >= FEWEST
    return [(int(known[a]), int(known[b])) for a, b in zip(starts[long], ends[long], strict=True)]


def _is_stuck(
    seconds: Values, values: Values, others: Sequence[Values], first: int, last: int
) -> bool:
    """Return True if a probe that stands still from ``first`` to ``last`` should have moved."""
    lasting = float(seconds[last] - seconds[first])
    parts = [each[first : last + 1] for each in others]
    parts = [part[~np.isnan(part)] for part in parts]
    parts = [part for part in parts if len(part)]
    moving = [part for part in parts if float(np.ptp(part)) > MOVES_K]
    if not parts:
        return False
    level = float(values[first])
    known = np.flatnonzero(~np.isnan(values))
    if first == known[0] and last == known[-1]:
        is_where_others_began = any(abs(float(part[0]) - level) <= LEVEL_K for part in parts)
        return bool(moving) and (lasting >= STILL_ALONE_S or not is_where_others_began)
    if abs(level - float(values[known[0]])) <= LEVEL_K:
        return bool(moving) and lasting >= STILL_START_S
    hottest = max(float(np.median(part)) for part in parts)
    if len(moving) < len(parts):  # heat flows into it from what is hotter
        return hottest - level > MOVES_K and lasting >= STILL_S
    is_cooling = all(float(part[0] - part[-1]) > MOVES_K for part in moving)
    is_holding = level >= hottest - LEVEL_K and not is_cooling
    return not is_holding and lasting >= (STILL_S if len(moving) > 1 else STILL_ALONE_S)
