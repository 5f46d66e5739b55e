"""How likely standard deviations are, with all effects summed over, and the exact slope of that.

Laplace's approximation: the effects are taken as normal about their mode. What the skewness of the
counts moves the mean away from the mode comes out of the slope at no further cost.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pinset.learning.incidence.links import Floats
from pinset.learning.incidence.mode import CLOSE, Mode, mode
from pinset.learning.incidence.model import Model, Scales


@dataclass(frozen=True, slots=True, eq=False)
class Laplace:
    """The approximation at one set of standard deviations.

    ``objective`` is the logarithm of likelihood (and prior, where asked for); ``slope`` its
    derivative by the logarithms of the factors' standard deviations, then of the lots' if there
    is one. ``shift`` is what the posterior mean of v lies below its mode, ``lot_shift`` of e.
    """

    scales: Scales
    objective: float
    slope: Floats
    mode: Mode
    inverse: Floats  # of the curvature, flat
    leverage: Floats  # a' H^-1 a of each lot
    pull: Floats  # c of each lot: half the slope of log|H| and of the lots' own terms
    shift: Floats
    lot_shift: Floats
    lot_variance: Floats
    known: Floats  # by factor: sum over levels of (1 - posterior / prior variance)^2, and of lots

    @property
    def natural_scale(self) -> Floats:
        """Return about how far each logarithm of a standard deviation is uncertain."""
        values = np.append(self.scales.levels, [self.scales.lot] * bool(self.scales.lot))
        return (2.0 * self.known + 2.0 * values**2 + 0.1) ** -0.5


def laplace(
    model: Model,
    scales: Scales,
    *,
    start: Floats | None = None,
    lot_start: Floats | None = None,
    fixed_precision: float | None = None,
    with_prior: bool = True,
    close: float = CLOSE,
) -> Laplace:
    """Return the approximation at these standard deviations.

    Parameters
    ----------
    model : Model
        Records and order.
    scales : Scales
        Standard deviations; 0 between lots leaves the lot effect out.
    start, lot_start : ndarray, optional
        Effects to begin with; a rate like that of all rows together without them.
    fixed_precision : float
        Prior precision of fixed effects; 0 for none, None for that of the records.
    with_prior : bool
        Adds the half-normal(1) prior of each standard deviation, for a search over logarithms.
    close : float
        How near the mode is sought, as in :func:`.mode.mode`.

    Notes
    -----
    With W the weights, t the lots' standard deviation, D = 1 + t^2 W and H the curvature left to v:
    ``L = l - v'Pv/2 - e'e/(2 t^2) + log|P|/2 - log|H|/2 - sum(log D)/2``. Its slope and the shift
    need the diagonal of the inverse and, of its other entries, those of effects that meet in a lot.
    """
    if fixed_precision is None:
        fixed_precision = model.records.fixed_sd**-2.0
    begin = _start(model) if start is None else start
    lots = np.zeros(model.records.lots) if lot_start is None else lot_start
    at = mode(
        model,
        scales,
        start=begin,
        lot_start=lots,
        fixed_precision=fixed_precision,
        close=close,
    )
    terms, cholesky = at.lots, at.cholesky
    variance = scales.lot**2
    damped, weight = terms.damped, terms.weight

    inverse = cholesky.inverse()
    leverage = model.leverage(inverse)
    slopes = model.counts.slopes(terms.eta)
    pull = leverage * slopes / (2.0 * damped**3) + variance * slopes / (2.0 * damped**2)
    shift = cholesky.solve(model.meets.T @ pull)
    held = variance * weight / damped
    lot_shift = variance * pull - held * (model.meets @ shift)
    lot_variance = variance / damped + held**2 * leverage

    v, r = model.natural(at.v), model.natural(shift)
    spread = model.natural(inverse[model.diagonal])
    s2 = scales.levels**2
    slope = model.by_factor(v * v - 2.0 * r * v + spread) / s2 - model.sizes
    by_level = np.ones_like(v)
    by_level[: model.levels] -= spread[: model.levels] / np.repeat(s2, model.sizes)
    known = model.by_factor(by_level**2)
    values = scales.levels
    if variance:
        e = terms.effect
        own = float(np.sum((e * e + lot_variance - 2.0 * lot_shift * e) / variance - 1.0))
        slope, values = np.append(slope, own), np.append(values, scales.lot)
        known = np.append(known, float(np.sum((1.0 - lot_variance / variance) ** 2)))

    objective = at.penalised + model.counts.constant
    objective += (_log_prior(model, scales, fixed_precision) - cholesky.log_determinant) / 2.0
    objective -= float(np.log(damped).sum()) / 2.0
    if with_prior:
        objective += float(np.sum(np.log(values) - values**2 / 2.0))
        slope = slope + 1.0 - values**2
    return Laplace(
        scales, objective, slope, at, inverse, leverage, pull, shift, lot_shift, lot_variance, known
    )


def _log_prior(model: Model, scales: Scales, fixed_precision: float) -> float:
    """Return the log-determinant of the prior precision; nothing for fixed effects without one."""
    fixed = len(model.order.number) - model.levels
    of_fixed = fixed * np.log(fixed_precision) if fixed_precision else 0.0
    return float(of_fixed - 2.0 * np.sum(model.sizes * np.log(scales.levels)))


def _start(model: Model) -> Floats:
    """Return effects of 0, and columns of ones at the rate of all rows together."""
    data = model.records
    natural = np.zeros(len(model.order.number))
    at_risk = float(data.risk @ np.exp(data.log_showing))
    ones = np.flatnonzero((data.design == 1.0).all(axis=0))
    if at_risk > 0.0 and len(ones):
        share = (float(data.lost.sum()) + 0.5) / (at_risk + 1.0)
        natural[model.levels + ones[0]] = np.log(min(share, 1.0 - 0.5 / (at_risk + 1.0)))
    return model.placed(natural)
