"""Core temperature of a bag or jar under a changing chamber, by the series of its conduction.

Exact for a chamber temperature that is linear between its readings, for constant properties and the
same surface coefficient on all faces. Each pair (or triple) of modes of the body obeys
``y' = dT_chamber/dt - lambda y``; the core is ``T_chamber - sum(A y) - q dT_chamber/dt``, where
``q`` is the lag behind a ramp of all the modes that are left out (Duhamel's theorem).

The lag of all modes together is closed, since for a cylinder of radius R
``sum(C_m / a_m^2) = R^2 (1/4 + 1/(2 Bi))`` and for a slab of half thickness L
``sum(D_l / b_l^2) = L^2 (1/2 + 1/Bi)``, and the sum along the other edges of one mode is a
hyperbolic function. So few modes are enough on ramps.

Sources: Carslaw & Jaeger, Conduction of Heat in Solids (product solutions, Duhamel's theorem);
Incropera, DeWitt, Bergman & Lavine, Fundamentals of Heat and Mass Transfer, ch. 5.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy import float64
from numpy.typing import ArrayLike, NDArray
from scipy.signal import oaconvolve
from scipy.special import j1

from pinset.errors import InputError
from pinset.science.heating.conduction import (
    cylinder_roots,
    cylinder_weights,
    slab_roots,
    slab_weights,
)

Values = NDArray[float64]

MODES = 40  # along each edge of a cylinder
BRICK_MODES = 20  # along each edge of a brick
FEWEST = 2  # readings
GONE = 26.0  # a mode that fell by exp(-26) is below 1e-11: nothing
COSH_LIMIT = 300.0
SAME_STEP = 1e-9  # relative difference of steps that count as even


@dataclass(frozen=True, slots=True)
class Cylinder:
    """A standing jar or a bag tied round, in m."""

    radius: float
    height: float

    @property
    def volume(self) -> float:
        """The volume in m3."""
        return float(np.pi * self.radius**2 * self.height)


@dataclass(frozen=True, slots=True)
class Brick:
    """A bag pressed square, or a tray, in m."""

    length: float
    width: float
    height: float

    @property
    def volume(self) -> float:
        """The volume in m3."""
        return self.length * self.width * self.height


Shape = Cylinder | Brick


@dataclass(frozen=True, slots=True)
class Material:
    """What is in it, and how well heat enters it."""

    conductivity: float  # W/(m K)
    heat_capacity: float  # of a volume, J/(m3 K)
    surface: float  # coefficient of all faces, W/(m2 K)

    @property
    def diffusivity(self) -> float:
        """How fast it evens out, in m2/s."""
        return self.conductivity / self.heat_capacity


@dataclass(frozen=True, slots=True)
class Modes:
    """The slowest modes of a body, and the lag of all others."""

    core: Values  # weights at the core, shape (n,)
    mean: Values  # weights in the mean over the body, shape (n,)
    rates: Values  # 1/s, rising, shape (n,)
    lag: float  # of the modes left out, behind a ramp, at the core [s]
    whole_lag: float  # of all modes: how far the core comes to trail a steady ramp [s]


def modes_of(shape: Shape, material: Material, *, count: int = 0) -> Modes:
    """Return the modes of a body.

    Parameters
    ----------
    shape, material : Shape, Material
        The body. All lengths and properties are above 0.
    count : int
        Modes along each edge; 0 takes 40 for a cylinder and 20 for a brick, which leave less than
        0.01 K on bags of growers' sizes, and 0.1 K in the first minutes of a new slope.

    Raises
    ------
    InputError
        If a length or a property is not above 0, or so odd that the series cannot be formed.
    """
    _check(shape, material)
    if isinstance(shape, Cylinder):
        core, mean, rates, whole = _cylinder(shape, material, count or MODES)
    else:
        core, mean, rates, whole = _brick(shape, material, count or BRICK_MODES)
    order = np.argsort(rates)
    core, mean, rates = core[order], mean[order], rates[order]
    return Modes(core, mean, rates, whole - float(np.sum(core / rates)), whole)


def _cylinder(
    shape: Cylinder, material: Material, count: int
) -> tuple[Values, Values, Values, float]:
    half = shape.height / 2
    h_over_k = material.surface / material.conductivity
    zeta_r = cylinder_roots(h_over_k * shape.radius, count)
    zeta_z = slab_roots(h_over_k * half, count)
    c_r, c_z = cylinder_weights(zeta_r), slab_weights(zeta_z)
    a, b = zeta_r / shape.radius, zeta_z / half
    core = c_r[:, None] * c_z
    mean = core * (2.0 * j1(zeta_r) / zeta_r)[:, None] * (np.sin(zeta_z) / zeta_z)
    rates = material.diffusivity * (a[:, None] ** 2 + b**2)
    biot = h_over_k * shape.radius
    lag = shape.radius**2 * (0.25 + 0.5 / biot)
    lag -= float(np.sum(c_r * along(a, half, h_over_k) / a**2))
    return core.ravel(), mean.ravel(), rates.ravel(), lag / material.diffusivity


def _brick(shape: Brick, material: Material, count: int) -> tuple[Values, Values, Values, float]:
    halves = [edge / 2 for edge in (shape.length, shape.width, shape.height)]
    h_over_k = material.surface / material.conductivity
    zetas = [slab_roots(h_over_k * half, count) for half in halves]
    weights = [slab_weights(zeta) for zeta in zetas]
    b = [zeta / half for zeta, half in zip(zetas, halves, strict=True)]
    means = [d * np.sin(z) / z for d, z in zip(weights, zetas, strict=True)]
    core = weights[0][:, None, None] * weights[1][:, None] * weights[2]
    mean = means[0][:, None, None] * means[1][:, None] * means[2]
    rates = material.diffusivity * (b[0][:, None, None] ** 2 + b[1][:, None] ** 2 + b[2] ** 2)
    lag = halves[0] ** 2 * (0.5 + 1.0 / (h_over_k * halves[0]))
    lag -= float(np.sum(weights[0] * along(b[0], halves[1], h_over_k) / b[0] ** 2))
    pair = np.sqrt(b[0][:, None] ** 2 + b[1] ** 2)
    both = weights[0][:, None] * weights[1]
    lag -= float(np.sum(both * along(pair, halves[2], h_over_k) / pair**2))
    return core.ravel(), mean.ravel(), rates.ravel(), lag / material.diffusivity


def along(rate: Values, half: Values | float, h_over_k: Values | float) -> Values:
    """Return ``1 / (cosh aL + (k/h) a sinh aL)``: what of a mode's ramp reaches the other edges.

    Parameters
    ----------
    rate : ndarray
        Mode over length, a. [1/m]
    half : array_like
        Half the other edge, L. [m]
    h_over_k : array_like
        Surface coefficient over conductivity. [1/m]
    """
    angle = np.minimum(rate * half, COSH_LIMIT)
    found: Values = 1.0 / (np.cosh(angle) + rate / h_over_k * np.sinh(angle))
    return found


def core_curve(modes: Modes, seconds: ArrayLike, chamber_c: ArrayLike, start_c: float) -> Values:
    """Return the core temperature at the chamber's readings.

    Parameters
    ----------
    modes : Modes
        Of the body.
    seconds : array_like, shape (n,)
        Times of the readings, rising. [s]
    chamber_c : array_like, shape (n,)
        Chamber temperature, linear between the readings. [degC]
    start_c : float
        Temperature of the whole body at the first reading. [degC]

    Returns
    -------
    ndarray, shape (n,)
        [degC]

    Raises
    ------
    InputError
        If there are fewer than two readings, times do not rise, or a value is missing.
    """
    t, chamber = checked_curve(seconds, chamber_c)
    trailing = _trailing(modes.core, modes, t, chamber, start_c)
    slopes = np.diff(chamber) / np.diff(t)
    core: Values = chamber - trailing
    core[1:] -= modes.lag * slopes
    core[0] = start_c
    coldest = np.minimum(start_c, np.minimum.accumulate(chamber))
    hottest = np.maximum(start_c, np.maximum.accumulate(chamber))
    return np.clip(core, coldest, hottest)  # as nature has it; the series ripples at first


def mean_curve(modes: Modes, seconds: ArrayLike, chamber_c: ArrayLike, start_c: float) -> Values:
    """Return the mean temperature of the body; as :func:`core_curve`."""
    t, chamber = checked_curve(seconds, chamber_c)
    mean: Values = chamber - _trailing(modes.mean, modes, t, chamber, start_c)
    mean[0] = start_c
    return mean


def _trailing(weights: Values, modes: Modes, t: Values, chamber: Values, start_c: float) -> Values:
    """Return how far the kept modes trail the chamber at each reading, in K."""
    steps = np.diff(t)
    slopes = np.diff(chamber) / steps
    first = chamber[0] - start_c
    if np.ptp(steps) <= SAME_STEP * steps[0]:
        fall = decay(weights, modes.rates, steps[0], len(t))
        ramp = decay(weights / modes.rates, modes.rates, steps[0], len(t))
        kernel = ramp[:-1] - ramp[1:]
        trailing: Values = first * fall
        trailing[1:] += oaconvolve(slopes, kernel)[: len(steps)]
        return trailing
    y = np.full(len(weights), first)
    trailing = np.empty(len(t))
    trailing[0] = weights @ y
    factors = np.exp(-modes.rates * steps[:, None])
    gains = slopes[:, None] * (1.0 - factors) / modes.rates
    for i, (factor, gain) in enumerate(zip(factors, gains, strict=True), start=1):
        y = y * factor + gain
        trailing[i] = weights @ y
    return trailing


def decay(weights: Values, rates: Values, step: float, count: int) -> Values:
    """Return ``sum(w exp(-rate k step))`` for k from 0 to ``count - 1``.

    Fast modes are left out as soon as they are gone, so most of the row costs a few modes only.

    Parameters
    ----------
    weights, rates : ndarray, shape (..., n)
        Rates rising along the last axis, roughly at least: the better, the quicker. [1/s]
    step : float
        [s]
    count : int
        How many times.

    Returns
    -------
    ndarray, shape (..., count)
    """
    found = np.empty((*np.broadcast_shapes(weights.shape, rates.shape)[:-1], count))
    found[..., 0] = weights.sum(axis=-1)
    factor = np.exp(-rates * step)
    now = weights * factor
    slowest = rates.min(axis=tuple(range(rates.ndim - 1)))
    begin = 1
    while begin < count:
        end = min(2 * begin, count)
        staying = np.flatnonzero(slowest * (step * begin) < GONE)
        if len(staying) == 0:
            found[..., begin:] = 0.0
            break
        alive = int(staying[-1]) + 1
        now, factor = now[..., :alive].copy(), factor[..., :alive].copy()
        if now.ndim == 1:
            powers = np.exp(-np.outer(rates[:alive] * step, np.arange(begin, end)))
            found[begin:end] = weights[:alive] @ powers
        else:
            for k in range(begin, end):
                now.sum(axis=-1, out=found[..., k])
                now *= factor
        begin = end
    return found


def checked_curve(seconds: ArrayLike, chamber_c: ArrayLike) -> tuple[Values, Values]:
    """Return times and temperatures as arrays, refused if they make no curve."""
    t, chamber = np.asarray(seconds, dtype=float64), np.asarray(chamber_c, dtype=float64)
    if t.ndim != 1 or t.shape != chamber.shape or len(t) < FEWEST:
        raise InputError("readings", f"{t.shape} and {chamber.shape}", "two or more pairs")
    if not np.all(np.isfinite(t)) or not np.all(np.isfinite(chamber)):
        raise InputError("readings", "a missing value", "a number at every time")
    if np.any(np.diff(t) <= 0.0):
        raise InputError("seconds", "times that do not rise", "each later than the one before")
    return t, chamber


def _check(shape: Shape, material: Material) -> None:
    for record in (shape, material):
        for name in record.__slots__:
            value = getattr(record, name)
            if not np.isfinite(value) or value <= 0.0:
                raise InputError(name, value, "a number above 0")
