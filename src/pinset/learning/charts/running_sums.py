"""Running sums and running means of a measured value: small shifts that last come to light.

A single value tells of a large shift; a sum of how far values lie above what is expected tells of
a small one that goes on. Used for trap counts, temperatures and growth, which are measured.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from pinset.errors import InputError

_NODES = 200


@dataclass(frozen=True, slots=True)
class RunningSums:
    """Both one-sided sums after each value, and where the first passed its limit."""

    above: NDArray[np.float64]  # shape (values,), in the unit of the values
    below: NDArray[np.float64]
    first_alarm: int | None  # position from 0


def _row(values: Sequence[float] | NDArray[np.float64]) -> NDArray[np.float64]:
    row = np.asarray(values, dtype=np.float64)
    if row.ndim != 1 or not row.size or not np.isfinite(row).all():
        raise InputError("values", f"{row.size} of them", "one or more numbers in their order")
    return row


def running_sums(
    values: Sequence[float] | NDArray[np.float64], *, expected: float, slack: float, limit: float
) -> RunningSums:
    """Return the sums of what lies beyond the slack above and below what is expected.

    Parameters
    ----------
    values : sequence of float, shape (values,)
        In their order of time.
    expected : float
        In the unit of the values, as are slack and limit.
    slack : float
        What each value may lie off without counting; half the shift that matters is customary.
    limit : float
        A sum above it is an alarm.

    Raises
    ------
    InputError
        If there are no values, or the slack or the limit is negative.

    Notes
    -----
    The tabular CUSUM; checked on NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.3.
    """
    row = _row(values)
    if slack < 0.0 or limit < 0.0:
        raise InputError("slack and limit", (slack, limit), "0 or more")
    above, below = np.empty_like(row), np.empty_like(row)
    up = down = 0.0
    for i, value in enumerate(row):
        up = max(0.0, up + value - expected - slack)
        down = max(0.0, down + expected - slack - value)
        above[i], below[i] = up, down
    alarms = np.flatnonzero((above > limit) | (below > limit))
    return RunningSums(above, below, int(alarms[0]) if alarms.size else None)


@dataclass(frozen=True, slots=True)
class RunningMeans:
    """A weighted mean after each value, its limits, and where it first left them."""

    means: NDArray[np.float64]
    low: NDArray[np.float64]  # shape (values,); wider from value to value until they settle
    high: NDArray[np.float64]
    first_alarm: int | None


def running_means(
    values: Sequence[float] | NDArray[np.float64],
    *,
    expected: float,
    spread: float,
    weight: float = 0.3,
    sigmas: float = 3.0,
    settled: bool = False,
) -> RunningMeans:
    """Return means in which each value weighs so much and all before it the rest.

    Parameters
    ----------
    values : sequence of float, shape (values,)
        In their order of time.
    expected, spread : float
        Mean and standard deviation of a value while nothing has changed, in its unit.
    weight : float
        Of the newest value, above 0 up to 1.
    sigmas : float
        How many standard deviations of the mean its limits lie off.
    settled : bool
        Whether all points get the limits that the first points only come to (as NIST prints them).

    Raises
    ------
    InputError
        If there are no values, or a weight, spread or number of sigmas is out of its range.

    Notes
    -----
    The EWMA chart; checked on NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4.
    """
    row = _row(values)
    if not 0.0 < weight <= 1.0:
        raise InputError("weight", weight, "above 0, up to 1")
    if spread <= 0.0 or sigmas <= 0.0:
        raise InputError("spread and sigmas", (spread, sigmas), "above 0")
    means = np.empty_like(row)
    mean = expected
    for i, value in enumerate(row):
        mean = weight * value + (1.0 - weight) * mean
        means[i] = mean
    share = np.full(row.size, weight / (2.0 - weight))
    if not settled:
        share *= 1.0 - (1.0 - weight) ** (2.0 * np.arange(1, row.size + 1))
    reach = sigmas * spread * np.sqrt(share)
    low, high = expected - reach, expected + reach
    alarms = np.flatnonzero((means < low) | (means > high))
    return RunningMeans(means, low, high, int(alarms[0]) if alarms.size else None)


def sum_run_length(*, slack: float, limit: float, shift: float = 0.0) -> float:
    """Return after how many normal values, on average, one sum passes its limit.

    Parameters
    ----------
    slack, limit : float
        In standard deviations of a value.
    shift : float
        Of the mean of the values, in standard deviations; 0: nothing has changed, and the answer
        is how rare false alarms are.

    Raises
    ------
    InputError
        If the slack is negative or the limit is not above 0.

    Notes
    -----
    Page's integral equation by Gauss and Legendre's nodes, with the mass at a sum of 0 as an
    unknown of its own. For both sides together (steps independent) the rate of false alarms of
    the two sums adds up.
    """
    if slack < 0.0 or limit <= 0.0:
        raise InputError("slack and limit", (slack, limit), "a slack of 0 or more, a limit above 0")
    points, weights = np.polynomial.legendre.leggauss(_NODES)
    at, weights = limit * (points + 1.0) / 2.0, weights * limit / 2.0
    start = np.concatenate(([0.0], at))
    step = at[None, :] - start[:, None] + slack - shift
    density = np.exp(-0.5 * step * step) / np.sqrt(2.0 * np.pi) * weights
    to_nought = ndtr(slack - shift - start)
    system = np.eye(_NODES + 1) - np.column_stack((to_nought, density))
    return float(np.linalg.solve(system, np.ones(_NODES + 1))[0])
