"""What a log taught of a load, and how far a time reckoned by it may be off.

A log tells conductivity, free air and surface coefficient together better than each by itself. So
the ends of the band are not reached by moving one of them: they are the likeliest values at which
the time comes out so many standard errors longer or shorter (first order; the design point of
A. M. Hasofer and N. C. Lind, Journal of the Engineering Mechanics Division 100 (1974); memory).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.science.heating.heated_unit import Unit, unit_of
from pinset.science.heating.heating import Material, Shape
from pinset.science.learning.penetration import LARGEST_ERROR, Fit

Values = NDArray[float64]

NAMES = ("conductivity", "free_air", "surface")
ERRORS = 2.0  # standard errors to either end: 19 times in 20
LEAST_KNOWN = 0.05  # relative: no log is surer than weighing, measuring and placing a probe
NUDGE = 0.1  # least step of a logarithm by which a slope is found
WIDEST = 1.5  # a logarithm is moved by no more than this: what is not known at all


@dataclass(frozen=True, slots=True)
class Learnt:
    """How a load takes up heat, from a log with a probe in its core."""

    conductivity: float  # without what vapour carries [W/(m K)]
    free_air: float  # of the estimate of vapour; 0: by conduction alone
    surface: float  # coefficient [W/(m2 K)]
    spread: tuple[tuple[float, ...], ...]  # covariance of the logarithms of these three

    def unit(self, shape: Shape, heat_capacity: float, pressure_kpa: float) -> Unit:
        """Return a unit of such a load: shape [m], J/(m3 K), chamber [kPa absolute]."""
        material = Material(self.conductivity, heat_capacity, self.surface)
        return unit_of(shape, material, self.free_air, pressure_kpa)

    def moved(self, logs: Values) -> Learnt:
        """Return it with the logarithms of the three moved."""
        factors = np.exp(np.clip(logs, -WIDEST, WIDEST))
        return Learnt(
            self.conductivity * float(factors[0]),
            min(1.0, self.free_air * float(factors[1])),
            self.surface * float(factors[2]),
            self.spread,
        )

    @property
    def factors(self) -> tuple[float, float, float]:
        """Each of the three holds by itself within / or x this, two times in three."""
        conductivity, free_air, surface = np.exp(np.sqrt(np.diag(_widened(self.spread))))
        return float(conductivity), float(free_air), float(surface)


@dataclass(frozen=True, slots=True)
class Band:
    """The ends of what a log taught, for a time reckoned by it."""

    slow: Learnt
    quick: Learnt
    error: float  # standard error of the logarithm of the time


def band_of(learnt: Learnt, time_of: Callable[[Learnt], float]) -> Band:
    """Return the ends at which a time is two standard errors longer and shorter.

    Parameters
    ----------
    learnt : Learnt
        What a log taught.
    time_of : callable
        A time, above 0, that is reckoned by it: such as from steam-on to steam-off.
    """
    spread = _widened(learnt.spread)
    now = np.log(time_of(learnt))
    slope = np.zeros(len(NAMES))
    for n in np.flatnonzero(np.diag(spread) > 0.0):
        nudge = np.zeros(len(NAMES))
        nudge[n] = max(NUDGE, min(WIDEST, float(np.sqrt(spread[n, n]))))
        if n == NAMES.index("free_air") and learnt.free_air * np.exp(nudge[n]) > 1.0:
            nudge[n] = -nudge[n]
        slope[n] = (np.log(time_of(learnt.moved(nudge))) - now) / nudge[n]
    error = float(np.sqrt(slope @ spread @ slope))
    if error == 0.0:
        return Band(learnt, learnt, 0.0)
    toward = ERRORS * (spread @ slope) / error
    return Band(learnt.moved(toward), learnt.moved(-toward), error)


def certain(conductivity: float, surface: float, free_air: float = 0.0) -> Learnt:
    """Return what somebody says of a load, as if only weighing and measuring could be off."""
    return Learnt(conductivity, free_air, surface, ((0.0,) * 3,) * 3)


def by_series(fit: Fit) -> Learnt:
    """Return what a fit of conductivity and surface coefficient taught."""
    found = np.array(fit.spread, dtype=float64)
    if not np.all(np.isfinite(found)):  # the log tells nothing of either
        found = np.eye(2) * LARGEST_ERROR**2
    shrunk = np.minimum(1.0, LARGEST_ERROR / np.sqrt(np.maximum(np.diag(found), LEAST_KNOWN**2)))
    (kk, kh), (hk, hh) = (found * np.outer(shrunk, shrunk)).tolist()  # whole, so it stays one
    spread = ((kk, 0.0, kh), (0.0, 0.0, 0.0), (hk, 0.0, hh))
    return Learnt(fit.material.conductivity, 0.0, fit.material.surface, spread)


def _widened(spread: tuple[tuple[float, ...], ...]) -> Values:
    """Return the covariance with what no log can tell better added to that of the conductivity."""
    found = np.array(spread, dtype=float64)
    found[0, 0] += LEAST_KNOWN**2
    sizes, along = np.linalg.eigh((found + found.T) / 2.0)
    settled: Values = (along * np.maximum(sizes, 0.0)) @ along.T  # none surer than certain
    return settled
