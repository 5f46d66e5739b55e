"""Whether a probe that stands at one value is one that moves slowly, read in coarse steps."""

from __future__ import annotations

import numpy as np
from numpy import float64
from numpy.typing import NDArray

Values = NDArray[float64]

STEP_K = 1.15  # of a coarse logger: a whole degree, or 2 °F where whole °C are written in °F
LEVEL_K = 3.0  # from its own start, by which it moves on
BESIDE = 0.41
"""Of a run, that the two steps beside it last together at the least: the square root of 2, less 1.

At a peak or in a valley a probe moves with the square of time. Let it go ``u`` beyond the edge of
the last step s that it reaches, u at most s: it stays there for the time sqrt(u/a) on a side where
it moves by a t**2, and on the step before for sqrt((u + s)/a) - sqrt(u/a). The second is least
beside the first where u = s, sqrt(2) - 1 = 0.414 of it, and so the sum of both sides is of the
whole run, also where it comes slowly and goes quickly (0.207 of it each where it does not). Where a
probe that rises slows down and goes on with the cube of time, both together are 0.44 of the run.
"""
MIXED = 0.5  # of readings on the step beside, where noise makes them go to and fro between two


def goes_on(seconds: Values, values: Values, first: int, last: int) -> bool:
    """Return whether a run of equal values is one step of a probe that moves slowly.

    It comes to the run and leaves it by one step at the most, and stood long enough on the steps
    beside; or, after its start, it leaves it by one step at all, and moves on.

    Parameters
    ----------
    seconds : ndarray, shape (n,)
        Rising times. [s]
    values : ndarray, shape (n,)
        Readings of the probe, NaN where there is none. [degC]
    first, last : int
        Places of the first and the last reading of the run.
    """
    known = np.flatnonzero(~np.isnan(values))
    t, read = seconds[known], values[known]
    begin, end = (int(each) for each in np.searchsorted(known, (first, last)))
    level = float(read[begin])
    sides = [(at, way) for at, way in ((begin, -1), (end, 1)) if 0 <= at + way < len(read)]
    if not sides or any(abs(float(read[at + way]) - level) > STEP_K for at, way in sides):
        return False
    if begin == 0:
        return float(np.max(np.abs(read[end:] - level))) > LEVEL_K
    beside = sum(_lasts(t, read, at, way) for at, way in sides)
    return beside >= BESIDE * float(t[end] - t[begin])


def _lasts(t: Values, read: Values, at: int, way: int) -> float:
    """Return how long a probe may have stood one step beside a run that ends at ``at``, in s.

    That is from the last reading of the run to the first beyond the step, if it moves beyond.
    """
    level, beside = read[at], read[at + way]
    onward = read[at + way :] if way > 0 else read[: at + way + 1][::-1]
    is_there = onward == beside
    is_near = is_there | (onward == level)
    count = _leading(is_near)
    if np.count_nonzero(is_there[:count]) < MIXED * count:
        count = _leading(is_there)
    place = min(max(at + way * (count + 1), 0), len(read) - 1)
    return abs(float(t[place] - t[at]))


def _leading(is_so: NDArray[np.bool_]) -> int:
    """Return for how many readings from the first on something is so."""
    return len(is_so) if np.all(is_so) else int(np.argmin(is_so))
