"""The same model fitted as a plain likelihood, without any prior: for comparison with others.

Programs for mixed models search over fixed effects and standard deviations together and sum over
the level effects alone. pinset does not report this form; it exists so that the arithmetic can be
held against theirs.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import minimize

from pinset.learning.incidence.fit import SMALLEST_SD, fit
from pinset.learning.incidence.inputs import Records
from pinset.learning.incidence.laplace import Laplace, laplace
from pinset.learning.incidence.links import Floats
from pinset.learning.incidence.model import Model, Scales
from pinset.learning.incidence.one_thread import one_thread

_EXACT = 1e-5  # of the slope, in units of each unknown's uncertainty


@dataclass(frozen=True, slots=True, eq=False)
class Maximum:
    """Maximum likelihood: fixed effects, their standard errors, and standard deviations."""

    fixed: Floats
    standard_errors: Floats
    scales: Scales
    log_likelihood: float


def without_fixed(records: Records) -> Model:
    """Return the model of the level effects alone."""
    return Model(replace(records, design=np.zeros((records.lots, 0)), columns=()))


def plain_likelihood(
    effects: Model, design: Floats, fixed: Floats, scales: Scales, *, start: Laplace | None = None
) -> tuple[Laplace, Floats]:
    """Return Laplace's approximation without a prior, and the slope of its log-likelihood.

    Parameters
    ----------
    effects : Model
        The model of the level effects alone.
    design, fixed : ndarray, shapes (lots, columns) and (columns,)
        Fixed effects, as known.
    scales : Scales
        Standard deviations.
    start : Laplace, optional
        An approximation near by, to begin at its effects.

    Returns
    -------
    tuple of Laplace and ndarray
        The slope is by log standard deviations of factors, then of lots if there is one, then by
        fixed effects: ``X' (score - c + W* A r)``.
    """
    at = laplace(
        effects.given(design @ fixed),
        scales,
        start=None if start is None else start.mode.v,
        lot_start=None if start is None else start.mode.lots.effect,
        with_prior=False,
    )
    lots = at.mode.lots
    of_lot = lots.score - at.pull + lots.curvature * (effects.meets @ at.shift)
    return at, np.concatenate([at.slope, design.T @ of_lot])


def maximum(records: Records, *, lot_effect: bool = False) -> Maximum:
    """Return the fit of greatest likelihood, by Laplace's approximation.

    Standard errors are those of the fixed effects at the standard deviations found.
    """
    first = fit(records, lot_effect=lot_effect)
    factors = len(records.factors)
    scales = factors + lot_effect
    values = np.append(first.scales.levels, [first.scales.lot] * lot_effect)
    begin = np.concatenate([np.log(values), first.mean[first.fixed]])
    unit = np.concatenate([first.at.natural_scale, first.sd[first.fixed]])

    def parted(steps: Floats) -> tuple[Floats, Scales]:
        found = begin + unit * steps
        deviations = np.exp(found[:scales])
        lot = float(deviations[-1]) if lot_effect else 0.0
        return found[scales:], Scales(deviations[:factors], lot)

    effects = without_fixed(records)
    latest: Laplace | None = None

    def downhill(steps: Floats) -> tuple[float, Floats]:
        nonlocal latest
        latest, slope = plain_likelihood(effects, records.design, *parted(steps), start=latest)
        return -latest.objective, -slope * unit

    with one_thread():
        search = minimize(
            downhill,
            np.zeros(len(begin)),
            jac=True,
            method="L-BFGS-B",
            bounds=[
                ((np.log(SMALLEST_SD) - x) / h, None) if at < scales else (None, None)
                for at, (x, h) in enumerate(zip(begin, unit, strict=True))
            ],
            options={"gtol": _EXACT, "ftol": 1e-14, "maxiter": 200},
        )
        fixed, deviations = parted(search.x)
        model = first.model
        joint = laplace(
            model, deviations, start=first.at.mode.v, fixed_precision=0.0, with_prior=False
        )
    errors = np.sqrt(model.natural(joint.inverse[model.diagonal]))
    return Maximum(fixed, errors[model.levels :], deviations, -float(search.fun))
