"""The fit: the likeliest standard deviations, and every effect with its uncertainty there."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import minimize

from pinset.errors import Finding
from pinset.learning.incidence.doubts import doubts, refuse_endless
from pinset.learning.incidence.inputs import Records
from pinset.learning.incidence.laplace import Laplace, laplace
from pinset.learning.incidence.links import Floats, Ints
from pinset.learning.incidence.mode import CLOSE
from pinset.learning.incidence.model import Model, Scales
from pinset.learning.incidence.one_thread import one_thread
from pinset.learning.incidence.ordering import DENSE_BELOW

FIRST_LEVELS_SD, FIRST_LOT_SD = 0.4, 0.5
"""Where a search begins that knows nothing; log scale."""

SMALLEST_SD, LARGEST_SD = 1e-3, 20.0
"""Bounds of the search; log scale."""

TOLERANCE = 0.01
"""The search ends when no standard deviation is further off than this share of its uncertainty."""

HELD_CLOSE = 1e-5
"""How near the effects are found while deviations are held: to 3 thousandths of their spread."""

_NEARLY = 10.0  # times the tolerance: what still counts as settled when the search ends otherwise
_LONGEST_SEARCH = 60


@dataclass(frozen=True, slots=True, eq=False)
class Fit:
    """What the records say of all effects.

    ``mean`` and ``sd`` have shape (levels of all factors + fixed effects,): posterior mean,
    corrected for skewness, and standard deviation, factor by factor, fixed effects last; effects of
    levels include what was expected of them. Log rate, or log odds.
    """

    model: Model
    at: Laplace
    mean: Floats
    sd: Floats
    evaluations: int
    settled: bool
    findings: tuple[Finding, ...]

    @property
    def records(self) -> Records:
        """Return what was fitted."""
        return self.model.records

    @property
    def scales(self) -> Scales:
        """Return the standard deviations between levels and between lots."""
        return self.at.scales

    def of_factor(self, name: str) -> slice:
        """Return where a factor's levels stand in ``mean`` and ``sd``."""
        first = 0
        for factor in self.records.factors:
            if factor.name == name:
                return slice(first, first + len(factor.levels))
            first += len(factor.levels)
        raise KeyError(name)

    @property
    def fixed(self) -> slice:
        """Return where the fixed effects stand in ``mean`` and ``sd``."""
        return slice(self.model.levels, len(self.mean))


def fit(
    records: Records,
    *,
    before: Fit | None = None,
    hold: bool = False,
    lot_effect: bool = True,
    tolerance: float = TOLERANCE,
    dense_below: int = DENSE_BELOW,
) -> Fit:
    """Fit the model.

    Parameters
    ----------
    records : Records
        What was seen.
    before : Fit, optional
        An earlier fit, of fewer looks say: the search begins at its effects and deviations. Levels
        are matched by name.
    hold : bool
        Keeps the standard deviations of ``before`` and finds the effects alone: for the refit after
        each look. Without an earlier fit all is searched.
    lot_effect : bool
        Lets lots differ beyond their levels. Without it intervals are too narrow wherever they do.
    tolerance : float
        How near the likeliest standard deviations the search ends, as a share of their uncertainty.
    dense_below : int
        Number of unknowns below which the matrix is kept dense.

    Raises
    ------
    RefusedError
        If levels meet so far apart in time that a fit would take hours.
    """
    if before is not None and records.has_lots_of(before.records):
        model = before.model.after(records)
    else:
        model = Model(records, dense_below=dense_below)
    refuse_endless(model)
    scales = _first_scales(model, before, lot_effect=lot_effect)
    with one_thread():
        held = hold and before is not None
        start, lot_start = (None, None) if before is None else _carried(before, model)
        at = laplace(
            model,
            scales,
            start=start,
            lot_start=lot_start,
            close=HELD_CLOSE if held else CLOSE,
        )
        evaluations, settled = 1, True
        if not held:
            at, evaluations, settled = _search(model, at, tolerance)
    mean, variance = effects(model, at)
    return Fit(
        model=model,
        at=at,
        mean=mean,
        sd=np.sqrt(variance),
        evaluations=evaluations,
        settled=settled,
        findings=doubts(model, settled=settled),
    )


def held_at(fit: Fit, scales: Scales, offset: Floats) -> Fit:
    """Return the effects at given standard deviations, with a known part of each lot's predictor.

    Parameters
    ----------
    fit : Fit
        Of the same records: where the effects are sought from.
    scales : Scales
        Standard deviations between levels and between lots.
    offset : ndarray, shape (lots,)
        Added to each lot's linear predictor.
    """
    model = fit.model.given(offset)
    start, lot_start = fit.at.mode.v, fit.at.mode.lots.effect
    with one_thread():
        at = laplace(model, scales, start=start, lot_start=lot_start, close=HELD_CLOSE)
    mean, variance = effects(model, at)
    return replace(fit, model=model, at=at, mean=mean, sd=np.sqrt(variance))


def effects(model: Model, at: Laplace) -> tuple[Floats, Floats]:
    """Return corrected mean and variance of every unknown, at the deviations of an approximation.

    Shape (levels of all factors + fixed effects,), with what was expected of levels.
    """
    mean = model.natural(at.mode.v - at.shift) + _centres(model.records)
    return mean, model.natural(at.inverse[model.diagonal])


def along(model: Model, at: Laplace, logs: Floats) -> Laplace:
    """Return the approximation at other deviations (logarithms), begun where it leads from here."""
    lots = bool(at.scales.lot)
    now = np.log(np.append(at.scales.levels, [at.scales.lot] * lots))
    change = logs - now
    mode, terms = at.mode, at.mode.lots
    by_level = np.zeros(len(model.order.number))
    by_level[: model.levels] = np.repeat(change[: len(model.sizes)], model.sizes)
    right = 2.0 * model.placed(by_level) * mode.precision * mode.v
    widened = 2.0 * terms.effect / terms.damped * (change[-1] if lots else 0.0)
    right -= model.meets.T @ (terms.weight * widened)
    moved = mode.cholesky.solve(right)
    lot_start = terms.effect + widened + (1.0 / terms.damped - 1.0) * (model.meets @ moved)
    values = np.exp(logs)
    scales = Scales(values[: len(model.sizes)], float(values[-1]) if lots else 0.0)
    return laplace(model, scales, start=mode.v + moved, lot_start=lot_start)


def _search(model: Model, first: Laplace, tolerance: float) -> tuple[Laplace, int, bool]:
    """Return the approximation at the likeliest deviations, evaluations, and whether it is one."""
    lots = bool(first.scales.lot)
    origin = np.log(np.append(first.scales.levels, [first.scales.lot] * lots))
    if not len(origin):
        return first, 1, True
    unit = first.natural_scale
    latest = best = first
    count = 1

    def downhill(steps: Floats) -> tuple[float, Floats]:
        nonlocal latest, best, count
        if steps.any():
            latest = along(model, latest, origin + unit * steps)
            count += 1
            if latest.objective > best.objective:
                best = latest
        else:
            latest = first
        return -latest.objective, -latest.slope * unit

    minimize(
        downhill,
        np.zeros(len(origin)),
        jac=True,
        method="L-BFGS-B",
        bounds=[
            ((np.log(SMALLEST_SD) - x) / h, (np.log(LARGEST_SD) - x) / h)
            for x, h in zip(origin, unit, strict=True)
        ],
        options={"gtol": tolerance, "ftol": 1e-13, "maxiter": _LONGEST_SEARCH},
    )
    off = float(np.abs(best.slope * best.natural_scale).max())
    return best, count, off <= _NEARLY * tolerance


def _first_scales(model: Model, before: Fit | None, *, lot_effect: bool) -> Scales:
    """Return where the search begins: the deviations of an earlier fit, by factor."""
    if before is None:
        return Scales(np.full(len(model.sizes), FIRST_LEVELS_SD), FIRST_LOT_SD * lot_effect)
    factors = before.records.factors
    known = {f.name: sd for f, sd in zip(factors, before.scales.levels, strict=True)}
    levels = [float(known.get(f.name, FIRST_LEVELS_SD)) for f in model.records.factors]
    return Scales(np.array(levels), (before.scales.lot or FIRST_LOT_SD) * lot_effect)


def _carried(before: Fit, model: Model) -> tuple[Floats, Floats | None]:
    """Return the effects of an earlier fit by name, and those of lots where they are the same."""
    if model.order is before.model.order:
        return before.at.mode.v, before.at.mode.lots.effect
    old = before.model.natural(before.at.mode.v)
    known = dict(zip(_names(before.records), old, strict=True))
    values = [known.get(name, 0.0) for name in _names(model.records)]
    return model.placed(np.array(values, float)), None


def _names(records: Records) -> list[tuple[str, str]]:
    """Return factor and level of every unknown, and the columns of the fixed effects."""
    levels = [(factor.name, level) for factor in records.factors for level in factor.levels]
    return levels + [("", column) for column in records.columns]


def _centres(records: Records) -> Floats:
    """Return what was expected of every unknown before any count."""
    none: Ints = np.zeros(0, np.int64)
    parts = [
        np.zeros(len(factor.levels)) if factor.expected is None else factor.expected
        for factor in records.factors
    ]
    return np.concatenate([*parts, np.zeros(len(records.columns)), none])
