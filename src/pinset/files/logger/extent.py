"""Where the readings of a column begin, and how high they go without stray ones."""

from __future__ import annotations

import numpy as np
from numpy import float64
from numpy.typing import NDArray

Values = NDArray[float64]

STRAY = 0.02  # of the readings: as few may be of no worth


def begins_at(values: Values) -> float:
    """Return the first reading.

    Parameters
    ----------
    values : ndarray, shape (n,)
        Readings, NaN where there is none; one or more are known.
    """
    return float(values[~np.isnan(values)][0])


def goes_up_to(values: Values) -> float:
    """Return what all but stray readings stay below.

    Parameters
    ----------
    values : ndarray, shape (n,)
        Readings, NaN where there is none; one or more are known.
    """
    return float(np.nanquantile(values, 1.0 - STRAY))
