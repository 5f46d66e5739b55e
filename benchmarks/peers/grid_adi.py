"""A bag on a grid: alternating directions (Peaceman and Rachford), finite volumes, compiled.

Half the height of a cylinder, cells of even width, a convective face at the side and the top.
"""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy import float64
from numpy.typing import NDArray

Values = NDArray[float64]


@njit(cache=True)
def _solve(below: Values, middle: Values, above: Values, right: Values, work: Values) -> None:
    """Thomas's rule for one line; ``right`` becomes the solution."""
    count = middle.shape[0]
    work[0] = above[0] / middle[0]
    right[0] /= middle[0]
    for i in range(1, count):
        pivot = middle[i] - below[i] * work[i - 1]
        work[i] = above[i] / pivot
        right[i] = (right[i] - below[i] * right[i - 1]) / pivot
    for i in range(count - 2, -1, -1):
        right[i] -= work[i] * right[i + 1]


@njit(cache=True)
def core(
    radius: float,
    height: float,
    k: float,
    capacity: float,
    h: float,
    seconds: Values,
    chamber: Values,
    start: float,
    nr: int,
    nz: int,
) -> Values:
    """Return the temperature at the core at each reading."""
    dr, dz = radius / nr, height / 2 / nz
    # flows out of a cell over its capacity, per kelvin: inner and outer face, lower and upper
    inner, outer = np.zeros(nr), np.zeros(nr)
    for i in range(nr):
        ring = np.pi * (((i + 1) * dr) ** 2 - (i * dr) ** 2)
        inner[i] = 2 * np.pi * i * dr * k / dr / (ring * capacity)
        face = k / dr if i < nr - 1 else 1.0 / (1.0 / h + dr / 2 / k)
        outer[i] = 2 * np.pi * (i + 1) * dr * face / (ring * capacity)
    lower, upper = np.full(nz, k / dz**2 / capacity), np.full(nz, k / dz**2 / capacity)
    lower[0] = 0.0
    upper[nz - 1] = 1.0 / (1.0 / h + dz / 2 / k) / dz / capacity
    now = np.full((nr, nz), start)
    half = np.empty((nr, nz))
    found = np.empty(len(seconds))
    found[0] = start
    below_r, middle_r, above_r = np.empty(nr), np.empty(nr), np.empty(nr)
    below_z, middle_z, above_z = np.empty(nz), np.empty(nz), np.empty(nz)
    line_r, work_r, line_z, work_z = np.empty(nr), np.empty(nr), np.empty(nz), np.empty(nz)
    for n in range(1, len(seconds)):
        dt = (seconds[n] - seconds[n - 1]) / 2
        before, middle, after = chamber[n - 1], (chamber[n - 1] + chamber[n]) / 2, chamber[n]
        for i in range(nr):
            below_r[i], above_r[i] = -dt * inner[i], -dt * outer[i]
            middle_r[i] = 1.0 + dt * (inner[i] + outer[i])
        above_r[nr - 1] = 0.0
        for j in range(nz):
            below_z[j], above_z[j] = -dt * lower[j], -dt * upper[j]
            middle_z[j] = 1.0 + dt * (lower[j] + upper[j])
        above_z[nz - 1] = 0.0
        for j in range(nz):
            for i in range(nr):
                down = now[i, j - 1] if j else now[i, j]
                up = now[i, j + 1] if j < nz - 1 else before
                flow = lower[j] * (down - now[i, j]) + upper[j] * (up - now[i, j])
                line_r[i] = now[i, j] + dt * flow
            line_r[nr - 1] += dt * outer[nr - 1] * middle
            _solve(below_r, middle_r, above_r, line_r, work_r)
            half[:, j] = line_r
        for i in range(nr):
            for j in range(nz):
                inside = half[i - 1, j] if i else half[i, j]
                outside = half[i + 1, j] if i < nr - 1 else middle
                flow = inner[i] * (inside - half[i, j]) + outer[i] * (outside - half[i, j])
                line_z[j] = half[i, j] + dt * flow
            line_z[nz - 1] += dt * upper[nz - 1] * after
            _solve(below_z, middle_z, above_z, line_z, work_z)
            now[i, :] = line_z
        # the core lies half a cell below and inside the first: drawn on by the parabola of both
        along_r = now[0, 0] + (now[0, 0] - now[1, 0]) / 8
        found[n] = along_r + (now[0, 0] - now[0, 1]) / 8
    return found
