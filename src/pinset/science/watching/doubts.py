"""Readings of a cook that goes on which can't be: leaps of one reading.

A leap upwards counts for nothing. A leap downwards counts for nothing only between readings close
together: further apart it may be a chamber that fell, and to believe it is the cautious side. A
last reading of the chamber that fell is believed at once.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy import bool_, float64
from numpy.typing import NDArray

from pinset.science.judging.findings import SECONDS_BETWEEN
from pinset.science.judging.spikes import LEAP_K, spikes

Values = NDArray[float64]


@dataclass(frozen=True, slots=True)
class Leap:
    """A reading that leaps away and counts for nothing."""

    record: str  # core, chamber, gauge
    seconds: float
    celsius: float  # of a gauge: of saturated steam at it
    is_last: bool  # nothing was read after it yet


def leaping(seconds: Values, celsius: Values, *, is_core: bool) -> NDArray[bool_]:
    """Return which readings leap away and count for nothing.

    Parameters
    ----------
    seconds, celsius : ndarray, shape (n,)
        Rising times [s] and temperatures; NaN where there was no reading. [degC]
    is_core : bool
        Whether it stands in a unit, which can't cool at once either.

    Returns
    -------
    ndarray of bool, shape (n,)
    """
    known = np.flatnonzero(~np.isnan(celsius))
    found = np.zeros(len(celsius), dtype=bool)
    if len(known) < 2:  # noqa: PLR2004  (one reading leaps from nothing)
        return found
    t, degrees = seconds[known], celsius[known]
    off = spikes(t, degrees, is_going_on=True)
    sound = np.flatnonzero(~off)
    for at in np.flatnonzero(off):
        after = sound[sound > at]
        before = int(sound[sound < at][-1])
        if degrees[at] >= degrees[before]:
            continue
        is_short = len(after) > 0 and t[after[0]] - t[before] <= SECONDS_BETWEEN
        is_doubted_end = len(after) == 0 and is_core and t[-1] - t[before] <= SECONDS_BETWEEN
        off[at] = is_short or is_doubted_end
    found[known[off]] = True
    return found


def leaps_up_at_end(celsius: Values) -> bool:
    """Return whether the last of two or more readings lies far above the one before."""
    known = celsius[~np.isnan(celsius)]
    return len(known) > 1 and bool(known[-1] - known[-2] > LEAP_K)
