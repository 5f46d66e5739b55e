"""Which ways of conducting a core's readings allow: the likeliest one and how far others may lie.

A load conducts in a way of its own at each temperature. Nothing but smoothness is known of it
beforehand: the logarithm of its conductivity walks at random from one temperature to the next,
from a level that is hardly known. With the surface's coefficient, how warm the load was and, where
it was heated before its first reading, for how long, that makes a handful of values. They are
sought by least squares, what is known beforehand taking part as if it had been read; the matrix of
their errors says what the readings leave open.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy import float64
from numpy.typing import NDArray
from scipy.linalg import cho_factor, cho_solve

Values = NDArray[float64]

MOST_STEPS = 12
NUDGE = 0.05  # of every value in its prior's errors
FAR = 2.0  # longest step of one value, in errors it has beforehand
SETTLED = 0.03  # sum of squares that a step has to gain
DAMPED = 4.0

Cores = Callable[[Values], Values]


@dataclass(frozen=True, slots=True)
class Fit:
    """Values in errors they have beforehand, 0 the likeliest before anything was read."""

    values: Values  # shape (m,)
    covariance: Values  # shape (m, m)
    left_k: float  # root of the mean square of what is left of the readings [K]
    error_k: float  # of one reading, no less than what is left
    cost: float  # sum of squares in these errors, and of the values

    def costs(self, left: Values, values: Values) -> Values:
        """Return the sums of squares of other values, shape (laws,), by what they leave."""
        return np.asarray(np.sum((left / self.error_k) ** 2, axis=1) + np.sum(values**2, axis=1))


@dataclass(frozen=True, slots=True)
class _Tried:
    cost: float  # sum of squares, of readings and of what was known beforehand
    white: Values  # shape (m,)
    off: Values  # what is left of the readings, in their errors, shape (n,)
    slopes: Values  # of the cores by the values, in errors, shape (n, m)


def fitted(
    cores: Cores, read_c: Values, error_k: float, many: int, *, most_steps: int = MOST_STEPS
) -> Fit:
    """Return the likeliest values.

    Parameters
    ----------
    cores : callable
        From values, shape (laws, m), in errors they have beforehand, to cores at the readings,
        shape (laws, n). [degC]
    read_c : ndarray, shape (n,)
        What was read. [degC]
    error_k : float
        Of one reading. [K]
    many : int
        Values, m.
    most_steps : int
        Steps towards it, at the most.
    """
    best = _tried(cores, np.zeros(many), read_c, error_k)
    damping = 0.0
    for _ in range(most_steps):
        tried = _tried(cores, best.white + _step(best, damping), read_c, error_k)
        gain = best.cost - tried.cost
        if gain <= 0.0:
            damping = max(DAMPED * damping, 1.0)
            continue
        best = tried
        damping /= DAMPED
        if gain < SETTLED:
            break
    return _fit(best, error_k)


def _tried(cores: Cores, white: Values, read_c: Values, error_k: float) -> _Tried:
    found = cores(np.vstack((white, white + NUDGE * np.eye(len(white)))))
    off = (read_c - found[0]) / error_k
    slopes = (found[1:] - found[0]).T / NUDGE / error_k
    return _Tried(float(off @ off + white @ white), white, off, slopes)


def _fit(best: _Tried, error_k: float) -> Fit:
    off, slopes = best.off, best.slopes
    loose = max(1.0, float(off @ off) / len(off))  # as if the errors were what is left
    precise = slopes.T @ slopes / loose + np.eye(len(best.white))
    covariance = np.asarray(cho_solve(cho_factor(precise), np.eye(len(best.white))))
    return Fit(
        values=best.white,
        covariance=covariance,
        left_k=error_k * float(np.sqrt(np.mean(off**2))),
        error_k=error_k * float(np.sqrt(loose)),
        cost=float(off @ off) / loose + float(best.white @ best.white),
    )


def _step(best: _Tried, damping: float) -> Values:
    slopes = best.slopes
    square = slopes.T @ slopes + (1.0 + damping) * np.eye(len(best.white))
    step = cho_solve(cho_factor(square), slopes.T @ best.off - best.white)
    longest = float(np.max(np.abs(step)))
    return np.asarray(step * min(1.0, FAR / longest) if longest > 0.0 else step)
