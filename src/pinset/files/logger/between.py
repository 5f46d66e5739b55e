"""Probes that were read at times of their own, brought to common moments without adding heat.

Between two readings of a probe up to five minutes apart its temperature is taken on the straight
line, as the judgement itself takes it. Where readings are written only when they change, a probe
that is silent for longer has not changed; it is held, at the lower of its readings before and
after, only where the file shows that this is so: no reading repeats the one before, the next one
is but a step or two of the recorder's away, another probe was read meanwhile, and the silence is
not long. Nothing is held after a last reading, nor where the file says that the probe gave none.
All limits are the code's own choice: no source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
from numpy import bool_, float64, int64
from numpy.typing import NDArray

from pinset.files.logger.records import LogColumn, Use
from pinset.files.logger.report import LogReport
from pinset.files.logger.stamps import HOUR, MINUTE
from pinset.science.judging.findings import HOT_C

Values = NDArray[float64]
Own = NDArray[bool_]

LINE_S = 300.0  # between two readings of a probe: so far a straight line is taken
HELD_HOT_S = 30.0 * MINUTE  # a hot probe's silence that may be no change
HELD_COLD_S = 2.5 * HOUR  # a core stays at its start for long
STEPS, MOST_STEP_K = 2.0, 1.0  # by which the next reading may differ from the one before a silence
FURTHER = 10.0  # times as far and as long, where only one cook is to be told from the next
NEGLIGIBLE_K = 1e-6
REPEATS = 0.02  # of the readings: fewer repeat the one before where only changes are written
FEWEST = 20  # readings that show it


def with_between(
    seconds: Values,
    columns: Sequence[LogColumn],
    own: Mapping[int, Own],
    report: LogReport,
) -> list[LogColumn]:
    """Return columns with values at the moments of other probes, where they can be known.

    Parameters
    ----------
    seconds : ndarray, shape (n,)
        Rising times of all readings. [s]
    columns : sequence of LogColumn
        Their values are NaN at the moments of others.
    own : mapping of int to ndarray of bool, shape (n,)
        By the index of a column, at which moments its own probe was to be read.
    report : LogReport
        Where it is said what was held.
    """
    parts = [
        each.values[own[each.index]]
        for each in columns
        if each.index in own and each.use is Use.TEMPERATURE
    ]
    is_on_change = _is_on_change(parts)
    found = []
    for column in columns:
        if column.index not in own:
            found.append(column)
            continue
        lines, held = _between(
            seconds,
            column.values,
            np.flatnonzero(own[column.index]),
            1.0,
            is_on_change=is_on_change and column.use is Use.TEMPERATURE,
        )
        found.append(replace(column, values=lines))
        if held:
            report.note(
                "held",
                f"{column.name} is written only when it changes; it was held at the lower of two "
                f"readings through {len(held)} silences, the longest of "
                f"{max(held) / MINUTE:.0f} min.",
                "Have the recorder write every minute, whether it changes or not.",
                column=column.name,
            )
    return found


def for_telling_cooks(
    seconds: Values, values: Sequence[Values], own: Sequence[Own | None]
) -> list[Values]:
    """Return temperatures with every silence filled that may be no change, also a long one.

    Not to judge by: a chamber that holds still for an hour is one cook with what follows.

    Parameters
    ----------
    seconds : ndarray, shape (n,)
        Rising times. [s]
    values : sequence of ndarray, shape (n,)
        Of each probe; NaN at the moments of others. [degC]
    own : sequence of ndarray of bool, shape (n,), or None
        At which moments each was to be read.
    """
    parts = [each[mine] for each, mine in zip(values, own, strict=True) if mine is not None]
    if not _is_on_change(parts):
        return list(values)
    return [
        each
        if mine is None
        else _between(seconds, each, np.flatnonzero(mine), FURTHER, is_on_change=True)[0]
        for each, mine in zip(values, own, strict=True)
    ]


def _is_on_change(parts: Sequence[Values]) -> bool:
    """Return whether readings are written only when they change: hardly one repeats the last."""
    steps = [np.diff(part[~np.isnan(part)]) for part in parts]
    every = np.concatenate(steps) if steps else np.array([])
    return len(every) >= FEWEST and float(np.mean(every == 0.0)) <= REPEATS


def _between(
    seconds: Values, given: Values, at: NDArray[int64], further: float, *, is_on_change: bool
) -> tuple[Values, list[float]]:
    """Return values with those between a probe's own readings, and how long each one held was.

    ``further`` is how many times as far and as long as usual a silence may be held.
    """
    values = given.copy()
    known = given[at[~np.isnan(given[at])]]
    moves = np.abs(np.diff(known))
    moves = moves[moves > 0.0]
    step = float(np.min(moves)) if len(moves) else 0.0
    held: list[float] = []
    for before, after in pairwise(at):
        first, last = float(given[before]), float(given[after])
        if np.isnan(first) or np.isnan(last):
            continue
        part = slice(before + 1, after)
        silent = float(seconds[after] - seconds[before])
        if silent <= LINE_S:
            share = (seconds[part] - seconds[before]) / silent
            values[part] = first + share * (last - first)
        elif is_on_change and _is_held(first, last, silent, step, further):
            values[part] = min(first, last)
            if after > before + 1 and max(first, last) >= HOT_C:
                held.append(silent)
    return values, held


def _is_held(first: float, last: float, silent_s: float, step: float, further: float) -> bool:
    most_s = HELD_HOT_S if max(first, last) >= HOT_C else HELD_COLD_S
    most_k = min(MOST_STEP_K, STEPS * step) * further
    return silent_s <= most_s * further and abs(last - first) <= most_k + NEGLIGIBLE_K
