"""Limits of a share chart: how many lost of so many are still chance.

The usual limits, three standard deviations either side, promise one false alarm in 370 points.
At the low rates of a clean laboratory they break that promise several times over, so the limits
that alarms use are exact: the smallest count whose tail is rarer than wanted.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np
from numpy.typing import NDArray
from scipy.special import bdtrc, betaln, gammaln

from pinset.errors import InputError

RARE = 0.00135
"""Of a point beyond a limit while nothing has changed: the upper tail of three standard
deviations of the normal distribution, the custom of control charts."""

SIGMAS = 3.0
MOVING_RANGE = 1.128
"""Mean range of two normal values, in their standard deviations."""


@dataclass(frozen=True, slots=True)
class ShareLimits:
    """A chart of shares: its centre, and per point its limits."""

    centre: float
    low: NDArray[np.float64]  # shape (points,), from 0
    high: NDArray[np.float64]  # shape (points,), to 1

    def outside(self, found: NDArray[np.int64], of: NDArray[np.int64]) -> tuple[int, ...]:
        """Return the positions, from 0, of the points beyond their limits."""
        shares = found / of
        return tuple(int(i) for i in np.flatnonzero((shares > self.high) | (shares < self.low)))


def _counts(
    found: Sequence[int] | NDArray[np.int64], of: Sequence[int] | NDArray[np.int64]
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    k, n = np.asarray(found, dtype=np.int64), np.asarray(of, dtype=np.int64)
    if k.shape != n.shape or k.ndim != 1 or not k.size:
        raise InputError("points", f"{k.shape} found of {n.shape}", "two equally long rows")
    if (n < 1).any():
        raise InputError("units", int(n.min()), "1 or more at each point")
    if (k < 0).any() or (k > n).any():
        raise InputError("found", int(k[(k < 0) | (k > n)][0]), "from 0 to the units of its point")
    return k, n


def share_chart(
    found: Sequence[int] | NDArray[np.int64], of: Sequence[int] | NDArray[np.int64]
) -> ShareLimits:
    """Return the usual chart of shares, three standard deviations either side of their mean.

    Parameters
    ----------
    found, of : sequence of int, shape (points,)
        Units found, of the units counted, point by point.

    Raises
    ------
    InputError
        If there is no point, or one finds more than it counts.

    Notes
    -----
    Shewhart's p chart, as in Montgomery 1991, chapter 4. Fit for showing; `alarm_count` gives the
    limit that alarms use.
    """
    k, n = _counts(found, of)
    centre = float(k.sum() / n.sum())
    reach = SIGMAS * np.sqrt(centre * (1.0 - centre) / n)
    return ShareLimits(centre, np.maximum(centre - reach, 0.0), np.minimum(centre + reach, 1.0))


def clumped_share_chart(
    found: Sequence[int] | NDArray[np.int64], of: Sequence[int] | NDArray[np.int64]
) -> tuple[ShareLimits, float]:
    """Return a chart whose limits follow how much shares differ from point to point.

    Losses come in clumps, so the usual chart calls clumps alarms. Here the spread between
    neighbours sets the limits. It takes in real shifts, too: set it on a period known as clean.

    Parameters
    ----------
    found, of : sequence of int, shape (points,), two points or more
        Units found, of the units counted, point by point in their order of time.

    Returns
    -------
    tuple of ShareLimits and float
        The chart, and how many times wider than chance alone neighbours differ.

    Raises
    ------
    InputError
        If there are fewer than two points, one finds more than it counts, or none or all are found.

    Notes
    -----
    Laney 2002, Quality Engineering 14:531-537, "Improved control charts for attributes" (memory).
    """
    k, n = _counts(found, of)
    if k.size < 2:  # noqa: PLR2004 - a difference takes two
        raise InputError("points", int(k.size), "2 or more, to see how neighbours differ")
    centre = float(k.sum() / n.sum())
    if centre in {0.0, 1.0}:
        raise InputError("found", int(k.sum()), "some and not all: else nothing differs")
    chance = np.sqrt(centre * (1.0 - centre) / n)
    steps = np.abs(np.diff((k / n - centre) / chance))
    wider = float(steps.mean()) / MOVING_RANGE
    reach = SIGMAS * wider * chance
    limits = ShareLimits(centre, np.maximum(centre - reach, 0.0), np.minimum(centre + reach, 1.0))
    return limits, wider


def _clumped_tail(units: int, share: float, clumping: float) -> NDArray[np.float64]:
    """Return P(found >= c) for c = 0 .. units under a beta-binomial."""
    total = 1.0 / clumping - 1.0
    a, b = share * total, (1.0 - share) * total
    k = np.arange(units + 1)
    choose = gammaln(units + 1) - gammaln(k + 1) - gammaln(units - k + 1)
    mass = np.exp(choose + betaln(k + a, units - k + b) - betaln(a, b))
    return np.asarray(np.minimum(mass[::-1].cumsum()[::-1], 1.0))


_HARDLY = 1e-6  # a correlation below it is lost in the rounding of a beta-binomial


def tails(units: int, share: float, clumping: float = 0.0) -> NDArray[np.float64]:
    """Return the chance of 0, 1, 2 ... or more lost while nothing has changed.

    Parameters
    ----------
    units : int
        That are counted, 1 or more.
    share, clumping
        As of `chance_of_as_many`.

    Returns
    -------
    array, shape (units + 1,)
        Falling from 1.

    Raises
    ------
    InputError
        If there are no units, or the share or the clumping is none.
    """
    if units < 1:
        raise InputError("units", units, "1 or more")
    _checked(share, clumping)
    if clumping > _HARDLY:
        return _clumped_tail(units, share, clumping)
    return np.concatenate([[1.0], bdtrc(np.arange(units), units, share)])


_NODES, _WEIGHTS = np.polynomial.hermite_e.hermegauss(41)


def skewed_tails(units: int, share: float, clumping: float) -> NDArray[np.float64]:
    """Return the chance of 0, 1, 2 ... or more lost where groups differ by factors.

    As `tails`, but the rate of a group differs by a factor that is log-normal, not its share by a
    beta: of the same correlation, with the longer upper tail that sessions and cooks have.

    Raises
    ------
    InputError
        As `tails`.
    """
    if units < 1:
        raise InputError("units", units, "1 or more")
    _checked(share, clumping)
    if clumping <= _HARDLY:
        return tails(units, share)
    rate = -np.log1p(-share)
    spread = sqrt(np.log1p(clumping * (1.0 - share) / share))
    rates = rate * np.exp(spread * _NODES - spread * spread / 2.0)
    shares = -np.expm1(-rates)
    above = bdtrc(np.arange(units)[:, None], units, shares[None, :])
    return np.concatenate([[1.0], above @ (_WEIGHTS / _WEIGHTS.sum())])


def _checked(share: float, clumping: float) -> None:
    if not 0.0 < share < 1.0:
        raise InputError("expected share", share, "between 0 and 1")
    if not 0.0 <= clumping < 1.0:
        raise InputError("clumping", clumping, "from 0 to below 1")


def chance_of_as_many(found: int, of: int, share: float, clumping: float = 0.0) -> float:
    """Return the chance of so many or more lost while nothing has changed.

    Parameters
    ----------
    found, of : int
        Units lost, of the units of the lot.
    share : float
        Expected, between 0 and 1.
    clumping : float
        Correlation of units within a lot, from 0 to below 1; above 0 the count is beta-binomial.

    Raises
    ------
    InputError
        If the count, the share or the clumping is none.
    """
    _counts([found], [of])
    return float(tails(of, share, clumping)[found])


def alarm_count(of: int, share: float, *, rare: float = RARE, clumping: float = 0.0) -> int | None:
    """Return the fewest lost that chance alone explains no more often than wanted.

    Parameters
    ----------
    of : int
        Units of the lot.
    share : float
        Expected, between 0 and 1.
    rare : float
        The chance wanted of a false alarm at one point.
    clumping : float
        Correlation of units within a lot.

    Returns
    -------
    int or None
        None where even a lot wholly lost is not that rare: it is too small to alarm by itself.
    """
    for found in range(1, of + 1):
        if chance_of_as_many(found, of, share, clumping) <= rare:
            return found
    return None


def sigma_alarm_count(of: int, share: float) -> int:
    """Return the fewest lost that lie beyond the usual limit of three standard deviations."""
    _counts([0], [of])
    return int(np.floor(of * share + SIGMAS * sqrt(of * share * (1.0 - share)))) + 1
