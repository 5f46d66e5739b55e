"""Readings put into the order of time: repeats, steps back, a changed clock, gaps.

Nothing is invented. A time is changed only where nothing else explains the file, and then that is
said; a reading that cannot be placed is left out, and its row is named.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy import float64, int64
from numpy.typing import NDArray

from pinset.files.logger.block import Block
from pinset.files.logger.clock import mend_clock, mend_half_days
from pinset.files.logger.joined import say_joined
from pinset.files.logger.records import LogLimits
from pinset.files.logger.report import LogReport
from pinset.files.logger.stamps import DAY, HOUR, MINUTE
from pinset.files.logger.times import RawTimes

Values = NDArray[float64]
Places = NDArray[int64]

MOSTLY = 0.9
SHARED = 3  # one in so many shares its time: rows are no readings of their own
MOST_RUNS = 5  # of the same kind that are said one by one
MICROSECONDS = 6  # digits kept of a time
COARSE = 1.5  # of the usual step: more is a gap
NOON_S = 12 * HOUR
COOK_S = (0.5 * HOUR, 36 * HOUR)  # that a cook lasts


@dataclass(frozen=True, slots=True, eq=False)
class Ordered:
    """Which readings are kept, in rising order of time, and when they were; shape (m,) each."""

    at: Places  # into the rows as read
    seconds: Values  # in the count of the file


def in_order_of_time(
    raw: RawTimes,
    block: Block,
    temperatures_c: Sequence[Values],
    report: LogReport,
) -> Ordered:
    """Return the readings that can be placed in time.

    Parameters
    ----------
    raw : RawTimes
        Times in the order of the file, n of them.
    block : Block
        The readings with their rows in the file. Where one probe's stand behind another's, each
        with times of its own, they are put between each other.
    temperatures_c : sequence of ndarray, shape (n,)
        What tells a changed clock from a gap. [degC]
    report : LogReport
        Where findings go.
    """
    at = np.flatnonzero(~np.isnan(raw.seconds))
    seconds = np.round(raw.seconds[at], MICROSECONDS)
    if is_newest_first(raw):
        at, seconds = at[::-1], seconds[::-1]
        report.note("newest-first", "The newest reading stood first; the order was turned round.")
    if raw.is_clock:
        seconds = seconds + DAY * np.concatenate(([0], np.cumsum(np.diff(seconds) < -NOON_S)))
    if raw.has_no_seconds:
        seconds = _spread(seconds, report)
    if block.is_by_probe and _is_rising_of_each(at, seconds, block):
        order = np.argsort(seconds, kind="stable")
        at, seconds = at[order], seconds[order]
    rows = np.asarray(block.numbers, dtype=int64)[at]
    if not raw.is_utc:
        seconds = mend_half_days(seconds, rows, report)
        seconds = mend_clock(seconds, rows, [each[at] for each in temperatures_c], report)
    kept = _rising(seconds, rows, report)
    say_joined(seconds, kept, rows, [each[at] for each in temperatures_c], report)
    return Ordered(at[kept], seconds[kept])


def _is_rising_of_each(at: Places, seconds: Values, block: Block) -> bool:
    """Return whether no probe's own readings go back in time."""
    return all(own is None or not np.any(np.diff(seconds[own[at]]) < 0.0) for own in block.own)


def is_newest_first(raw: RawTimes) -> bool:
    """Return whether the readings of a file stand in the wrong order throughout."""
    steps = np.diff(np.round(raw.seconds[~np.isnan(raw.seconds)], MICROSECONDS))
    is_back = len(steps) > 1 and bool(np.mean(steps < 0) > MOSTLY)
    return is_back and not _is_clock_over_midnight(raw, steps)


def _is_clock_over_midnight(raw: RawTimes, steps: Values) -> bool:
    return raw.is_clock and bool(np.all(steps[steps < 0] < -NOON_S))


def _spread(seconds: Values, report: LogReport) -> Values:
    """Spread readings evenly over their minute where the file keeps no seconds."""
    if len(seconds) < 4:  # noqa: PLR2004  (too few to see a habit)
        return seconds
    starts = np.flatnonzero(np.concatenate(([True], np.diff(seconds) != 0)))
    counts = np.diff(np.concatenate((starts, [len(seconds)])))
    if len(counts) < 3 or np.any(np.diff(seconds) < 0):  # noqa: PLR2004  (first, middle, last)
        return seconds
    inner = counts[1:-1]
    usual = int(np.median(inner))
    if usual < 2 or np.any(np.abs(inner - usual) > 1) or np.any(np.diff(seconds[starts]) != MINUTE):  # noqa: PLR2004
        return seconds
    spread = seconds.astype(float64)
    for place, (start, count) in enumerate(zip(starts, counts, strict=True)):
        if 0 < place < len(counts) - 1:
            offsets = np.arange(count) * MINUTE / count
        else:
            size = max(int(count), usual)
            first = size - count if place == 0 else 0
            offsets = (first + np.arange(count)) * MINUTE / size
        spread[start : start + count] += offsets
    report.warn(
        "no-seconds",
        f"The times have no seconds and {usual} readings share each minute; they were spread "
        f"evenly over it, so a time may be {MINUTE / usual:.0f} s off.",
        "Have the logger's program export seconds.",
    )
    return spread


def _rising(seconds: Values, rows: Places, report: LogReport) -> Places:
    """Return which readings to keep so that time rises strictly."""
    if len(seconds) < 2:  # noqa: PLR2004  (one is in order)
        return np.arange(len(seconds))
    latest = np.maximum.accumulate(seconds)
    keep = np.concatenate(([True], seconds[1:] > latest[:-1]))
    dropped = np.flatnonzero(~keep)
    same = [int(at) for at in dropped if seconds[at] == latest[at - 1]]
    back = [int(at) for at in dropped if seconds[at] < latest[at - 1]]
    for name, places, one, many in (
        ("time-repeats", same, "repeats the time before it", "repeat the time before them"),
        ("time-back", back, "goes back in time", "go back in time"),
    ):
        runs = _runs(places)
        if len(runs) > MOST_RUNS:
            report.warn(
                name,
                f"{len(places)} readings in {len(runs)} places {many}, first row "
                f"{rows[places[0]]}, last row {rows[places[-1]]}; left out.",
                "Was the logger's clock set, or were two logs joined?",
                row=int(rows[places[0]]),
            )
            continue
        for first, last in runs:
            length = last - first + 1
            report.warn(
                name,
                (
                    f"Row {rows[first]} {one}"
                    if length == 1
                    else f"{length} readings, rows {rows[first]} to {rows[last]}, {many}"
                )
                + f"{_by(seconds, latest, first)}; left out.",
                "Was the logger's clock set, or were two logs joined?",
                row=int(rows[first]),
            )
    if SHARED * len(same) > len(seconds):
        report.wrong(
            "time-shared",
            f"{len(same)} of {len(seconds)} readings share the time of another one; "
            "only the first of each was kept.",
            "Does the file have a row for each probe? Export it with a column for each.",
        )
    if 2 * len(back) > len(seconds):
        report.wrong(
            "time-order",
            f"{len(back)} of {len(seconds)} readings go back in time; the rest is no whole log.",
            "Sort the file by time, or cut it where the clock was set.",
        )
    return np.flatnonzero(keep)


def _by(seconds: Values, latest: Values, first: int) -> str:
    back = float(latest[first] - seconds[first])
    if not back:
        return ""
    return f" by {back:.0f} s" if back < 2 * MINUTE else f" by {back / MINUTE:.0f} min"


def _runs(places: Sequence[int]) -> list[tuple[int, int]]:
    """Return first and last of each run of neighbours."""
    runs: list[tuple[int, int]] = []
    for place in places:
        if runs and place == runs[-1][1] + 1:
            runs[-1] = (runs[-1][0], place)
        else:
            runs.append((place, place))
    return runs


def say_gaps(seconds: Values, rows: Places, limits: LogLimits, report: LogReport) -> None:
    """Report readings far apart, in all or here and there, and a log longer than any cook."""
    steps = np.diff(seconds)
    if not len(steps):
        return
    usual = float(np.median(steps))
    if usual > limits.coarse_s:
        report.wrong(
            "coarse",
            f"Readings are {usual / MINUTE:.1f} min apart; more than {limits.coarse_s / MINUTE:.0f}"
            " min between two leaves too much to guess, and passes nothing.",
            "Have the logger read at least once a minute.",
        )
    elif usual > limits.gap_s:
        report.warn(
            "coarse",
            f"Readings are {usual / MINUTE:.1f} min apart, more than {limits.gap_s / MINUTE:.0f} "
            "min; between two of them only the lower one counts.",
            "Have the logger read at least once a minute.",
        )
    for at in np.flatnonzero((steps > limits.gap_s) & (steps > COARSE * usual)):
        report.warn(
            "gap",
            f"There is no reading for {steps[at] / MINUTE:.1f} min between rows {rows[at]} and "
            f"{rows[at + 1]}; up to {limits.gap_s / MINUTE:.1f} min is accepted.",
            "What happened in between nobody saw.",
            row=int(rows[at + 1]),
        )
    days = float(seconds[-1] - seconds[0]) / DAY
    if days > limits.most_days:
        report.wrong(
            "too-long",
            f"The log spans {days:.0f} days; no cook lasts longer than {limits.most_days:.0f}.",
            "Look at the dates and at what the times count.",
        )


def say_other_unit(seconds: Values, unit: str, limits: LogLimits, report: LogReport) -> None:
    """Suspect a count named minutes or hours that would be a cook in the next smaller unit.

    Parameters
    ----------
    seconds : ndarray, shape (n,)
        Rising times as they were read. [s]
    unit : str
        What the file says its times count.
    limits : LogLimits
        From where on readings are too far apart.
    report : LogReport
        Where it is said.
    """
    smaller = {"min": "s", "h": "min"}.get(unit)
    if smaller is None or len(seconds) < SHARED:
        return
    usual, span = float(np.median(np.diff(seconds))), float(seconds[-1] - seconds[0])
    is_cook = COOK_S[0] <= span / MINUTE <= COOK_S[1] and usual / MINUTE <= limits.gap_s
    if usual <= limits.coarse_s or not is_cook:
        return
    report.warn(
        "time-unit-suspected",
        f"By its head the times count {unit}: readings {usual / MINUTE:.0f} min apart over "
        f"{span / DAY:.1f} days. If they count {smaller}, they are {usual / MINUTE:.0f} s apart "
        f"over {span / MINUTE / HOUR:.1f} h, as a cook is.",
        "Say what they count.",
        say=[f"time_unit={smaller}"],
    )
