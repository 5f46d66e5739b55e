"""Temperatures in a bag or jar whose faces, layers or properties differ, on a grid of rings.

For a standing cylinder when the series of :mod:`~pinset.science.heating.heating` does not hold:
side, top and bottom have other surface coefficients or ambients (a base on a shelf), properties
change with temperature, the surface coefficient changes after the steam is shut off, or the load
fills the jar only to a height with air or steam above it. Finite volumes, second order in space
(:mod:`~pinset.science.heating.grid_cells`) and time (:mod:`~pinset.science.heating.grid_march`).
Solved twice, the second time with widths and steps halved, ``(4 fine - coarse) / 3`` removes the
leading error (L. F. Richardson's extrapolation, 1911; memory): on bags and jars of one stuff 0.002
K is left at the core after five minutes, and 0.01 K where air stands above the load, whose edge is
sharp.

The heat that came through the faces is compared with the heat that is stored, so that a slip shows.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy import float64
from numpy.typing import ArrayLike, NDArray

from pinset.errors import InputError
from pinset.science.heating.grid_cells import Cells, Vessel, cells_of, slices_of
from pinset.science.heating.grid_march import Drive, Track, march
from pinset.science.heating.heating import checked_curve

Values = NDArray[float64]

CELLS = (20, 20)
STEP = 60.0  # s
MOST_VALUES = 20_000_000  # readings times rings that are kept: 160 MB
COLDEST_C, HOTTEST_C = -40.0, 200.0  # ambients of a cook
Z_K = 10.0
LEAST_Z_K = 1.0
FLAT = 1e-9  # of the logarithm of lethality: places that gain the same


@dataclass(frozen=True, slots=True)
class Face:
    """What the side, top or bottom stands in."""

    surface: ArrayLike  # coefficient, one or at the readings; 0 closed, inf held [W/(m2 K)]
    ambient_c: ArrayLike | None = None  # at the readings; the chamber's if none [degC]


@dataclass(frozen=True, slots=True)
class Place:
    """A place in the load and its temperature."""

    radius: float  # m from the axis
    height: float  # m above the bottom of the vessel
    curve_c: Values  # at the readings, degC


@dataclass(frozen=True, slots=True)
class Heated:
    """Temperatures of a load at the chamber's readings."""

    seconds: Values
    core: Place  # where the load trails the chamber most: the coldest while it is heated
    least: Place  # where it gains least lethality; a little off the core if the load cools too
    mean_c: Values  # over the load, degC
    warmest_c: Values  # in the load at each reading: when all of it has cooled, degC
    heat_side: Values  # come in through the side since the first reading, J
    heat_top: Values  # J
    heat_bottom: Values  # J
    stored: Values  # above the first reading's, J
    tracks: tuple[Track, ...]  # coarse and fine, or one

    @property
    def imbalance(self) -> float:
        """The most that came in and is not stored, over the most that was stored (1 J at least).

        About 1e-12 for constant properties; below 1e-4 where the heat capacity changes.
        """
        off = self.heat_side + self.heat_top + self.heat_bottom - self.stored
        return float(np.abs(off).max()) / max(1.0, float(np.abs(self.stored).max()))

    @property
    def correction(self) -> float | None:
        """The most that extrapolation moved the core of the fine grid, in K; None for one grid.

        What is left is far less, unless this is large: then take more cells.
        """
        if len(self.tracks) == 1:
            return None
        fine = self.tracks[-1].at(self.core.radius, self.core.height)
        return float(np.abs(self.core.curve_c - fine).max())

    def at(self, radius: float, height: float) -> Values:
        """Return the temperature at a place at the readings.

        Parameters
        ----------
        radius, height : float
            From the axis, and above the bottom of the vessel. [m]

        Returns
        -------
        ndarray, shape (n,)
            [degC]

        Raises
        ------
        InputError
            If the place lies outside the vessel.
        """
        return _at(self.tracks, radius, height)


def heat_on_grid(
    vessel: Vessel,
    seconds: ArrayLike,
    chamber_c: ArrayLike,
    start_c: float,
    *,
    side: Face,
    top: Face,
    bottom: Face,
    cells: tuple[int, int] = CELLS,
    step: float = STEP,
    extrapolate: bool = True,
    z_k: float = Z_K,
) -> Heated:
    """Return the temperatures in a vessel at the chamber's readings.

    Parameters
    ----------
    vessel : Vessel
        Sizes and layers; at least one layer is load.
    seconds, chamber_c : array_like, shape (n,)
        Times, rising [s], and chamber temperature, linear between them. [degC]
    start_c : float
        Of everything at the first reading. [degC]
    side, top, bottom : Face
        Surface coefficients and ambients.
    cells : (int, int)
        Rings from axis to wall, and slices of the whole height, shared out to the layers, each 4 or
        more. With `extrapolate` the second grid has twice as many.
    step : float
        The longest step of time; halved on the second grid. [s]
    extrapolate : bool
        Solve twice and remove the leading error; else once.
    z_k : float
        Rise that makes killing tenfold, by which places are compared. [K]

    Returns
    -------
    Heated
        Core, mean, warmest, heat and the fields.

    Raises
    ------
    InputError
        If a size, property, temperature or coefficient is missing or out of range, times do not
        rise, or there are more readings than can be kept.
    """
    drive = _drive(seconds, chamber_c, (side, top, bottom))
    if not COLDEST_C <= start_c <= HOTTEST_C:
        raise InputError("start_c", start_c, f"{COLDEST_C:g} to {HOTTEST_C:g} degC")
    if not np.isfinite(step) or step <= 0.0:
        raise InputError("step", step, "a number of seconds above 0")
    if not np.isfinite(z_k) or z_k < LEAST_Z_K:
        raise InputError("z_k", z_k, f"{LEAST_Z_K:g} K or more")
    finer = (1, 2) if extrapolate else (1,)
    tracks = tuple(
        march(grid, drive, start_c, step, n)
        for n, grid in zip(finer, _grids(vessel, cells, finer, len(drive.seconds)), strict=True)
    )
    finest = tracks[-1]
    loads = finest.field[:, finest.cells.is_load]
    return Heated(
        seconds=drive.seconds,
        core=_place(tracks, _lag(finest, drive)),
        least=_place(tracks, _gain(finest, drive, z_k)),
        mean_c=_best(tracks, [track.mean() for track in tracks]),
        warmest_c=loads.max(axis=(1, 2)),
        heat_side=finest.heat_in[0],
        heat_top=finest.heat_in[1],
        heat_bottom=finest.heat_in[2],
        stored=finest.stored,
        tracks=tracks,
    )


def _grids(
    vessel: Vessel, cells: tuple[int, int], finer: tuple[int, ...], readings: int
) -> list[Cells]:
    """Return each grid, refused if its fields could not be kept."""
    rings, counts = cells[0], slices_of(vessel, cells[1])
    kept = MOST_VALUES // (finer[-1] ** 2 * rings * sum(counts))
    if readings > kept:
        raise InputError("readings", readings, f"{kept} or fewer on a grid as fine as this")
    return [cells_of(vessel, n * rings, [n * count for count in counts]) for n in finer]


def _drive(seconds: ArrayLike, chamber_c: ArrayLike, faces: tuple[Face, Face, Face]) -> Drive:
    times, chamber = checked_curve(seconds, chamber_c)
    ambients, surfaces = [], []
    for name, face in zip(("side", "top", "bottom"), faces, strict=True):
        own = (
            chamber if face.ambient_c is None else _row(f"{name}.ambient_c", face.ambient_c, times)
        )
        if not np.all((own >= COLDEST_C) & (own <= HOTTEST_C)):
            accepted = f"{COLDEST_C:g} to {HOTTEST_C:g} degC"
            raise InputError(f"{name}.ambient_c", (float(own.min()), float(own.max())), accepted)
        surface = _row(f"{name}.surface", face.surface, times)
        if not np.all(surface >= 0.0):
            accepted = "0 or more, inf for a face held at its ambient"
            raise InputError(f"{name}.surface", float(surface.min()), accepted)
        ambients.append(own)
        surfaces.append((surface[1:] + surface[:-1]) / 2.0)
    return Drive(times, chamber, np.array(ambients), np.array(surfaces))


def _row(name: str, given: ArrayLike, times: Values) -> Values:
    row = np.asarray(given, dtype=float64)
    if row.ndim > 0 and row.shape != times.shape:
        raise InputError(name, row.shape, f"one number, or {len(times)} at the readings")
    if np.any(np.isnan(row)):
        raise InputError(name, "a missing value", "a number at every reading")
    return np.broadcast_to(row, times.shape)


def _best(tracks: tuple[Track, ...], curves: list[Values]) -> Values:
    """Return the extrapolated curve; as nature has it, never beyond start and surroundings."""
    best = curves[0] if len(curves) == 1 else (4.0 * curves[1] - curves[0]) / 3.0
    return np.clip(best, *tracks[-1].span)


def _at(tracks: tuple[Track, ...], radius: float, height: float) -> Values:
    return _best(tracks, [track.at(radius, height) for track in tracks])


def _lag(track: Track, drive: Drive) -> Values:
    """Return how far each place trails the chamber, summed over time; negative, in K s."""
    distance = np.abs(track.field - drive.chamber[:, None, None])
    trailing: Values = np.trapezoid(distance, drive.seconds, axis=0)
    return -trailing


def _gain(track: Track, drive: Drive, z_k: float) -> Values:
    """Return the logarithm of the lethality each place gains, but for a constant."""
    rates = np.exp((track.field - track.field.max()) * (np.log(10.0) / z_k))
    gained: Values = np.log(np.trapezoid(rates, drive.seconds, axis=0))
    return gained


def _place(tracks: tuple[Track, ...], score: Values) -> Place:
    """Return the place in the load where a score of the finest grid is lowest."""
    cells = tracks[-1].cells
    score = np.where(cells.is_load[:, None], score, np.inf)
    level = score.min() + FLAT * abs(score.min())
    ring = int(np.argmax((score <= level).any(axis=0)))
    row = int(np.argmax(score[:, ring] <= level))
    layer = next(rows for rows in cells.rows if rows.start <= row < rows.stop)
    radius = 0.0 if ring == 0 else _lowest(cells.middle_r, score[row], ring)
    height = _lowest(cells.middle_z[layer], score[layer, ring], row - layer.start)
    radius = min(max(radius, 0.0), cells.vessel.radius)
    height = min(max(height, 0.0), cells.vessel.height)
    return Place(radius, height, _at(tracks, radius, height))


def _lowest(places: Values, values: Values, at: int) -> float:
    """Return where a curve through evenly spaced values is lowest, near the lowest of them."""
    half = (places[1] - places[0]) / 2.0
    if at == 0:
        return float(places[0] - half)
    if at == len(places) - 1:
        return float(places[-1] + half)
    before, here, after = values[at - 1 : at + 2]
    bend = before - 2.0 * here + after
    return float(places[at] + half * (before - after) / bend if bend > 0.0 else places[at])
