"""How quickly a room clears itself, by counts taken after a burst: the recovery test.

The slope of the logarithm of what is above the background, over the straight part of the fall.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import log

import numpy as np
from numpy import float64
from numpy.typing import NDArray
from scipy.stats import t as student

from pinset.errors import InputError
from pinset.science.air.ranges import Range, over

_ABOVE = 2.0  # times the background: below it the count is mostly background
_FEWEST = 2


@dataclass(frozen=True, slots=True)
class Recovery:
    """How a room cleared itself in a test."""

    per_s: Range  # 95 % of the fit; one number from two readings [1/s]
    used: int  # readings on the straight part

    @property
    def air_changes_h(self) -> Range:
        """As well mixed air changes that clear as quickly, in an hour."""
        return self.per_s.times(3600.0)

    def seconds_for(self, ratio: float = 100.0) -> Range:
        """Return how long a fall to one part in ``ratio`` takes, in s."""
        if not ratio > 1.0:
            raise InputError("ratio", ratio, "above 1")
        return over(lambda pace: log(ratio) / pace, self.per_s)


def recovery(
    seconds: Sequence[float], counts_m3: Sequence[float], background_m3: float = 0.0
) -> Recovery:
    """Return how quickly a room cleared itself.

    Parameters
    ----------
    seconds : sequence of float
        When it was counted, rising. [s]
    counts_m3 : sequence of float
        0 or more. [1/m3]
    background_m3 : float
        What the room comes down to when left alone, 0 or more; taken off first. [1/m3]

    Raises
    ------
    InputError
        If they are out of order or range, fewer than two readings stand clear of the background,
        or the counts do not fall.

    Notes
    -----
    The straight part begins at the highest count and ends before the first that is less than twice
    the background.
    """
    when, counts = np.asarray(seconds, dtype=float64), np.asarray(counts_m3, dtype=float64)
    if when.shape != counts.shape or when.size < _FEWEST or not np.all(np.diff(when) > 0.0):
        raise InputError("counts", when.size, "two or more, one after the other")
    if not (np.all(counts >= 0.0) and background_m3 >= 0.0):
        raise InputError("counts", float(counts.min()), "0 or more per m3")
    part = _straight(counts, background_m3)
    if part.stop - part.start < _FEWEST:
        accepted = "two or more that stand clear of the background while it falls"
        raise InputError("counts", part.stop - part.start, accepted)
    return _fit(when[part], np.log(counts[part] - background_m3))


def _straight(counts: NDArray[float64], background_m3: float) -> slice:
    begin = int(np.argmax(counts))
    is_low = counts[begin:] <= max(_ABOVE * background_m3, 0.0)
    end = begin + (int(np.argmax(is_low)) if np.any(is_low) else len(is_low))
    return slice(begin, end)


def _fit(when: NDArray[float64], logs: NDArray[float64]) -> Recovery:
    since = when - when.mean()
    square = float(np.sum(since**2))
    pace = -float(np.sum(since * logs)) / square
    if pace <= 0.0:
        raise InputError("counts", "rising", "counts that fall")
    free = len(when) - 2
    if free == 0:
        return Recovery(Range.exactly(pace), len(when))
    rest = logs - logs.mean() + pace * since
    error = float(np.sqrt(np.sum(rest**2) / free / square))
    half = float(student.ppf(0.975, free)) * error
    return Recovery(Range(max(pace - half, pace / 100.0), pace, pace + half), len(when))
