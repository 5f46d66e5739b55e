"""A clock changed by an hour in the middle of a log: mended only where nothing else explains it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy import float64, int64
from numpy.typing import NDArray

from pinset.files.logger.report import LogReport
from pinset.files.logger.stamps import HOUR, MINUTE

Values = NDArray[float64]
Places = NDArray[int64]

EVEN = 0.2  # of the usual step: two readings are evenly spaced
MOSTLY = 0.9
LONGEST_STEP_S = 20.0 * MINUTE
NOON = 12.0 * HOUR
FEWEST = 6  # readings that show an even spacing
NEAR_S = 10.0 * MINUTE  # on either side, whose slope is taken
MOVING_K_S = 6.0 / HOUR  # slope from which an hour would be seen
SMALL = 0.25  # of what an hour at that slope would have changed


def mend_clock(
    seconds: Values, rows: Places, temperatures_c: Sequence[Values], report: LogReport
) -> Values:
    """Return the times with a change of the clock undone, where it is one beyond doubt.

    Back: time cannot run back, so a single step of an hour back between even readings is a change
    of the clock, unless the readings after it are those of an hour before once more. Forward: it
    could be an hour without readings; only if temperatures move on both sides as if no hour had
    passed is it taken for a change.

    Parameters
    ----------
    seconds : ndarray, shape (n,)
        Times in the order of the file.
    rows : ndarray, shape (n,)
        Their rows in the file.
    temperatures_c : sequence of ndarray, shape (n,)
        Readings. [degC]
    report : LogReport
        Where findings go.
    """
    steps = np.diff(seconds)
    if len(steps) < FEWEST:
        return seconds
    usual = float(np.median(steps))
    allowed = max(1.0, EVEN * usual)
    is_even = np.abs(steps - usual) <= allowed
    if not 0 < usual <= LONGEST_STEP_S or np.mean(is_even) < MOSTLY:
        return seconds
    near = max(allowed, usual / 2 + 1.0)
    back = np.flatnonzero(np.abs(steps - (usual - HOUR)) <= near)
    forward = np.flatnonzero(np.abs(steps - (usual + HOUR)) <= near)
    if len(back) + len(forward) != 1:
        if len(back) + len(forward):
            _say_several(len(back) + len(forward), report)
        return seconds
    at = int((back if len(back) else forward)[0])
    if len(back):
        return _back(seconds, rows, temperatures_c, at, report)
    return _forward(seconds, rows, temperatures_c, at, report)


def mend_half_days(seconds: Values, rows: Places, report: LogReport) -> Values:
    """Return the times of a clock of twelve hours without AM and PM, counted on.

    Parameters
    ----------
    seconds : ndarray, shape (n,)
        Times in the order of the file, with their days if it has any.
    rows : ndarray, shape (n,)
        Their rows in the file.
    report : LogReport
        Where findings go.
    """
    steps = np.diff(seconds)
    hours = seconds % (2 * NOON) / HOUR
    if len(steps) < FEWEST or np.any((hours < 1.0) | (hours >= NOON / HOUR + 1.0)):
        return seconds
    usual = float(np.median(steps))
    if not 0 < usual <= LONGEST_STEP_S:
        return seconds
    near = max(1.0, EVEN * usual)
    at_one = np.abs(steps - (usual - NOON)) <= near
    at_midnight = np.abs(steps - (usual + 2 * NOON)) <= near
    if not np.any(at_one):
        return seconds
    at = int(np.argmax(at_one))
    report.warn(
        "clock-of-12",
        f"The clock goes back from 12 to 1 between rows {rows[at]} and {rows[at + 1]}, as one of "
        "twelve hours does; it was counted on. Which half of the day it was is not known.",
        "Have the logger's program export AM and PM, or 24 hours.",
        row=int(rows[at + 1]),
    )
    change = NOON * at_one - 2 * NOON * at_midnight
    return seconds + np.concatenate(([0.0], np.cumsum(change)))


def _say_several(count: int, report: LogReport) -> None:
    report.warn(
        "clock-unclear",
        f"The clock jumps by about an hour {count} times; nothing was changed.",
        "Say when the logger's clock was set, or cut the file there.",
    )


def _back(
    seconds: Values, rows: Places, temperatures_c: Sequence[Values], at: int, report: LogReport
) -> Values:
    between = f"between rows {rows[at]} and {rows[at + 1]}"
    if _is_repeated(seconds, temperatures_c, at):
        report.warn(
            "rows-repeated",
            f"The readings from row {rows[at + 1]} on are those of an hour before once more.",
            "Was the file joined from two exports?",
            row=int(rows[at + 1]),
        )
        return seconds
    report.warn(
        "clock-changed",
        f"The clock goes back by an hour {between} while readings come evenly; it was taken as a "
        "change of the clock, and an hour was added to all that follows.",
        "If the cook was on another day, say so.",
        row=int(rows[at + 1]),
    )
    mended = seconds.copy()
    mended[at + 1 :] += HOUR
    return mended


def _is_repeated(seconds: Values, temperatures_c: Sequence[Values], at: int) -> bool:
    """Return True if what follows a step back is what stood at those times before."""
    later = seconds[at + 1 :]
    first = int(np.searchsorted(seconds[: at + 1], later[0]))
    count = min(len(later), at + 1 - first)
    if count < FEWEST or not np.array_equal(seconds[first : first + count], later[:count]):
        return False
    pairs = [
        (each[first : first + count], each[at + 1 : at + 1 + count]) for each in temperatures_c
    ]
    return bool(pairs) and all(np.array_equal(a, b, equal_nan=True) for a, b in pairs)


def _forward(
    seconds: Values, rows: Places, temperatures_c: Sequence[Values], at: int, report: LogReport
) -> Values:
    between = f"between rows {rows[at]} and {rows[at + 1]}"
    seen = [_hour_seen(seconds, each, at) for each in temperatures_c]
    if any(each is False for each in seen) and not any(seen):
        report.warn(
            "clock-changed",
            f"The clock goes forward by an hour {between} while readings come evenly and "
            "temperatures go on as if no hour had passed; it was taken as a change of the clock, "
            "and an hour was taken from all that follows.",
            "If there really was an hour without readings, say so.",
            row=int(rows[at + 1]),
        )
        mended = seconds.copy()
        mended[at + 1 :] -= HOUR
        return mended
    if not any(seen):
        report.warn(
            "clock-unclear",
            f"The time goes forward by an hour {between} while readings come evenly. That is a "
            "changed clock or an hour without readings; nothing was changed. If the clock was "
            "changed, that hour never was, and the cook earned less.",
            "Say when the logger's clock was set, or whether it stopped.",
            row=int(rows[at + 1]),
        )
    return seconds


def _hour_seen(seconds: Values, values: Values, at: int) -> bool | None:
    """Return whether an hour shows in a column; None if it does not move enough to tell."""
    first = int(np.searchsorted(seconds[: at + 1], seconds[at] - NEAR_S))
    last = int(np.searchsorted(seconds[at + 1 :], seconds[at + 1] + NEAR_S, side="right"))
    before = _slope(seconds, values, first, at + 1)
    after = _slope(seconds, values, at + 1, at + 1 + last)
    change = float(values[at + 1] - values[at])
    if np.isnan(before) or np.isnan(after) or np.isnan(change):
        return None
    if before * after <= 0 or min(abs(before), abs(after)) < MOVING_K_S:
        return abs(change) > MOVING_K_S * HOUR or None
    return abs(change) > SMALL * min(abs(before), abs(after)) * HOUR


def _slope(seconds: Values, values: Values, first: int, last: int) -> float:
    part = slice(first, last)
    t, x = seconds[part], values[part]
    known = ~np.isnan(x)
    if np.count_nonzero(known) < 3:  # noqa: PLR2004  (a slope needs a few)
        return float("nan")
    return float(np.polyfit(t[known] - t[0], x[known], 1)[0])
