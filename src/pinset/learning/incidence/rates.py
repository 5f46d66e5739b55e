"""Chances of contamination from a fit, averaged over what is not known.

A chance at the mean effects is not the mean chance: the spread of the effects counts too. The mean
here is that of the corrected effects with their spread; either without the other is wrong.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pinset.learning.incidence.fit import Fit
from pinset.learning.incidence.links import Floats, Link, chance

NODES = 15
"""Of the Gauss-Hermite sum over a normal distribution."""

_POINTS, _WEIGHTS = np.polynomial.hermite_e.hermegauss(NODES)
_SHARES = _WEIGHTS / _WEIGHTS.sum()


@dataclass(frozen=True, slots=True, eq=False)
class Outlook:
    """Mean and variance of each lot's linear predictor, without the delay, shape (lots,)."""

    mean: Floats
    variance: Floats


def lots_themselves(fit: Fit) -> Outlook:
    """Return what is known of each lot, its own counts included.

    With D as in :mod:`.mode`: mean ``a'(v - r) + e - re``, variance ``h / D^2 + t^2 / D``.
    """
    at, damped = fit.at, fit.at.mode.lots.damped
    own = at.mode.lots.effect - at.lot_shift
    variance = at.leverage / damped**2 + at.scales.lot**2 / damped
    return Outlook(_middle(fit) + own, variance)


def new_lots(fit: Fit) -> Outlook:
    """Return what is to be expected of a further lot like each: mean ``a'(v - r)``, ``h + t^2``."""
    return Outlook(_middle(fit), fit.at.leverage + fit.at.scales.lot**2)


def mean_chance(link: Link, mean: Floats, variance: Floats) -> Floats:
    """Return the chance averaged over a normal linear predictor; any shape.

    Examples
    --------
    >>> float(mean_chance(Link.LOGIT, np.array(0.0), np.array(2.0)).round(6))
    0.5
    """
    total = np.zeros(np.broadcast(mean, variance).shape)
    sd = np.sqrt(np.maximum(variance, 0.0))
    for point, share in zip(_POINTS, _SHARES, strict=True):
        total += share * chance(link, mean + point * sd)
    return total


def expected_lost(fit: Fit, outlook: Outlook) -> Floats:
    """Return the vessels expected to show in each row, shape (rows,)."""
    data = fit.records
    mean = outlook.mean[data.lot] + data.log_showing
    return data.risk * mean_chance(data.link, mean, outlook.variance[data.lot])


def chance_in_the_end(fit: Fit, outlook: Outlook) -> Floats:
    """Return the chance that a vessel of each lot is contaminated, shown or not, shape (lots,)."""
    return mean_chance(fit.records.link, outlook.mean, outlook.variance)


def _middle(fit: Fit) -> Floats:
    """Return ``a'(v - r)`` with what was expected, shape (lots,)."""
    return fit.model.eta(fit.at.mode.v - fit.at.shift)
