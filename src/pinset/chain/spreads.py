"""The triangular distribution behind every number of days and every loss of a route."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pinset.chain.register import Spread
from pinset.errors import InputError

GRID_CELLS = 2000
"""Cells of the grid on which distributions are added, over their whole width together."""


def _refuse_disordered(spread: Spread) -> None:
    if not spread.low <= spread.mode <= spread.high:
        given = (spread.low, spread.mode, spread.high)
        raise InputError("low, mode, high", given, "three numbers in rising order")


def cumulative(spread: Spread, value: float) -> float:
    """Return the chance that a triangular quantity is at most a value.

    Parameters
    ----------
    spread : Spread
        Least, most likely, most; they may coincide. [any unit]
    value : float
        In the same unit.

    Returns
    -------
    float
        Between 0 and 1. [-]

    Raises
    ------
    InputError
        If low, mode and high are not in rising order, or the value is not a number.

    Examples
    --------
    >>> cumulative(Spread(0.0, 1.0, 2.0), 1.0)
    0.5
    """
    _refuse_disordered(spread)
    if math.isnan(value):
        raise InputError("value", value, "a number")
    low, mode, high = spread.low, spread.mode, spread.high
    if value >= high:
        return 1.0
    if value <= low:
        return 0.0
    if value <= mode:
        return (value - low) ** 2 / ((high - low) * (mode - low))
    return 1.0 - (high - value) ** 2 / ((high - low) * (high - mode))


def quantile(spread: Spread, p: float) -> float:
    """Return the value that a triangular quantity stays at or below with chance ``p``.

    Parameters
    ----------
    spread : Spread
        Least, most likely, most; they may coincide. [any unit]
    p : float
        Chance, 0 to 1. [-]

    Returns
    -------
    float
        In the unit of the spread; exact (the inverse of the distribution function).

    Raises
    ------
    InputError
        If low, mode and high are not in rising order, or ``p`` is outside 0 to 1.

    Notes
    -----
    ``low + sqrt(p (high - low) (mode - low))`` up to the mode, ``high - sqrt((1 - p) (high - low)
    (high - mode))`` beyond it [1]_.

    References
    ----------
    .. [1] The standard inverse of the triangular distribution function; tested against
       ``numpy.random.Generator.triangular`` and against :func:`cumulative`.

    Examples
    --------
    >>> quantile(Spread(0.0, 1.0, 2.0), 0.5)
    1.0
    """
    _refuse_disordered(spread)
    if not 0.0 <= p <= 1.0:
        raise InputError("p", p, "a chance from 0 to 1")
    low, mode, high = spread.low, spread.mode, spread.high
    width = high - low
    if width == 0.0:
        return mode
    if p <= (mode - low) / width:
        return low + math.sqrt(p * width * (mode - low))
    return high - math.sqrt((1.0 - p) * width * (high - mode))


def variance(spread: Spread) -> float:
    """Return the variance of a triangular quantity, in its unit squared."""
    _refuse_disordered(spread)
    a, c, b = spread.low, spread.mode, spread.high
    return (a * a + b * b + c * c - a * b - a * c - b * c) / 18.0


@dataclass(frozen=True, slots=True)
class DaysAhead:
    """A number of days as a distribution, in four numbers [d]."""

    p10: float  # one time in ten it is sooner
    p50: float
    p90: float  # one time in ten it is later
    mean: float


def days_ahead(spread: Spread) -> DaysAhead:
    """Return the tenth, half and ninetieth percentile and the mean of a spread of days.

    Parameters
    ----------
    spread : Spread
        Days. [d]

    Returns
    -------
    DaysAhead
        [d]

    Raises
    ------
    InputError
        If low, mode and high are not in rising order.
    """
    p10, p50, p90 = (quantile(spread, p) for p in (0.1, 0.5, 0.9))
    return DaysAhead(p10, p50, p90, spread.mean)


def days_through(spreads: Sequence[Spread]) -> DaysAhead:
    """Return how long several spreads of days take one after the other.

    Parameters
    ----------
    spreads : sequence of Spread
        Days of each phase, taken as independent of one another. [d]

    Returns
    -------
    DaysAhead
        The mean is exact; the percentiles come from adding the distributions on a grid of
        ``GRID_CELLS`` cells and are good to about one of them. [d]

    Raises
    ------
    InputError
        If a spread is not in rising order.

    Notes
    -----
    Phases of the same lot are not quite independent (a slow strain is slow in each), so the true
    band is somewhat wider.

    Examples
    --------
    >>> days_through([Spread(10, 10, 10), Spread(4, 4, 4)]).p90
    14.0
    """
    mean = sum(spread.mean for spread in spreads)
    moving = [spread for spread in spreads if quantile(spread, 1.0) > spread.low]
    fixed = float(sum(spread.mode for spread in spreads if spread not in moving))
    if not moving:
        return DaysAhead(fixed, fixed, fixed, mean)
    if len(moving) == 1:
        one = days_ahead(moving[0])
        return DaysAhead(one.p10 + fixed, one.p50 + fixed, one.p90 + fixed, mean)
    grid = sum(spread.high - spread.low for spread in moving) / GRID_CELLS
    masses = np.array([1.0])
    for spread in moving:
        cells = max(1, math.ceil((spread.high - spread.low) / grid))
        edges = [cumulative(spread, spread.low + i * grid) for i in range(cells + 1)]
        masses = np.convolve(masses, np.diff(np.array(edges)))
    # A cell's mass sits at its middle, so sums of n phases are shifted by n half steps.
    start = fixed + sum(spread.low for spread in moving) + grid * (len(moving) - 1) / 2.0
    below = np.concatenate(([0.0], np.cumsum(masses)))
    at = start + grid * np.arange(len(below))
    p10, p50, p90 = (float(np.interp(p, below, at)) for p in (0.1, 0.5, 0.9))
    return DaysAhead(p10, p50, p90, mean)
