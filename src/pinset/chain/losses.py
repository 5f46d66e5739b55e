"""How many units of a lot will be lost, and how many to start so that enough are left.

Units are taken as independent of one another. Contamination that comes by the lot (one bad jar
spoils all its children) is wider than this; the farm's own records will say by how much.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from pinset.chain.register import Spread
from pinset.errors import InputError

_TOLERANCE = 1e-12
_MOST_UNITS = 1_000_000


def _refuse_fraction(name: str, value: float) -> None:
    if not 0.0 <= value <= 1.0:
        raise InputError(name, value, "a fraction from 0 to 1")


def expected_lost(loss: Spread, units: float) -> float:
    """Return how many of a number of units are lost in expectation.

    Parameters
    ----------
    loss : Spread
        Fraction lost in the step, as a triangular distribution. [-]
    units : float
        Units started. [units]

    Returns
    -------
    float
        Mean of the distribution times the units. [units]

    Raises
    ------
    InputError
        If the units are negative.

    Examples
    --------
    >>> expected_lost(Spread(0.0, 0.05, 0.1), 24)
    1.2000000000000002
    """
    if not units >= 0.0:
        raise InputError("units", units, "0 or more")
    return loss.mean * units


def kept_through(losses: Iterable[float]) -> float:
    """Return the fraction of units left after several losses, one after the other.

    Parameters
    ----------
    losses : iterable of float
        Fraction lost at each step, 0 to 1. [-]

    Returns
    -------
    float
        Product of one less each loss; 1 if there is none. [-]

    Raises
    ------
    InputError
        If a loss is outside 0 to 1.

    Examples
    --------
    >>> kept_through([0.5, 0.5])
    0.25
    """
    kept = 1.0
    for loss in losses:
        _refuse_fraction("loss", loss)
        kept *= 1.0 - loss
    return kept


def chance_of_at_least(needed: int, started: int, usable_fraction: float) -> float:
    """Return the chance that at least so many of the units started are usable.

    Parameters
    ----------
    needed, started : int
        Usable units wanted, and units started. [units]
    usable_fraction : float
        Chance that one unit is usable, 0 to 1. [-]

    Returns
    -------
    float
        Upper tail of the binomial distribution, by summing it. [-]

    Raises
    ------
    InputError
        If a count is negative or the fraction outside 0 to 1.

    Examples
    --------
    >>> chance_of_at_least(1, 1, 0.96)
    0.96
    """
    if needed < 0 or started < 0:
        raise InputError("units", (needed, started), "0 or more")
    _refuse_fraction("usable fraction", usable_fraction)
    if needed == 0:
        return 1.0
    if needed > started or usable_fraction == 0.0:
        return 0.0
    if usable_fraction == 1.0:
        return 1.0
    most_lost = started - needed
    log_p, log_q = math.log(usable_fraction), math.log1p(-usable_fraction)
    whole = math.lgamma(started + 1)
    terms = (
        math.exp(
            whole
            - math.lgamma(lost + 1)
            - math.lgamma(started - lost + 1)
            + lost * log_q
            + (started - lost) * log_p
        )
        for lost in range(most_lost + 1)
    )
    return min(1.0, math.fsum(terms))


def fewest_to_start(needed: int, usable_fraction: float, service: float = 0.95) -> int:
    """Return the fewest units to start so that enough are usable.

    Parameters
    ----------
    needed : int
        Usable units wanted. [units]
    usable_fraction : float
        Chance that one unit is usable, above 0. [-]
    service : float
        Wanted chance of having enough, below 1 unless nothing is lost. [-]

    Returns
    -------
    int
        Smallest number whose binomial upper tail reaches the service. [units]

    Raises
    ------
    InputError
        If a number is out of range, or more than a million units would be needed.

    Notes
    -----
    Exact binomial, units independent. A batch of one unit is never worth a fraction of a unit:
    with 92 % usable two must be started to have one with 95 %.

    Examples
    --------
    >>> fewest_to_start(1, 0.92), fewest_to_start(50, 0.96)
    (2, 55)
    """
    if needed < 0:
        raise InputError("units needed", needed, "0 or more")
    if not 0.0 < usable_fraction <= 1.0:
        raise InputError("usable fraction", usable_fraction, "a fraction above 0, at most 1")
    if not 0.0 <= service < 1.0:
        raise InputError("service", service, "a chance from 0 to below 1")
    if needed > usable_fraction * _MOST_UNITS:
        raise InputError("units needed", needed, f"fewer than {_MOST_UNITS} units to start")
    low, high = needed, max(needed, 1)
    while chance_of_at_least(needed, high, usable_fraction) < service - _TOLERANCE:
        low, high = high, high * 2
        if high > _MOST_UNITS:
            raise InputError("units needed", needed, f"fewer than {_MOST_UNITS} units to start")
    while low < high:
        middle = (low + high) // 2
        if chance_of_at_least(needed, middle, usable_fraction) < service - _TOLERANCE:
            low = middle + 1
        else:
            high = middle
    return low
