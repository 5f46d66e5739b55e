"""The share of units lost, where losses cluster by lot: alone and with a route.

Every lot has a share of its own, beta-distributed between lots, and loses each unit by it: the
number lost is beta-binomial. What is sought is the mean share of all lots; how much lots differ
(the correlation of units within a lot) is not known either and is averaged over.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log, sqrt

import numpy as np
from numpy.typing import NDArray
from scipy.special import betaln, gammaln

from pinset.errors import InputError
from pinset.learning.lot_values import FEWEST, RANGE, ROUTE_LOTS, Together

CORRELATION = 0.05
"""Between units of one lot, where the route says nothing of how lots differ; assumed, no source."""

CORRELATION_LOG_SD = 1.2
"""How little that is known: a factor of about three either way; assumed, no source."""

_ROWS, _COLUMNS, _WIDTH = 91, 15, 3.0
_ENDS = (log(1e-9), log(1e9))  # of the log odds looked at
_NEUTRAL = (0.5, 0.5)  # Jeffreys' prior
_DROPPED = 1e-9  # of the most likely value
_LEAST_CORRELATION, _MOST_CORRELATION = 1e-4, 0.5
Grid = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class LotsLost:
    """What lots say of their losses by themselves."""

    lots: int
    units: int
    lost: int
    mean: float  # share of a lot lost, over all lots
    low: float  # its 80 % range
    high: float


@dataclass(frozen=True, slots=True)
class _Posterior:
    share: Grid  # nodes
    mass: Grid  # by node and correlation, adding up to 1
    correlation: Grid  # nodes

    def mean(self) -> float:
        return float((self.mass.sum(axis=1) * self.share).sum())

    def quantile(self, chance: float) -> float:
        below = np.cumsum(self.mass.sum(axis=1))
        middle = below - self.mass.sum(axis=1) / 2.0  # a node's mass lies half on either side
        odds = np.log(self.share / (1.0 - self.share))
        found = float(np.interp(chance, middle, odds))
        return 1.0 / (1.0 + exp(-found))

    def sd_of_lot(self) -> float:
        """Standard deviation of the share the next lot loses."""
        p = self.share[:, None]
        squares = p * p + p * (1.0 - p) * self.correlation[None, :]
        return sqrt(max(0.0, float((self.mass * squares).sum()) - self.mean() ** 2))


def correlation_of(mean: float, sd: float) -> float:
    """Return the correlation of units within a lot that a spread between lots comes to.

    Parameters
    ----------
    mean, sd : float
        Share lost, over lots. [-]

    Returns
    -------
    float
        ``sd**2 / (mean (1 - mean))``, held between 0.0001 and 0.5; the assumed one if the spread
        says nothing. [-]
    """
    if not (0.0 < mean < 1.0 and sd > 0.0):
        return CORRELATION
    return min(max(sd * sd / (mean * (1.0 - mean)), _LEAST_CORRELATION), _MOST_CORRELATION)


def alone(lots: Sequence[tuple[int, int]], correlation: float = CORRELATION) -> LotsLost:
    """Return the mean share lost with its 80 % range, from the lots alone.

    Parameters
    ----------
    lots : sequence of (int, int)
        Units of each lot, and how many of them were lost.
    correlation : float
        Guess of the correlation of units within a lot; a factor of three either way is let open.

    Raises
    ------
    InputError
        If there are fewer than two lots, or more are lost than there were.

    Notes
    -----
    Jeffreys' prior for the mean share; the range is equal-tailed.
    """
    _refuse(lots)
    if len(lots) < FEWEST:
        raise InputError("lots", len(lots), f"{FEWEST} or more")
    found = _posterior(lots, _NEUTRAL, correlation)
    units, lost = (sum(each) for each in zip(*lots, strict=True))
    low, high = _range(found)
    return LotsLost(len(lots), units, lost, found.mean(), low, high)


def together(
    lots: Sequence[tuple[int, int]],
    mean: float,
    sd: float,
    *,
    route_lots: float = ROUTE_LOTS,
) -> Together:
    """Return what would be planned with: the route's loss, moved by the farm's own lots.

    Parameters
    ----------
    lots : sequence of (int, int)
        Units of each lot, and how many of them were lost; none leaves the route's figure.
    mean, sd : float
        The route's share lost, and how it spreads between lots. [-]
    route_lots : float
        How many lots, of the size of the farm's own, the route counts for.

    Raises
    ------
    InputError
        If more are lost than there were, or the mean is not below 1.

    Notes
    -----
    The route's prior is beta with the route's mean and the variance that the mean of ``route_lots``
    such lots has. A route that says nothing is lost is no prior: Jeffreys' takes its place.
    """
    _refuse(lots)
    if not 0.0 <= mean < 1.0:
        raise InputError("share lost", mean, "0 to below 1")
    correlation = correlation_of(mean, sd)
    prior = _NEUTRAL
    if mean > 0.0:
        size = sum(units for units, _ in lots) / len(lots) if lots else 1.0
        worth = route_lots * size / (1.0 + (size - 1.0) * correlation)
        prior = (mean * worth, (1.0 - mean) * worth)
    found = _posterior(lots, prior, correlation)
    low, high = _range(found)
    weight = len(lots) / (len(lots) + route_lots) if mean > 0.0 else 1.0
    return Together(found.mean(), low, high, found.sd_of_lot(), weight)


def _range(found: _Posterior) -> tuple[float, float]:
    tail = (1.0 - RANGE) / 2.0
    return found.quantile(tail), found.quantile(1.0 - tail)


def _refuse(lots: Sequence[tuple[int, int]]) -> None:
    for units, lost in lots:
        if not 0 <= lost <= units or units < 1:
            raise InputError("units and lost", (units, lost), "no more lost than there were units")


def _posterior(
    lots: Sequence[tuple[int, int]], prior: tuple[float, float], correlation: float
) -> _Posterior:
    """Return the posterior on a grid, laid once roughly and once where it is."""
    spread = np.linspace(-_WIDTH, _WIDTH, _COLUMNS)
    guess = correlation * np.exp(CORRELATION_LOG_SD * spread)
    prior_log = -0.5 * spread**2
    kept = guess < 1.0
    guess, prior_log = guess[kept], prior_log[kept]
    low, high = _ENDS
    for _ in range(3):
        odds = np.linspace(low, high, _ROWS)
        share = 1.0 / (1.0 + np.exp(-odds))
        logs = _log_likelihood(lots, share, guess) + prior_log[None, :]
        # the prior density of the share, times its slope against the log odds
        logs = logs + (prior[0] * np.log(share) + prior[1] * np.log1p(-share))[:, None]
        mass = np.exp(logs - logs.max())
        held = np.flatnonzero(mass.max(axis=1) > _DROPPED)
        low, high = odds[max(0, held[0] - 1)], odds[min(_ROWS - 1, held[-1] + 1)]
    return _Posterior(share, mass / mass.sum(), guess)


def _log_likelihood(lots: Sequence[tuple[int, int]], share: Grid, correlation: Grid) -> Grid:
    """Return the beta-binomial log likelihood by share and correlation, without constants."""
    total = 1.0 / correlation - 1.0
    bad = share[:, None] * total[None, :]
    good = total[None, :] - bad
    logs = -len(lots) * betaln(bad, good)
    for lost, count in Counter(lost for _, lost in lots).items():
        logs = logs + count * gammaln(bad + lost)
    for sound, count in Counter(units - lost for units, lost in lots).items():
        logs = logs + count * gammaln(good + sound)
    sizes: Grid = np.zeros_like(total)
    for units, count in Counter(units for units, _ in lots).items():
        sizes = sizes + count * gammaln(total + units)
    found: Grid = logs - sizes[None, :]
    return found
