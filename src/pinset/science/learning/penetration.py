"""Heat penetration: the straight part of a core's approach, its lethality, and fits to logs.

Once the fast modes are gone, the core's distance from the chamber falls along a straight line on a
logarithmic scale: ``T_chamber - T = j I 10^(-t / fh)``, with ``I`` the first distance, ``fh`` the
minutes for a tenfold fall and ``j`` where the line, drawn back, cuts the start.

Sources: C. O. Ball's formula method as set out by N. G. Stoforos, Thermal process calculations
through Ball's original formula method, Food Engineering Reviews 2 (2010) 1-16; the mean heating
curve of a body is its slowest mode (Carslaw & Jaeger, Conduction of Heat in Solids).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy import float64
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import least_squares
from scipy.special import exp1

from pinset.errors import InputError
from pinset.science.heating.heating import (
    Material,
    Modes,
    Shape,
    checked_curve,
    core_curve,
    modes_of,
)

Values = NDArray[float64]

LN10 = float(np.log(10.0))
MINUTE = 60.0  # s
STRAIGHT = (0.02, 0.5)  # of the first distance: where the line is straight and the probe still good
FEWEST = 5  # readings of a fit
CONDUCTIVITY = (0.02, 20.0)  # W/(m K); searched between
SURFACE = (1.0, 20_000.0)  # W/(m2 K)
TOGETHER = 0.98  # a correlation above this tells the two only together
FITTING_MODES = 16
START_OFF = 5.0  # the first reading may be off by so much [K]
LARGEST_ERROR = 20.0  # of a logarithm: nothing at all is known
MOST_CORRELATED = 0.999  # of one residual with the next, when uncertainty is reckoned


@dataclass(frozen=True, slots=True)
class Line:
    """The straight part of a core's approach to its chamber."""

    fh: float  # min
    jh: float  # 1
    fh_error: float = 0.0  # standard error of fh [min]
    jh_error: float = 0.0  # standard error of jh [1]
    scatter: float = 0.0  # of log10 of the distance, root of the mean square


def line_of(modes: Modes) -> Line:
    """Return ``fh = ln 10 / lambda_1`` and ``j = A_1`` of a body's core."""
    return Line(LN10 / float(modes.rates[0]) / MINUTE, float(modes.core[0]))


def fitted_line(
    minutes: ArrayLike,
    core_c: ArrayLike,
    chamber_c: float,
    start_c: float,
    *,
    window: tuple[float, float] = STRAIGHT,
) -> Line:
    """Return the straight line through a log under a chamber that stood at one temperature.

    Parameters
    ----------
    minutes, core_c : array_like, shape (n,)
        Times since the chamber was hot, rising [min], and the core. [degC]
    chamber_c, start_c : float
        Chamber, and core at time 0. [degC]
    window : (float, float)
        Readings are used while their distance is between these shares of the first one.

    Raises
    ------
    InputError
        If fewer than five readings lie in the window, or they do not approach the chamber.

    Notes
    -----
    The straight part of a large bag begins late: on a noiseless log of a bag of 216 min the usual
    window returns 218 min. :func:`fitted_core` has no such bias and takes any chamber curve.
    """
    t, core = checked_curve(minutes, core_c)
    first = chamber_c - start_c
    if not np.isfinite(first) or first == 0.0:
        raise InputError("chamber_c", chamber_c, "a temperature other than the first of the core")
    share = (chamber_c - core) / first
    inside = (share > window[0]) & (share < window[1])
    count = int(np.sum(inside))
    if count < FEWEST:
        accepted = f"{FEWEST} or more, {window[0]:g} to {window[1]:g} of the first distance away"
        raise InputError("readings", f"{count} on the straight part", accepted)
    coefficients, covariance = np.polyfit(t[inside], np.log10(share[inside]), 1, cov=True)
    slope, cut = (float(each) for each in coefficients)
    if slope >= 0.0:
        raise InputError("core_c", "a core that goes away from the chamber", "one that approaches")
    slope_error, cut_error = (float(each) for each in np.sqrt(np.diag(covariance)))
    residual = np.log10(share[inside]) - np.polyval(coefficients, t[inside])
    jh = 10.0**cut
    return Line(
        fh=-1.0 / slope,
        jh=jh,
        fh_error=slope_error / slope**2,
        jh_error=LN10 * jh * cut_error,
        scatter=float(np.sqrt(np.mean(residual**2))),
    )


def lethality_of_line(
    line: Line,
    first_distance: float,
    chamber_c: float,
    minutes: float,
    *,
    reference_c: float = 121.1,
    z: float = 10.0,
) -> float:
    """Return F of the heating on the straight line, by Ball's integral in closed form.

    ``F = (fh / ln 10) [E1(ln 10 g / z) - E1(ln 10 j I / z)] 10^((T - T_ref) / z)`` with the
    distance ``g = j I 10^(-t / fh)`` when the steam is turned off.

    Parameters
    ----------
    line : Line
        fh [min] and j.
    first_distance : float
        I, chamber less core at the start, above 0. [K]
    chamber_c : float
        [degC]
    minutes : float
        Heating time, above 0. [min]
    reference_c, z : float
        [degC], [K]

    Returns
    -------
    float
        F of the heating only; what the core earns while it cools is left out. [min]
    """
    for name, value in (("first_distance", first_distance), ("minutes", minutes), ("z", z)):
        if not np.isfinite(value) or value <= 0.0:
            raise InputError(name, value, "a number above 0")
    begin = line.jh * first_distance
    end = begin * 10.0 ** (-minutes / line.fh)
    integral = float(exp1(LN10 * end / z) - exp1(LN10 * begin / z))
    return line.fh / LN10 * integral * float(10.0 ** ((chamber_c - reference_c) / z))


@dataclass(frozen=True, slots=True)
class Fit:
    """What a log says of a load: conductivity and surface coefficient, and how sure."""

    material: Material
    conductivity_factor: float  # true value within / or x this, two times in three
    surface_factor: float
    correlation: float  # of the two, on the logarithmic scale
    scatter_k: float  # root of the mean square of what is left [K]
    largest_k: float  # largest difference left [K]
    at_bound: bool  # the search ended at the edge of what it may find
    start_c: float  # temperature of the whole unit at the first reading [degC]
    line: Line
    spread: tuple[tuple[float, ...], ...]  # covariance of the logarithms, one row without surface

    @property
    def is_only_their_pair(self) -> bool:
        """Whether the log tells the two together and neither alone."""
        return abs(self.correlation) > TOGETHER


def fitted_core(
    shape: Shape,
    heat_capacity: float,
    seconds: ArrayLike,
    chamber_c: ArrayLike,
    core_c: ArrayLike,
    *,
    surface: float | None = None,
    guess: tuple[float, float] = (0.4, 50.0),
) -> Fit:
    """Return conductivity and surface coefficient that make the series follow a core log.

    Parameters
    ----------
    shape : Shape
        Of the unit the probe stood in. [m]
    heat_capacity : float
        Of a volume, from weight and moisture. [J/(m3 K)]
    seconds, chamber_c, core_c : array_like, shape (n,)
        Rising times [s], chamber and core. [degC]
    surface : float, optional
        Surface coefficient, if it is known from a smaller load; then only the conductivity is
        sought. [W/(m2 K)]
    guess : (float, float)
        Where the search begins.

    Raises
    ------
    InputError
        If there are fewer than five readings, a value is missing, or the core does not move.

    Notes
    -----
    Least squares on the logarithms, with the first temperature left free. Readings of one log are
    not independent: the errors are widened by what residuals of neighbouring readings have in
    common.
    """
    t, chamber = checked_curve(seconds, chamber_c)
    _, core = checked_curve(seconds, core_c)
    if len(t) < FEWEST or np.ptp(core) <= 0.0:
        raise InputError("core_c", f"{len(t)} readings", f"{FEWEST} or more of a core that moves")
    sought = np.log([CONDUCTIVITY, SURFACE] if surface is None else [CONDUCTIVITY])
    about = (float(core[0]) - START_OFF, float(core[0]) + START_OFF)
    bounds = np.vstack((sought, about)).T

    def material(logs: Values) -> Material:
        values = np.exp(logs)
        return Material(
            float(values[0]), heat_capacity, float(values[1]) if surface is None else surface
        )

    def left(given: Values) -> Values:
        own = modes_of(shape, material(given[:-1]), count=FITTING_MODES)
        return core_curve(own, t, chamber, float(given[-1])) - core

    start = np.clip(np.append(np.log(guess[: len(sought)]), core[0]), bounds[0], bounds[1])
    found = least_squares(left, start, bounds=(bounds[0], bounds[1]), x_scale=0.5)
    residual: Values = found.fun
    spread = _spread(residual, np.asarray(found.jac, dtype=float64))
    errors = np.minimum(np.sqrt(np.diag(spread)), LARGEST_ERROR)
    best = material(found.x[:-1])
    two = surface is None
    return Fit(
        material=best,
        conductivity_factor=float(np.exp(errors[0])),
        surface_factor=float(np.exp(errors[1])) if two else 1.0,
        correlation=float(spread[0, 1] / np.sqrt(spread[0, 0] * spread[1, 1])) if two else 0.0,
        scatter_k=float(np.sqrt(np.mean(residual**2))),
        largest_k=float(np.max(np.abs(residual))),
        at_bound=bool(np.any(found.active_mask)),
        start_c=float(found.x[-1]),
        line=line_of(modes_of(shape, best)),
        spread=tuple(tuple(float(v) for v in row[: len(sought)]) for row in spread[: len(sought)]),
    )


def _spread(residual: Values, jacobian: Values) -> Values:
    """Return the covariance of the logarithms, widened for residuals that go together."""
    free = max(1, len(residual) - jacobian.shape[1])
    variance = float(residual @ residual) / free
    power = float(residual @ residual)
    together = float(residual[1:] @ residual[:-1]) / power if power > 0.0 else 0.0
    together = min(max(together, 0.0), MOST_CORRELATED)
    widened = variance * (1.0 + together) / (1.0 - together)
    spread: Values = widened * np.linalg.pinv(jacobian.T @ jacobian)
    return spread
