"""Arguments of science functions: refused when out of range, floats given back for floats."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.errors import InputError

Values = NDArray[float64]
Many = Values | Sequence[float]


def within(field: str, given: float | Many, low: float, high: float, unit: str) -> Values:
    """Return numbers as an array, refused unless each lies from ``low`` to ``high``.

    Parameters
    ----------
    field : str
        The argument, for the message.
    given : float or array_like
        Numbers.
    low, high : float
        Bounds, both allowed.
    unit : str
        Their unit, for the message.

    Returns
    -------
    ndarray
        Of the same shape; 0-dimensional for a float.

    Raises
    ------
    InputError
        If a number is missing or out of range; it shows the first such number.
    """
    values = np.asarray(given, dtype=float64)
    is_wrong = ~((values >= low) & (values <= high))
    if np.any(is_wrong):
        accepted = f"{low:g} to {high:g} {unit}".rstrip()
        raise InputError(field, float(values[is_wrong][0]), accepted)
    return values


def plain(values: Values) -> float | Values:
    """Return a float for a 0-dimensional array, and every other array as it is."""
    return float(values) if values.ndim == 0 else values
