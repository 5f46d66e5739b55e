"""Finite volumes of their own: a cylinder's core by rings and slices, one direction at a time.

Nothing of it comes from the code it is held against: backward steps of twenty seconds, split into a
radial and an axial one (N. N. Yanenko's fractional steps; memory), conductivity of the step before.
Vapour by the formula of the reference notes with an ideal gas over the saturation line of the
``iapws`` package.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

import numpy as np
from iapws.iapws97 import _PSat_T
from numpy import float64
from numpy.typing import NDArray
from scipy.linalg import solve_banded

Values = NDArray[float64]
KELVIN = 273.15
GAS = 8.314462618 / 0.018015268  # of water vapour, J/(kg K)
RINGS, SLICES = 14, 14
STEP_S = 20.0


@lru_cache
def _carried() -> tuple[Values, Values, Values]:
    """Return degC, what vapour adds a unit of free air at 101.325 kPa before the air, and kPa."""
    celsius = np.arange(1.0, 131.0)
    kelvin = celsius + KELVIN
    kpa = np.array([_PSat_T(each) * 1000.0 for each in kelvin])
    density = 1000.0 * kpa / (GAS * kelvin)
    condensing = 2.501e6 - 2380.0 * celsius  # J/kg, linear: Handbook; memory
    diffusivity = 2.1e-5 * (kelvin / KELVIN) ** 1.81
    return celsius, diffusivity * condensing * np.gradient(density, celsius), kpa


def moist(base: float, free_air: float, pressure_kpa: float) -> Callable[[Values], Values]:
    """Return a conductivity with what vapour carries, as the reference notes have it."""
    celsius, carried, kpa = _carried()
    air = np.maximum(pressure_kpa - kpa, 0.02 * pressure_kpa)
    adds = free_air * carried * 101.325 / pressure_kpa * pressure_kpa / air
    whole = np.minimum(base + adds, 20.0)
    return lambda field: np.interp(field, celsius, whole)


def core(
    radius: float,
    height: float,
    conducts: Callable[[Values], Values],
    heat_capacity: float,
    surface: float,
    minutes: Values,
    chamber_c: Values,
    start_c: float,
) -> Values:
    """Return the core at these minutes, chamber linear between them."""
    dr, dz = radius / RINGS, height / 2.0 / SLICES
    edges = dr * np.arange(RINGS + 1)
    areas = np.diff(edges**2) / 2.0  # over 2 pi
    field = np.full((RINGS, SLICES), float(start_c))
    steps = np.arange(0.0, 60.0 * minutes[-1] + STEP_S / 2.0, STEP_S)
    around = np.interp(steps / 60.0, minutes, chamber_c)
    found = [start_c]
    stored_r = np.repeat((heat_capacity * areas)[:, None], SLICES, axis=1) / STEP_S
    stored_z = np.full((SLICES, RINGS), heat_capacity * dz / STEP_S)
    for now_c in around[1:]:
        k = conducts(field)
        passes = edges[1:-1, None] * (k[1:] + k[:-1]) / 2.0 / dr
        skin = radius / (1.0 / surface + dr / 2.0 / k[-1])
        field = _line(field, stored_r, passes, skin, now_c)
        k = conducts(field).T
        passes = (k[1:] + k[:-1]) / 2.0 / dz
        skin = 1.0 / (1.0 / surface + dz / 2.0 / k[-1])
        field = _line(field.T, stored_z, passes, skin, now_c).T
        axis = (9.0 * field[0] - field[1]) / 8.0
        found.append((9.0 * axis[0] - axis[1]) / 8.0)
    return np.interp(minutes, steps / 60.0, found)


def _line(field: Values, stored: Values, passes: Values, skin: Values, around_c: float) -> Values:
    """Return a field after a backward step along its first direction, all lines at once."""
    count = field.size
    low, high = np.zeros_like(field), np.zeros_like(field)
    low[1:], high[:-1] = passes, passes
    diagonal = stored + low + high
    diagonal[-1] += skin
    right = stored * field
    right[-1] += skin * around_c
    band = np.zeros((3, count))
    band[0, 1:] = -high.T.ravel()[:-1]
    band[1] = diagonal.T.ravel()
    band[2, :-1] = -low.T.ravel()[1:]
    solved = solve_banded((1, 1), band, right.T.ravel(), check_finite=False)
    return np.asarray(solved.reshape(field.T.shape).T)
