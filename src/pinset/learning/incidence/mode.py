"""The most likely effects at given standard deviations: Newton's method, damped.

The effect of each lot meets that lot's rows alone. It is therefore found for itself inside every
step, and what is left of the rows is their likelihood at its best lot effect.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pinset.learning.incidence.arrow import Cholesky, NotPositiveError
from pinset.learning.incidence.links import Floats
from pinset.learning.incidence.model import Counts, Model, Scales

CLOSE = 1e-10
"""Newton's method ends when its step is worth less than this; twice the gain in log-likelihood."""

_LOT_CLOSE = 1e-12  # of a lot effect, log scale
_LOT_STEP = 4.0  # longest step of a lot effect
_LONGEST = 4.0  # longest step of a linear predictor
_STEPS = 100
_HALVINGS = 40


@dataclass(frozen=True, slots=True, eq=False)
class LotTerms:
    """Rows of each lot at its own best effect; arrays have shape (lots,)."""

    effect: Floats  # e, log scale
    eta: Floats  # with the effect, without the delay
    likelihood: float  # of all rows, less e^2 / (2 t^2)
    score: Floats
    weight: Floats  # W
    damped: Floats  # D = 1 + t^2 W
    curvature: Floats  # W / D, what is left to the other effects


@dataclass(frozen=True, slots=True, eq=False)
class Mode:
    """The mode of all effects, and the factored curvature there."""

    v: Floats
    lots: LotTerms
    penalised: float  # log-likelihood less the penalties, at the mode
    precision: Floats
    cholesky: Cholesky


def settle(counts: Counts, eta: Floats, lot_sd: float, start: Floats) -> LotTerms:
    """Return each lot's best effect: the root of ``e - t^2 score(eta + e)``, which is unique.

    Newton's method for all lots at once, between the nearest points known to be too low and too
    high; a step over more than half of what lies between goes to the middle.
    """
    if lot_sd <= 0.0:
        likelihood, score, weight = counts.terms(eta)
        one = np.ones_like(weight)
        return LotTerms(np.zeros_like(eta), eta, likelihood, score, weight, one, weight)
    variance = lot_sd**2
    effect = start
    low, high = np.full_like(eta, -np.inf), np.full_like(eta, np.inf)
    for _ in range(_STEPS):
        likelihood, score, weight = counts.terms(eta + effect)
        damped = 1.0 + variance * weight
        away = effect - variance * score
        step = np.clip(-away / damped, -_LOT_STEP, _LOT_STEP)
        if not len(step) or np.abs(step).max() < _LOT_CLOSE:
            penalty = float(effect @ effect) / (2.0 * variance)
            return LotTerms(
                effect, eta + effect, likelihood - penalty, score, weight, damped, weight / damped
            )
        low = np.where(away < 0.0, effect, low)
        high = np.where(away > 0.0, effect, high)
        half = (np.where(away < 0.0, high, low) - effect) / 2.0  # of the bracket, in its direction
        effect = effect + np.where(np.abs(step) > np.abs(half), half, step)
    raise NotPositiveError("The effect of a lot could not be found: its counts are out of reach.")


def mode(
    model: Model,
    scales: Scales,
    *,
    start: Floats,
    lot_start: Floats,
    fixed_precision: float,
    close: float = CLOSE,
) -> Mode:
    """Return the mode, from any start.

    Parameters
    ----------
    model : Model
        Records and order.
    scales : Scales
        Standard deviations of levels and lots.
    start : ndarray, shape (places of unknowns,)
        Where to begin, in the order of the matrix.
    lot_start : ndarray, shape (lots,)
        Lot effects to begin with.
    fixed_precision : float
        Prior precision of the fixed effects; 0 for none.
    close : float
        Worth of a step that is not taken any more.

    Raises
    ------
    NotPositiveError
        If no mode can be found; the likelihood is concave, so this means overflow.
    """
    precision = model.precision(scales, fixed_precision)
    v = start
    lots = settle(model.counts, model.eta(v), scales.lot, lot_start)
    penalised = lots.likelihood - float(v @ (precision * v)) / 2.0
    for _ in range(_STEPS):
        uphill = model.meets.T @ lots.score - precision * v
        cholesky = Cholesky(model.order.shape, model.curvature(lots.curvature, precision))
        step = cholesky.solve(uphill)
        worth = float(uphill @ step)
        if worth <= close:
            return Mode(v, lots, penalised, precision, cholesky)
        moved = model.meets @ step
        length = min(1.0, _LONGEST / max(float(np.abs(moved).max(initial=0.0)), 1e-300))
        follow = 1.0 / lots.damped - 1.0  # how a lot effect gives way to the others, d e / d eta
        for _ in range(_HALVINGS):
            trial = v + length * step
            tried = settle(
                model.counts, model.eta(trial), scales.lot, lots.effect + length * follow * moved
            )
            value = tried.likelihood - float(trial @ (precision * trial)) / 2.0
            if value >= penalised + 0.1 * length * worth - 1e-11 * (1.0 + abs(penalised)):
                break
            length /= 2.0
        else:
            raise NotPositiveError("No step leads to a likelier set of effects.")
        v, lots, penalised = trial, tried, value
    raise NotPositiveError("The likeliest set of effects was not reached.")
