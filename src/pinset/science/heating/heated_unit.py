"""One unit of a load under its chamber: by conduction alone, or with what vapour carries too.

By conduction the series of :mod:`~pinset.science.heating.heating` is exact. Where vapour helps, the
conductivity rises with the temperature, and the core is found on the rings of
:mod:`~pinset.science.heating.grid`, over the upper half only: both halves heat alike. On the bag
of 15 cm by 20 cm of the reference notes (section 5) the times to 95 degC and to F0 of 15 min lie
within 1 min and 2 % of the figures there.

A bag pressed square has no rings. It is taken as the cylinder of its height whose slowest mode
falls as fast; by conduction alone F0 of 15 min then comes 0.5 % early to 1.2 % late on bags from
1 : 1 to 3.3 : 1 across.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from math import hypot

import numpy as np
from numpy import float64
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.special import jn_zeros

from pinset.science.heating.conduction import cylinder_roots, slab_roots
from pinset.science.heating.grid import Face, heat_on_grid
from pinset.science.heating.grid_cells import Layer, Vessel
from pinset.science.heating.heating import (
    Cylinder,
    Material,
    Modes,
    Shape,
    checked_curve,
    core_curve,
    modes_of,
)
from pinset.science.heating.vapour import mean_vapour_conductivity, vapour_function

Values = NDArray[float64]

CELLS = (12, 12)
STEP_S = 120.0  # between what the grid is given and what it finds
FIRST_ROOT = float(jn_zeros(0, 1)[0])  # of the Bessel function of a cylinder's slowest mode
LEAST_SHARE = 1e-3  # of the widest ring: narrower ones are not looked at
CLOSED = Face(0.0)


@dataclass(frozen=True, slots=True)
class Conducting:
    """A unit of one conductivity."""

    shape: Shape
    material: Material

    def core(self, seconds: Values, chamber_c: Values, start_c: float) -> Values:
        """Return the core under a chamber, shape (n,), in degC."""
        return core_curve(_modes(self.shape, self.material), seconds, chamber_c, start_c)


@dataclass(frozen=True, slots=True)
class Moist:
    """A unit through which vapour carries heat. An estimate until a log has been fitted."""

    shape: Shape
    material: Material  # its conductivity without what vapour carries
    free_air: float  # air-filled share times tortuosity factor, above 0, to 1
    pressure_kpa: float  # of the chamber while it holds, absolute

    def core(self, seconds: Values, chamber_c: Values, start_c: float) -> Values:
        """Return the core under a chamber, shape (n,), in degC; linear over two minutes."""
        seconds, chamber_c = checked_curve(seconds, chamber_c)
        span = float(seconds[-1] - seconds[0])
        times = seconds[0] + np.linspace(0.0, span, max(2, 1 + int(np.ceil(span / STEP_S))))
        ring = ring_of(self.shape, self.material)
        conducts = vapour_function(self.material.conductivity, self.free_air, self.pressure_kpa)
        half = Layer(ring.height / 2.0, conducts, self.material.heat_capacity)
        heated = heat_on_grid(
            Vessel(ring.radius, (half,)),
            times,
            np.interp(times, seconds, chamber_c),
            start_c,
            side=Face(self.material.surface),
            top=Face(self.material.surface),
            bottom=CLOSED,
            cells=CELLS,
            step=STEP_S,
            extrapolate=False,
        )
        return np.interp(seconds, times, heated.at(0.0, 0.0))

    def evened(self, from_c: float, to_c: float) -> Conducting:
        """Return a unit of the mean conductivity between two temperatures, in degC.

        Its core is some minutes early at first and late at last; where one conductivity must do.
        """
        mean = mean_vapour_conductivity(
            from_c, to_c, self.material.conductivity, self.free_air, self.pressure_kpa
        )
        return Conducting(self.shape, replace(self.material, conductivity=mean))


Unit = Conducting | Moist


def unit_of(shape: Shape, material: Material, free_air: float, pressure_kpa: float) -> Unit:
    """Return a unit; without free air it conducts only.

    Parameters
    ----------
    shape, material : Shape, Material
        Of the filled part, and its stuff without what vapour carries.
    free_air : float
        Of :mod:`~pinset.science.heating.vapour`, 0 to 1. [1]
    pressure_kpa : float
        Of the chamber while it holds. [kPa absolute]
    """
    if free_air <= 0.0:
        return Conducting(shape, material)
    return Moist(shape, material, free_air, pressure_kpa)


def ring_of(shape: Shape, material: Material) -> Cylinder:
    """Return the cylinder a unit is reckoned as: itself, or one that falls as fast as the brick."""
    if isinstance(shape, Cylinder):
        return shape
    h_over_k = material.surface / material.conductivity
    across = hypot(*(_slowest_slab(edge / 2.0, h_over_k) for edge in (shape.length, shape.width)))

    def faster(radius: float) -> float:
        return float(cylinder_roots(h_over_k * radius, 1)[0]) / radius - across

    widest = FIRST_ROOT / across  # with its face held at its ambient
    return Cylinder(float(brentq(faster, LEAST_SHARE * widest, widest)), shape.height)


def _slowest_slab(half: float, h_over_k: float) -> float:
    return float(slab_roots(h_over_k * half, 1)[0]) / half


@lru_cache(maxsize=64)
def _modes(shape: Shape, material: Material) -> Modes:
    return modes_of(shape, material)
