"""Rings of a standing vessel: their sizes, and how well heat passes from one to the next.

The vessel is cut into rings of even width from the axis to the wall, and each layer (base, load,
headspace) into an even number of slices. A ring's temperature stands for its middle. Between two
rings of one layer the conductivity is the mean of both, across the bound of two layers half of each
stands in line, and on a face half a ring in line with the surface coefficient, so a face may be
held at its ambient (coefficient infinite) or closed (0).

Second order in the widths: S. V. Patankar, Numerical Heat Transfer and Fluid Flow (1980), ch. 4
(memory).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.errors import InputError

Values = NDArray[float64]
Property = float | Callable[[Values], Values]
"""A number, or a function of the temperature in degC that takes and gives an array."""

FEWEST_CELLS = 4  # across the radius, and in each layer
NEIGHBOURS = 4  # rings a value between them is drawn from


@dataclass(frozen=True, slots=True)
class Layer:
    """What lies from wall to wall between two heights."""

    height: float  # m
    conductivity: Property  # W/(m K)
    heat_capacity: Property  # of a volume, J/(m3 K)
    is_load: bool = True  # no for a base and for headspace: the core is not sought there

    def at(self, celsius: Values, name: str) -> Values | float:
        """Return a property, by name, at temperatures.

        Raises
        ------
        InputError
            If it is not above 0 at one of them.
        """
        value: Property = getattr(self, name)
        if not callable(value):
            return value
        found = np.asarray(value(celsius), dtype=float64)
        is_wrong = ~((found > 0.0) & np.isfinite(found))
        if np.any(is_wrong):
            worst = float(found[is_wrong][0])
            raise InputError(name, worst, "a number above 0 at every temperature met")
        return found


@dataclass(frozen=True, slots=True)
class Vessel:
    """A standing cylinder of layers, from the bottom up."""

    radius: float  # m
    layers: tuple[Layer, ...]

    @property
    def height(self) -> float:
        """Height of all layers in m."""
        return float(sum(layer.height for layer in self.layers))


@dataclass(frozen=True, slots=True)
class Cells:
    """Rings of a vessel; arrays of shape (slices, rings) unless said."""

    vessel: Vessel
    rows: tuple[slice, ...]  # of each layer
    middle_r: Values  # (rings,) m
    middle_z: Values  # (slices,) m
    volume: Values  # m3
    is_load: NDArray[np.bool_]  # (slices,)
    inward: Values  # (slices, rings - 1) area over distance, between rings [m]
    upward: Values  # (slices - 1, rings) the same, between slices [m]
    bounds: NDArray[np.intp]  # slices below a bound of two layers
    ends: Values  # (rings,) area of a ring's face at top and bottom [m2]
    wall: Values  # (slices,) area of the side [m2]
    thickness: Values  # (slices,) m
    width: float  # of a ring, m

    @property
    def shape(self) -> tuple[int, int]:
        """Slices and rings."""
        return self.volume.shape[0], self.volume.shape[1]

    def spread(self, field: Values, name: str) -> Values:
        """Return a property of every ring at its temperature.

        Parameters
        ----------
        field : ndarray, shape (slices, rings)
            Temperatures. [degC]
        name : str
            Of a property of :class:`Layer`.

        Raises
        ------
        InputError
            As :meth:`Layer.at`.
        """
        found = np.empty(self.shape)
        for layer, rows in zip(self.vessel.layers, self.rows, strict=True):
            found[rows] = layer.at(field[rows], name)
        return found

    def weights(self, radius: float, height: float) -> tuple[slice, Values]:
        """Return the slices around a place, and the weights that draw its temperature from them.

        A cubic through four slices of one layer, and one in the square of the radius, which knows
        that the field is even about the axis.

        Returns
        -------
        slice, ndarray
            Of slices, and of shape (4, rings).

        Raises
        ------
        InputError
            If the place lies outside.
        """
        if not 0.0 <= radius <= self.vessel.radius:
            raise InputError("radius", radius, f"0 to {self.vessel.radius:g} m")
        if not 0.0 <= height <= self.vessel.height:
            raise InputError("height", height, f"0 to {self.vessel.height:g} m")
        tops = np.cumsum([layer.height for layer in self.vessel.layers])
        rows = self.rows[min(int(np.searchsorted(tops, height, side="right")), len(tops) - 1)]
        first, along_z = _cubic(self.middle_z[rows], height)
        left, along_r = _cubic(self.middle_r**2, radius**2)
        across = np.zeros(len(self.middle_r))
        across[left : left + NEIGHBOURS] = along_r
        start = rows.start + first
        return slice(start, start + NEIGHBOURS), along_z[:, None] * across


def _cubic(nodes: Values, place: float) -> tuple[int, Values]:
    """Return the first of four nodes around a place, and Lagrange's weights."""
    nearest = int(np.searchsorted(nodes, place)) - NEIGHBOURS // 2
    first = min(max(nearest, 0), len(nodes) - NEIGHBOURS)
    four = nodes[first : first + NEIGHBOURS]
    weights = [
        float(np.prod((place - np.delete(four, i)) / (four[i] - np.delete(four, i))))
        for i in range(NEIGHBOURS)
    ]
    return first, np.array(weights)


def slices_of(vessel: Vessel, count: int) -> tuple[int, ...]:
    """Return how many slices each layer gets of about so many: by its height, never below four."""
    shares = (count * layer.height / vessel.height for layer in vessel.layers)
    return tuple(max(FEWEST_CELLS, round(share)) for share in shares)


def cells_of(vessel: Vessel, rings: int, slices: Sequence[int]) -> Cells:
    """Return the rings of a vessel.

    Parameters
    ----------
    vessel : Vessel
        Sizes and constant properties above 0.
    rings : int
        From axis to wall, 4 or more.
    slices : sequence of int
        Of each layer, 4 or more.

    Raises
    ------
    InputError
        If a length or property is not above 0, there is no load, or there are too few rings.
    """
    _check(vessel)
    if rings < FEWEST_CELLS or min(slices) < FEWEST_CELLS:
        raise InputError("cells", (rings, *slices), f"{FEWEST_CELLS} or more each way")
    heights = [layer.height for layer in vessel.layers]
    thickness = np.repeat(np.array(heights) / np.array(slices), slices)
    ends_at = np.concatenate(([0], np.cumsum(slices)))
    rows = tuple(slice(int(a), int(b)) for a, b in pairwise(ends_at))
    width = vessel.radius / rings
    edges: Values = width * np.arange(rings + 1, dtype=float64)
    middle_r: Values = edges[1:] - width / 2
    ends = np.pi * (edges[1:] ** 2 - edges[:-1] ** 2)
    middles = np.cumsum(thickness) - thickness / 2
    return Cells(
        vessel=vessel,
        rows=rows,
        middle_r=middle_r,
        middle_z=middles,
        volume=thickness[:, None] * ends,
        is_load=np.repeat([layer.is_load for layer in vessel.layers], slices),
        inward=thickness[:, None] * (2.0 * np.pi * edges[1:-1] / width),
        upward=ends / np.diff(middles)[:, None],
        bounds=ends_at[1:-1] - 1,
        ends=ends,
        wall=2.0 * np.pi * vessel.radius * thickness,
        thickness=thickness,
        width=width,
    )


def _check(vessel: Vessel) -> None:
    if not any(layer.is_load for layer in vessel.layers):
        raise InputError("layers", len(vessel.layers), "at least one that is load")
    sizes = [("radius", vessel.radius)]
    for layer in vessel.layers:
        for name in ("height", "conductivity", "heat_capacity"):
            value = getattr(layer, name)
            if not callable(value):
                sizes.append((name, value))
    for name, value in sizes:
        if not np.isfinite(value) or value <= 0.0:
            raise InputError(name, value, "a number above 0")


@dataclass(frozen=True, slots=True)
class Passing:
    """Conductances of all passages for heat, in W/K."""

    inward: Values  # (slices, rings - 1)
    upward: Values  # (slices - 1, rings)
    side: Values  # (slices,)
    top: Values  # (rings,)
    bottom: Values  # (rings,)


def passing(cells: Cells, k: Values, side: float, top: float, bottom: float) -> Passing:
    """Return the conductances at given conductivities and surface coefficients.

    Parameters
    ----------
    cells : Cells
        Rings.
    k : ndarray, shape (slices, rings)
        Conductivity. [W/(m K)]
    side, top, bottom : float
        Surface coefficients, 0 to infinite. [W/(m2 K)]
    """
    upward = cells.upward * ((k[1:] + k[:-1]) / 2.0)
    for low in cells.bounds:
        half_low = cells.thickness[low] / 2 / k[low]
        half_high = cells.thickness[low + 1] / 2 / k[low + 1]
        upward[low] = cells.ends / (half_low + half_high)
    return Passing(
        inward=cells.inward * ((k[:, 1:] + k[:, :-1]) / 2.0),
        upward=upward,
        side=cells.wall / (_resistance(side) + cells.width / 2 / k[:, -1]),
        top=cells.ends / (_resistance(top) + cells.thickness[-1] / 2 / k[-1]),
        bottom=cells.ends / (_resistance(bottom) + cells.thickness[0] / 2 / k[0]),
    )


def _resistance(surface: float) -> float:
    return float(np.inf) if surface == 0.0 else 1.0 / surface
