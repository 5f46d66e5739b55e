"""How much vapour helps in a load, from a log with a probe in its core.

Sought are the conductivity without vapour, the free air of :mod:`~pinset.science.heating.vapour`,
the surface coefficient and the first temperature, by least squares on the logarithms. One core
cannot tell all of them apart. So what is known beforehand of conductivity and surface takes part as
if it had been read too, with its own error (a maximum a posteriori estimate; A. Tarantola, Inverse
Problem Theory, SIAM 2005; memory). What the log tells better replaces it, what it does not tell
stays as wide as it was.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy import float64
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import least_squares

from pinset.errors import InputError
from pinset.science.heating.heated_unit import Moist
from pinset.science.heating.heating import Material, Shape, checked_curve
from pinset.science.learning.learnt_heat import Learnt
from pinset.science.learning.penetration import FEWEST, MOST_CORRELATED, START_OFF

Values = NDArray[float64]

FREE_AIR = (0.003, 1.0)  # searched between
FIRST_GUESS = 0.1
FREE_AIR_FACTOR = 5.0  # what is known beforehand: the first guess, within / or x this
SURFACE_FACTOR = 2.0  # the usual surface coefficient, within / or x this
FARTHEST = 10.0  # from what is known beforehand, as a factor, for conductivity and surface
READING_K = 0.3  # error of a reading before the residuals are known [K]
LEAST_READING_K = 0.05  # no fit is taken to be better than this [K]
STEP = 0.02  # of a logarithm, for differences: the grid's core is not smoother


@dataclass(frozen=True, slots=True)
class MoistFit:
    """What a log says of a load in which vapour carries heat."""

    learnt: Learnt
    start_c: float  # of the whole unit at the first reading [degC]
    scatter_k: float  # root of the mean square of what is left [K]
    largest_k: float  # largest difference left [K]
    at_bound: bool  # the search ended at the edge of what it may find


def fitted_moist(
    shape: Shape,
    before: Material,
    conductivity_factor: float,
    pressure_kpa: float,
    seconds: ArrayLike,
    chamber_c: ArrayLike,
    core_c: ArrayLike,
) -> MoistFit:
    """Return what makes a core with vapour follow its log.

    Parameters
    ----------
    shape : Shape
        Of the unit the probe stood in. [m]
    before : Material
        Conductivity without vapour and surface coefficient as known beforehand, and the heat
        capacity from weight and moisture, which is taken as it is.
    conductivity_factor : float
        The conductivity known beforehand holds within / or x this, two times in three; above 1.
    pressure_kpa : float
        Of the chamber while it held. [kPa absolute]
    seconds, chamber_c, core_c : array_like, shape (n,)
        Rising times [s], chamber and core. [degC]

    Raises
    ------
    InputError
        If there are fewer than five readings, a value is missing, or the core does not move.
    """
    t, chamber = checked_curve(seconds, chamber_c)
    _, core = checked_curve(seconds, core_c)
    if len(t) < FEWEST or np.ptp(core) <= 0.0:
        raise InputError("core_c", f"{len(t)} readings", f"{FEWEST} or more of a core that moves")
    known = np.log([before.conductivity, FIRST_GUESS, before.surface])
    errors = np.log([conductivity_factor, FREE_AIR_FACTOR, SURFACE_FACTOR])
    low, high = known - np.log(FARTHEST), known + np.log(FARTHEST)
    low[1], high[1] = np.log(FREE_AIR)
    bounds = (np.append(low, core[0] - START_OFF), np.append(high, core[0] + START_OFF))

    def off(given: Values) -> Values:
        conductivity, free_air, surface = np.exp(given[:3])
        material = replace(before, conductivity=float(conductivity), surface=float(surface))
        unit = Moist(shape, material, float(free_air), pressure_kpa)
        return unit.core(t, chamber, float(given[3])) - core

    def left(given: Values, reading_k: float) -> Values:
        return np.concatenate((off(given) / reading_k, (given[:3] - known) / errors))

    def slopes(given: Values, reading_k: float) -> Values:
        here = left(given, reading_k)
        steps = np.where(given + STEP < bounds[1], STEP, -STEP)
        moved = [left(given + row, reading_k) for row in np.diag(steps)]
        return np.column_stack(
            [(there - here) / step for there, step in zip(moved, steps, strict=True)]
        )

    at, reading_k = np.append(known, core[0]), READING_K
    for _ in range(2):  # first with an error of readings that is assumed, then with their own
        found = least_squares(left, at, slopes, bounds=bounds, args=(reading_k,), x_scale=0.5)
        at = np.clip(found.x, bounds[0] + STEP, bounds[1] - STEP)
        residual = off(found.x)
        reading_k = max(LEAST_READING_K, _error_of_one(residual))
    jacobian = np.asarray(found.jac, dtype=float64)
    spread = np.linalg.pinv(jacobian.T @ jacobian)[:3, :3]
    conductivity, free_air, surface = np.exp(found.x[:3]).tolist()
    rows = tuple(tuple(float(each) for each in row) for row in spread)
    return MoistFit(
        learnt=Learnt(conductivity, free_air, surface, rows),
        start_c=float(found.x[3]),
        scatter_k=float(np.sqrt(np.mean(residual**2))),
        largest_k=float(np.max(np.abs(residual))),
        at_bound=bool(np.any(found.active_mask)),
    )


def _error_of_one(residual: Values) -> float:
    """Return the error of one reading as if all were independent, in K.

    Readings of one log are not: neighbours have most of what is left in common, so each counts for
    less, which is the same as a larger error of each.
    """
    power = float(residual @ residual)
    together = float(residual[1:] @ residual[:-1]) / power if power > 0.0 else 0.0
    together = min(max(together, 0.0), MOST_CORRELATED)
    return float(np.sqrt(power / len(residual) * (1.0 + together) / (1.0 - together)))
