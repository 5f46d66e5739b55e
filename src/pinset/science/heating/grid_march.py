"""One grid of rings from reading to reading.

Each step is R. Alexander's two-stage method for stiff systems (Diagonally implicit Runge-Kutta
methods for stiff O.D.E.'s, SIAM Journal on Numerical Analysis 14 (1977) 1006-1021; memory): second
order like Crank and Nicolson, yet what is fast dies out instead of ringing. So a load may be put
into a hot chamber, and thin air may stand beside wet grain, without a start in another method. The
whole field is solved at once, so there is no error of alternating directions where faces differ.
Both stages share one matrix: banded, symmetric and positive, factored by Cholesky only when a
property or a surface coefficient changes.

Properties that change with temperature are taken at the middle of a step, foreseen from the step
before and looked at again until it is foreseen well. A step in which a ring changes by more than a
few kelvins (a cold load put into a hot chamber, a front of vapour) is cut in two. What the heat
capacity of the middle leaves of the heat that came in is handed on to the next step, so none
is lost. What came through the faces is summed with the weights of the stages.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from itertools import pairwise

import numpy as np
from numpy import float64
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline
from scipy.linalg import cho_solve_banded, cholesky_banded

from pinset.science.heating.grid_cells import Cells, Passing, passing

Values = NDArray[float64]

GAMMA = 1.0 - 0.5**0.5
ENTHALPY_POINTS = 2001
CLOSE = 0.2  # K; how well the middle of a step must be foreseen
MOST_PASSES = 4  # of a step, to foresee it better
MOST_CHANGE = 8.0  # K in one step anywhere, where properties change
MOST_PARTS = 64  # a step is cut into for that
SAME_STEP = 1e-9  # relative; steps that differ by less are one


@dataclass(frozen=True, slots=True)
class Drive:
    """The chamber, and what works on the faces; rows are side, top and bottom."""

    seconds: Values  # (n,)
    chamber: Values  # (n,) degC
    ambient: Values  # (3, n) at the readings, linear between them, degC
    surface: Values  # (3, n - 1) between the readings, W/(m2 K)

    def span(self, start_c: float) -> tuple[float, float]:
        """Return the lowest and highest temperature anything can take, in degC."""
        return min(float(self.ambient.min()), start_c), max(float(self.ambient.max()), start_c)


@dataclass(frozen=True, slots=True)
class Track:
    """What one grid found, at the readings."""

    cells: Cells
    span: tuple[float, float]  # degC; lowest and highest of start and surroundings
    field: Values  # (n, slices, rings) degC
    heat_in: Values  # (3, n) through side, top and bottom since the first reading, J
    stored: Values  # (n,) since the first reading, J

    def at(self, radius: float, height: float) -> Values:
        """Return the temperature at a place, shape (n,), in degC."""
        rows, weights = self.cells.weights(radius, height)
        found: Values = np.einsum("nzr,zr->n", self.field[:, rows], weights)
        return found

    def mean(self) -> Values:
        """Return the mean over the load, shape (n,), in degC."""
        volume = self.cells.volume[self.cells.is_load]
        loads = self.field[:, self.cells.is_load]
        found: Values = np.einsum("nzr,zr->n", loads, volume) / volume.sum()
        return found


class _Heat:
    """Heat in the rings, for heat capacities that change with temperature or not."""

    def __init__(self, cells: Cells, span: tuple[float, float]) -> None:
        self.cells = cells
        points = np.linspace(span[0], max(span[1], span[0] + 1.0), ENTHALPY_POINTS)
        self.kept: list[Callable[[Values], Values]] = []
        for layer in cells.vessel.layers:
            if callable(layer.heat_capacity):
                capacity = np.broadcast_to(layer.at(points, "heat_capacity"), points.shape)
                self.kept.append(CubicSpline(points, capacity).antiderivative())
            else:
                self.kept.append(partial(np.multiply, layer.heat_capacity))

    def between(self, field: Values, before: Values) -> Values:
        """Return what each ring took up from one field to another, shape (..., rings), in J."""
        found = np.empty(np.broadcast_shapes(field.shape, before.shape))
        for kept, rows in zip(self.kept, self.cells.rows, strict=True):
            found[..., rows, :] = kept(field[..., rows, :]) - kept(before[..., rows, :])
        found *= self.cells.volume
        return found


class _System:
    """Matrix and drive of one step, kept while nothing changes."""

    def __init__(self, cells: Cells, span: tuple[float, float]) -> None:
        self.cells = cells
        self.span = span
        layers = cells.vessel.layers
        self.has_one_capacity = not any(callable(each.heat_capacity) for each in layers)
        self.is_fixed = self.has_one_capacity and not any(
            callable(each.conductivity) for each in layers
        )
        self._faces: tuple[float, ...] = ()
        self._step = 0.0

    def set(self, field: Values, step: float, surface: Values) -> None:
        """Form and factor the matrix for properties at a field, if it is not the same."""
        wanted = (float(surface[0]), float(surface[1]), float(surface[2]))
        is_same_step = abs(step - self._step) <= SAME_STEP * step
        if self.is_fixed and self._faces == wanted and is_same_step:
            return
        self._faces, self._step = wanted, step
        field = np.clip(field, *self.span)
        self.between = passing(self.cells, self.cells.spread(field, "conductivity"), *wanted)
        capacity = self.cells.volume * self.cells.spread(field, "heat_capacity")
        self.capacity = capacity / (GAMMA * step)
        self.factor = cholesky_banded(self._band(), lower=True, check_finite=False)

    def _band(self) -> Values:
        slices, rings = self.cells.shape
        on: Passing = self.between
        diagonal = self.capacity.copy()
        diagonal[:, 1:] += on.inward
        diagonal[:, :-1] += on.inward
        diagonal[1:] += on.upward
        diagonal[:-1] += on.upward
        diagonal[:, -1] += on.side
        diagonal[-1] += on.top
        diagonal[0] += on.bottom
        band = np.zeros((rings + 1, slices, rings))
        band[0] = diagonal
        band[1, :, :-1] = -on.inward
        band[rings, :-1] = -on.upward
        return band.reshape(rings + 1, slices * rings)

    def _solve(self, load: Values, ambient: Values) -> tuple[Values, Values]:
        """Return the field of a stage, and the heat that enters by each face, in W."""
        side, top, bottom = ambient
        drive = load.copy()
        drive[:, -1] += self.between.side * side
        drive[-1] += self.between.top * top
        drive[0] += self.between.bottom * bottom
        flat = cho_solve_banded((self.factor, True), drive.ravel(), check_finite=False)
        field: Values = flat.reshape(self.cells.shape)
        entering = (
            self.between.side @ (side - field[:, -1]),
            self.between.top @ (top - field[-1]),
            self.between.bottom @ (bottom - field[0]),
        )
        return field, np.array(entering)

    def step(self, field: Values, stages: Values, owed: Values) -> tuple[Values, Values]:
        """Return the field after a step, and the heat that came in by each face, in J.

        Parameters
        ----------
        field : ndarray
            Before it. [degC]
        stages : ndarray, shape (2, 3)
            Ambient of the faces at both stages. [degC]
        owed : ndarray
            Heat that came to each ring in the steps before and does not show in its temperature
            yet. [J]
        """
        load = self.capacity * field + owed / self._step
        first, entering_first = self._solve(load, stages[0])
        load += (1.0 - GAMMA) / GAMMA * self.capacity * (first - field)
        second, entering = self._solve(load, stages[1])
        return second, self._step * ((1.0 - GAMMA) * entering_first + GAMMA * entering)

    def owed(self, heat: _Heat, after: Values, before: Values, owed: Values) -> Values:
        """Return the heat of a step that its heat capacity, taken at its middle, did not show."""
        if self.has_one_capacity:
            return owed
        given = self.capacity * (GAMMA * self._step) * (after - before)
        return given - heat.between(after, before)


class _Course:
    """A grid on its way: where it is, where it was, and what has come in."""

    def __init__(self, cells: Cells, drive: Drive, start_c: float) -> None:
        span = drive.span(start_c)
        self.heat, self.system = _Heat(cells, span), _System(cells, span)
        self.now = self.before = np.full(cells.shape, start_c)
        self.last = np.inf
        self.owed = np.zeros(cells.shape)
        self.came = np.zeros(3)

    def step(self, stages: Values, size: float, surface: Values) -> tuple[Values, Values]:
        """Return the field after a step and what came in, not yet taken over."""
        system = self.system
        middle = self.now + size / (2.0 * self.last) * (self.now - self.before)
        for _ in range(MOST_PASSES):
            system.set(middle, size, surface)
            after, entered = system.step(self.now, stages, self.owed)
            guess, middle = middle, (self.now + after) / 2.0
            if system.is_fixed or np.abs(middle - guess).max() <= CLOSE:
                break
        return after, entered

    def is_even(self, after: Values) -> bool:
        """Whether properties can be taken as constant in a step that ends so."""
        return self.system.is_fixed or float(np.abs(after - self.now).max()) <= MOST_CHANGE

    def take(self, after: Values, entered: Values, size: float) -> None:
        """Go on to the field after a step."""
        self.owed = self.system.owed(self.heat, after, self.now, self.owed)
        self.now, self.before, self.last = after, self.now, size
        self.came += entered


def march(cells: Cells, drive: Drive, start_c: float, step: float, finer: int = 1) -> Track:
    """Return what one grid finds at the readings.

    Parameters
    ----------
    cells : Cells
        The rings.
    drive : Drive
        Ambients and surface coefficients.
    start_c : float
        Of everything at the first reading. [degC]
    step : float
        The longest step; readings further apart are divided evenly. [s]
    finer : int
        Steps where there would be one.
    """
    course = _Course(cells, drive, start_c)
    fields = np.empty((len(drive.seconds), *cells.shape))
    fields[0] = course.now
    heat_in = np.zeros((3, len(drive.seconds)))
    rise = np.diff(drive.ambient)
    for n, length in enumerate(np.diff(drive.seconds)):
        count = finer * max(1, int(np.ceil(length / step * (1.0 - SAME_STEP))))
        todo = list(pairwise(np.linspace(1.0, 0.0, count + 1)))
        while todo:
            end, begin = todo.pop()
            size = float((end - begin) * length)
            places = begin + (end - begin) * np.array([GAMMA, 1.0])
            stages = drive.ambient[:, n] + places[:, None] * rise[:, n]
            after, entered = course.step(stages, size, drive.surface[:, n])
            if course.is_even(after) or size * MOST_PARTS < step:
                course.take(after, entered, size)
            else:
                todo += [(end, (begin + end) / 2), ((begin + end) / 2, begin)]
        fields[n + 1] = course.now
        heat_in[:, n + 1] = course.came
    stored = course.heat.between(fields, fields[0]).sum(axis=(1, 2))
    return Track(cells, course.system.span, fields, heat_in, stored)
