"""By what steps a column's readings go: a logger that writes whole degrees hides half of one."""

from __future__ import annotations

import numpy as np
from numpy import float64
from numpy.typing import NDArray

COARSE_K = 0.2  # finer steps drown in the error of any probe
FEWEST = 5  # values, to see steps in
OFF = 0.01  # of a step: so far a value may lie beside its place


def step_of(celsius: NDArray[float64]) -> float:
    """Return the step of readings, in K; 0 if it is finer than 0.2 K or there is none.

    Parameters
    ----------
    celsius : ndarray, shape (n,)
        Readings; NaN where there is none. [degC]

    Examples
    --------
    >>> step_of(np.array([20.0, 21.0, 23.0, 24.0, 29.0])), step_of(np.linspace(20.0, 30.0, 101))
    (1.0, 0.0)
    """
    known = np.unique(np.round(celsius[~np.isnan(celsius)], 6))
    if len(known) < FEWEST:
        return 0.0
    steps = np.diff(known)
    least = float(np.min(steps))
    places = (known - known[0]) / least
    if least < COARSE_K or np.any(np.abs(places - np.round(places)) > OFF):
        return 0.0
    return round(least, 6)
