"""Cores of many cylinders at once, each conducting as a law of its own says.

Rings and slices of the upper half, backward differences of second order, all cylinders in one
banded system a step. Conductivity and start differ from one to the next, as does the chamber.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy import float64
from numpy.typing import NDArray
from scipy.linalg.lapack import dpbsv

Values = NDArray[float64]

RINGS, SLICES = 8, 6
COLDEST_C, HOTTEST_C, EACH_K = -40.0, 200.0, 0.5
TABLE_C = np.arange(COLDEST_C, HOTTEST_C + EACH_K, EACH_K)
"""Temperatures at which a conductivity is given, linear between them. [degC]"""


@dataclass(frozen=True, slots=True)
class Bodies:
    """Cylinders of one size, as many as there are laws."""

    radius: float  # [m]
    height: float  # [m]
    heat_capacity: float  # [J/(m3 K)]
    conductivity: Values  # shape (laws, len(TABLE_C)) [W/(m K)]
    surface: Values  # coefficient, shape (laws,) [W/(m2 K)]

    def at(self, celsius: Values) -> Values:
        """Return their fields at one temperature each, shape (laws, RINGS, SLICES), in degC."""
        return np.repeat(celsius, RINGS * SLICES).reshape(len(celsius), RINGS, SLICES)


def core_of(field: Values) -> Values:
    """Return the middle of each field, shape (laws,), in degC."""
    axis = (9.0 * field[:, 0] - field[:, 1]) / 8.0
    return np.asarray((9.0 * axis[:, 0] - axis[:, 1]) / 8.0)


def marched(
    bodies: Bodies, field: Values, step_s: float, chamber_c: Values
) -> tuple[Values, Values]:
    """Return the cores, shape (laws, steps), and the fields at last, in degC.

    Parameters
    ----------
    bodies : Bodies
        What is heated.
    field : ndarray, shape (laws, RINGS, SLICES)
        At the first of the times. [degC]
    step_s : float
        Between times, even. [s]
    chamber_c : ndarray, shape (steps,) or (laws, steps)
        At these times. [degC]
    """
    laws = len(bodies.surface)
    around = np.broadcast_to(chamber_c, (laws, np.shape(chamber_c)[-1]))
    dr, dz = bodies.radius / RINGS, bodies.height / 2.0 / SLICES
    edges = dr * np.arange(RINGS + 1)
    areas = np.diff(edges**2) / 2.0  # over 2 pi
    stored = np.broadcast_to((bodies.heat_capacity * areas * dz / step_s)[:, None], (RINGS, SLICES))
    inner = edges[1:-1, None] * dz / dr / 2.0  # of two conductivities' sum
    above = areas[:, None] / dz / 2.0
    rim, lid = edges[-1] * dz, areas
    skin = (1.0 / bodies.surface)[:, None]
    rows = np.arange(laws)[:, None, None] * len(TABLE_C)
    table = np.ascontiguousarray(bodies.conductivity).ravel()
    earlier = field
    band = np.zeros((SLICES + 1, laws * RINGS * SLICES))
    found = np.empty(around.shape)
    found[:, 0] = core_of(field)
    for step in range(1, around.shape[1]):
        is_first = step == 1
        guess = field if is_first else 2.0 * field - earlier
        place = (np.clip(guess, COLDEST_C, HOTTEST_C - EACH_K) - COLDEST_C) / EACH_K
        below = place.astype(np.int64)
        share = place - below
        below += rows
        k = table[below] * (1.0 - share) + table[below + 1] * share
        outward = inner * (k[:, 1:] + k[:, :-1])
        upward = above * (k[:, :, 1:] + k[:, :, :-1])
        side = rim / (skin + dr / 2.0 / k[:, -1])
        top = lid / (skin + dz / 2.0 / k[:, :, -1])
        diagonal = (1.0 if is_first else 1.5) * stored + np.zeros_like(k)
        diagonal[:, :-1] += outward
        diagonal[:, 1:] += outward
        diagonal[:, :, :-1] += upward
        diagonal[:, :, 1:] += upward
        diagonal[:, -1] += side
        diagonal[:, :, -1] += top
        known = stored * (field if is_first else 2.0 * field - 0.5 * earlier)
        now_c = around[:, step, None]
        known[:, -1] += side * now_c
        known[:, :, -1] += top * now_c
        lower = np.zeros_like(k)
        lower[:, :, :-1] = -upward
        farther = np.zeros_like(k)
        farther[:, :-1] = -outward
        band[0], band[1], band[SLICES] = diagonal.ravel(), lower.ravel(), farther.ravel()
        band[2:SLICES] = 0.0
        _, solved, _ = dpbsv(band, known.ravel(), lower=1)
        earlier, field = field, solved.reshape(field.shape)
        found[:, step] = core_of(field)
    return found, field
