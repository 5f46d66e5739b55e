"""Numbers that differ from lot to lot (days, logarithms of weights), alone and with a route.

The lots are taken as drawn from one normal distribution. A route says a mean and a standard
deviation between lots; it counts as much as so many of the farm's own lots.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np
from scipy.special import chdtri, stdtrit

from pinset.errors import InputError

ROUTE_LOTS = 5.0
"""A route counts as much as so many of the farm's own lots; assumed, no source."""

RANGE = 0.80
"""Share of farms whose true figure lies in the range that is shown."""

FEWEST = 2
"""With fewer lots nothing can be said of how they differ."""

_TAIL = (1.0 - RANGE) / 2.0


@dataclass(frozen=True, slots=True)
class Alone:
    """What lots say by themselves."""

    lots: int
    mean: float
    low: float  # the 80 % range of the mean
    high: float
    sd: float  # between lots
    sd_low: float  # its 80 % range
    sd_high: float


@dataclass(frozen=True, slots=True)
class Together:
    """What lots and the route say together, and what the next lot may be."""

    mean: float
    low: float  # the 80 % range of the mean
    high: float
    sd: float  # of the next lot, not knowing the mean for certain
    weight: float  # of the lots, 0 to 1; the rest is the route's


def alone(values: Sequence[float]) -> Alone:
    """Return mean and spread of lots with their 80 % ranges.

    Parameters
    ----------
    values : sequence of float
        One for each lot; any unit.

    Raises
    ------
    InputError
        If there are fewer than two.

    Notes
    -----
    Mean: Student's t with n - 1 degrees of freedom. Standard deviation: ``SS`` over chi-squared.
    Both are exact for normal values (textbook results).
    """
    count = len(values)
    if count < FEWEST:
        raise InputError("lots", count, f"{FEWEST} or more")
    array = np.asarray(values, float)
    mean, squares = float(array.mean()), float(((array - array.mean()) ** 2).sum())
    free = count - 1
    sd = sqrt(squares / free)
    half = -float(stdtrit(free, _TAIL)) * sd / sqrt(count)
    sd_low = sqrt(squares / float(chdtri(free, _TAIL)))
    sd_high = sqrt(squares / float(chdtri(free, 1.0 - _TAIL)))
    return Alone(count, mean, mean - half, mean + half, sd, sd_low, sd_high)


def together(
    values: Sequence[float], mean: float, sd: float, *, route_lots: float = ROUTE_LOTS
) -> Together:
    """Return what would be planned with: the route's figure, moved by the farm's own lots.

    Parameters
    ----------
    values : sequence of float
        One for each lot; none leaves the route's mean.
    mean, sd : float
        The route's, between lots; the standard deviation above 0.
    route_lots : float
        How many lots the route counts for.

    Raises
    ------
    InputError
        If the standard deviation or the route's lots are not above 0.

    Notes
    -----
    Normal-inverse-gamma, conjugate: ``kappa = k + n``, ``m = (k m0 + n ybar) / kappa``,
    ``a = a0 + n/2``, ``b = b0 + SS/2 + k n (ybar - m0)**2 / (2 kappa)`` with ``k = route_lots``,
    ``a0 = 1 + k/2`` and ``b0 = sd**2 k/2``, so that the route's variance is expected. The mean is
    Student t with ``2a`` degrees, the next lot has variance ``b (1 + 1/kappa) / (a - 1)``.
    """
    if not sd > 0.0:
        raise InputError("standard deviation between lots", sd, "more than 0")
    if not route_lots > 0.0:
        raise InputError("lots the route counts for", route_lots, "more than 0")
    count = len(values)
    array = np.asarray(values, float)
    own = float(array.mean()) if count else mean
    squares = float(((array - own) ** 2).sum())
    kappa = route_lots + count
    centre = (route_lots * mean + count * own) / kappa
    a = 1.0 + route_lots / 2.0 + count / 2.0
    b = sd * sd * route_lots / 2.0 + squares / 2.0
    b += route_lots * count * (own - mean) ** 2 / (2.0 * kappa)
    half = -float(stdtrit(2.0 * a, _TAIL)) * sqrt(b / (a * kappa))
    return Together(
        mean=centre,
        low=centre - half,
        high=centre + half,
        sd=sqrt(b * (1.0 + 1.0 / kappa) / (a - 1.0)),
        weight=count / kappa,
    )
