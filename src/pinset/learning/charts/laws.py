"""How likely a count is at a rate: flies on traps, units that show a sign.

Both laws know clumping, as flies and diseases come in clumps: counts differ by more than chance
alone from one time to the next while nothing has changed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import log

import numpy as np
from numpy.typing import NDArray
from scipy.special import betaln, gammaln

from pinset.errors import InputError

Floats = NDArray[np.float64]

_REACH = 3.5
"""A rate is looked for within so many standard deviations of where it is believed beforehand."""

_APART = 0.1
"""Between the logarithms of rates that are tried; less than counts of one kind clump."""

_SURE_SHARE = 1e-12


def count_chance(found: Floats, of: Floats, log_rate: Floats, clumping: Floats) -> Floats:
    """Return the logarithm of the chance of a count at a rate.

    Parameters
    ----------
    found : array
        Counted.
    of : array
        What it was counted on, above 0; say traps times days.
    log_rate : array
        Natural logarithm of the rate per one of it.
    clumping : array
        Above 0: the squared coefficient of variation of the rate from count to count.

    Notes
    -----
    Negative binomial: Poisson about a rate that is itself gamma distributed.
    """
    shape = 1.0 / clumping
    log_mean = np.log(of) + log_rate
    log_total = np.logaddexp(np.log(shape), log_mean)
    return np.asarray(
        gammaln(found + shape)
        - gammaln(shape)
        - gammaln(found + 1.0)
        + shape * (np.log(shape) - log_total)
        + found * (log_mean - log_total)
    )


def share_chance(found: Floats, of: Floats, log_rate: Floats, clumping: Floats) -> Floats:
    """Return the logarithm of the chance that so many of so many show something.

    Parameters
    ----------
    found, of : array
        Units that show it, of the units looked at.
    log_rate : array
        Natural logarithm of the rate; the share is ``1 - exp(-rate)``.
    clumping : array
        Above 0, below 1: correlation of units that were looked at together.

    Notes
    -----
    Beta-binomial.
    """
    share = np.clip(-np.expm1(-np.exp(log_rate)), _SURE_SHARE, 1.0 - _SURE_SHARE)
    total = 1.0 / clumping - 1.0
    a, b = share * total, (1.0 - share) * total
    choose = gammaln(of + 1.0) - gammaln(found + 1.0) - gammaln(of - found + 1.0)
    return np.asarray(choose + betaln(found + a, of - found + b) - betaln(a, b))


@dataclass(frozen=True, slots=True)
class Law:
    """A kind of count: its chance, and how counts of its kind may clump."""

    log_chance: Callable[[Floats, Floats, Floats, Floats], Floats]
    clumpings: tuple[tuple[float, float], ...]  # each with its weight beforehand
    is_share: bool  # no more can be found than there are


FLIES = Law(
    count_chance,
    ((0.01, 1.0), (0.06, 1.0), (0.12, 1.0), (0.25, 1.0), (0.5, 1.0), (1.0, 0.5), (2.0, 0.25)),
    is_share=False,
)
"""Flies on traps. Clumping: from counts that hardly differ to those that differ by half as much
again as their mean; assumed, no source."""

UNITS = Law(share_chance, ((0.001, 1.0), (0.01, 1.0), (0.03, 0.5), (0.1, 0.25)), is_share=True)
"""Units of a grow room that show a sign. Clumping: assumed, no source."""


@dataclass(frozen=True, slots=True)
class Believed:
    """What is believed of a rate before anything was counted: log-normal."""

    rate: float  # its median
    log_sd: float


@dataclass(frozen=True, slots=True, eq=False)
class Grid:
    """Rates and clumpings that are tried, and the logarithm of the weight of each."""

    log_rate: Floats  # shape (points,)
    clumping: Floats
    log_weight: Floats


def grid(law: Law, believed: Believed) -> Grid:
    """Return the points at which a law is tried, weighted by what is believed beforehand.

    Raises
    ------
    InputError
        If the believed rate or its deviation is not above 0.
    """
    if believed.rate <= 0.0 or believed.log_sd <= 0.0:
        raise InputError("believed rate and deviation", (believed.rate, believed.log_sd), "above 0")
    reach = _REACH * believed.log_sd
    steps = np.linspace(-reach, reach, 2 * int(np.ceil(reach / _APART)) + 1)
    clumpings, weights = np.array(law.clumpings).T
    log_rate, clumping = (
        each.ravel() for each in np.meshgrid(log(believed.rate) + steps, clumpings)
    )
    weight = -0.5 * np.tile(steps / believed.log_sd, clumpings.size) ** 2
    weight += np.repeat(np.log(weights), steps.size)
    return Grid(log_rate, clumping, weight - np.logaddexp.reduce(weight))


def checked_counts(law: Law, found: Floats, of: Floats) -> None:
    """Raise unless counts are counts of their kind.

    Raises
    ------
    InputError
        If rows differ in length, something was counted on nothing, or a count is below 0 or, of a
        share, above what there is.
    """
    if found.shape != of.shape or found.ndim != 1:
        raise InputError("counts", (found.shape, of.shape), "two equally long rows")
    if not (np.isfinite(found).all() and np.isfinite(of).all()) or (of <= 0.0).any():
        raise InputError("counted on", of.tolist(), "numbers above 0")
    if (found < 0.0).any() or (law.is_share and (found > of).any()):
        raise InputError("found", found.tolist(), "0 or more, and no more than there are")
