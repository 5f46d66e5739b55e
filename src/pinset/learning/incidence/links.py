"""Row terms of binomial counts under two links, safe for tiny and for huge rates.

Everything the fit needs of a row, as functions of its linear predictor: log-likelihood, score,
weight (minus the second derivative) and the slope of the weight (minus the third).
"""

from __future__ import annotations

from enum import StrEnum
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray
from scipy.special import expit, gammaln

Floats: TypeAlias = NDArray[np.float64]
Ints: TypeAlias = NDArray[np.int64]
Places: TypeAlias = NDArray[np.int32] | NDArray[np.int64]
Truths: TypeAlias = NDArray[np.bool_]

_SMALL = 0.02  # below it a series of three terms is exact to the last digit
_LARGEST = 150.0  # exp(150)^4 is still a number; no farm comes near it
_ALL = 700.0  # at such a rate every vessel is contaminated, to the last digit


class Link(StrEnum):
    """How the linear predictor becomes the chance that a vessel is contaminated."""

    CLOGLOG = "cloglog"  # p = 1 - exp(-exp(eta)): contaminants arrive at random, delay is an offset
    LOGIT = "logit"  # p = 1 / (1 + exp(-eta)): for lots that are fully read out


def row_terms(link: Link, eta: Floats, lost: Floats, risk: Floats) -> tuple[Floats, Floats, Floats]:
    """Return log-likelihood (without the binomial coefficient), score and weight of each row.

    Parameters
    ----------
    link : Link
        The link.
    eta : ndarray, shape (rows,)
        Linear predictor, offset included. [log rate, or log odds]
    lost, risk : ndarray, shape (rows,)
        Vessels newly seen contaminated, and vessels at risk; ``0 <= lost <= risk``.

    Notes
    -----
    Complementary log-log, with ``lam = exp(eta)``, ``r = lam / (exp(lam) - 1)`` and
    ``s = lam + r - 1`` (so that ``0 <= s``): score ``lost r - (risk - lost) lam``, weight
    ``lost r s + (risk - lost) lam``. Neither ever goes below 0, so the likelihood is concave.

    Examples
    --------
    >>> one, two = np.ones(1), np.full(1, 2.0)
    >>> [round(float(part[0]), 6) for part in row_terms(Link.LOGIT, 0.0 * one, one, two)]
    [-1.386294, 0.0, 0.5]
    """
    clean = risk - lost
    if link is Link.LOGIT:
        odds_up, odds_down = np.logaddexp(0.0, eta), np.logaddexp(0.0, -eta)
        rate = expit(eta)
        return (
            -lost * odds_down - clean * odds_up,
            lost - risk * rate,
            risk * rate * expit(-eta),
        )
    lam, ratio, excess, shown = _cloglog_parts(eta)
    survived = clean * lam
    return lost * shown - survived, lost * ratio - survived, lost * ratio * excess + survived


def weight_slopes(link: Link, eta: Floats, lost: Floats, risk: Floats) -> Floats:
    """Return the derivative of each row's weight by its linear predictor, shape (rows,).

    Parameters as in :func:`row_terms`. With its ``r`` and ``s`` the complementary log-log form is
    ``lost r (lam - s (s + r)) + (risk - lost) lam``.
    """
    if link is Link.LOGIT:
        rate = expit(eta)
        return risk * rate * expit(-eta) * (1.0 - 2.0 * rate)
    lam, ratio, excess, _ = _cloglog_parts(eta)
    return lost * ratio * (lam - excess * (excess + ratio)) + (risk - lost) * lam


def chance(link: Link, eta: Floats) -> Floats:
    """Return the chance of contamination at a linear predictor; any shape, 0 to 1."""
    if link is Link.LOGIT:
        return np.asarray(expit(eta), float)
    return np.asarray(-np.expm1(-np.exp(np.minimum(eta, _LARGEST))), float)


def log_choose(risk: Floats, lost: Floats) -> float:
    """Return the sum of the logarithms of the binomial coefficients of all rows."""
    ways = gammaln(risk + 1.0) - gammaln(lost + 1.0) - gammaln(risk - lost + 1.0)
    return float(np.sum(ways))


def _cloglog_parts(eta: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """Return ``lam``, ``r``, ``s`` (see :func:`row_terms`) and ``log(1 - exp(-lam))``.

    ``s`` of a small ``lam`` is the difference of nearly equal numbers and comes from its series
    ``lam/2 + lam^2/12 - lam^4/720``.
    """
    lam = np.exp(np.clip(eta, -_LARGEST, _LARGEST))
    held = np.minimum(lam, _ALL)
    grown = np.expm1(held)
    ratio = held / grown
    square = lam * lam
    near = lam / 2.0 + square * (1.0 / 12.0 - square / 720.0)
    excess = np.where(lam < _SMALL, near, lam + ratio - 1.0)
    return lam, ratio, excess, np.log(grown) - held
