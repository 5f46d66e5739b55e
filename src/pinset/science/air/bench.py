"""A clean bench: the speed over its face, what its fan must do, whether it is in its window."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy import float64

from pinset.errors import InputError
from pinset.science.air.ranges import Range, published
from pinset.science.checks import within

FEWEST_POINTS = 6
"""Of a grid that is worth its name; 6 to 9 are usual (common practice, no source)."""

_MOST_M_S = 5.0


@dataclass(frozen=True, slots=True)
class Face:
    """What a grid of readings says of a bench."""

    mean_m_s: float
    least_m_s: float
    most_m_s: float
    spread: float  # standard deviation over mean
    window: tuple[float, float]
    slow: tuple[int, ...]  # which points are below the window, from 0, in reading order
    fast: tuple[int, ...]
    has_enough_points: bool

    @property
    def is_in_window(self) -> bool:
        """Whether every point is."""
        return not self.slow and not self.fast


def face_of(speeds_m_s: Sequence[float], window: Range | None = None) -> Face:
    """Return what readings over the face of a bench say.

    Parameters
    ----------
    speeds_m_s : sequence of float
        0 to 5, at the place of work, row by row. [m/s]
    window : Range, optional
        Of the farm's bench; 0.36 to 0.54 if left out (EU guidance, 0.45 and a fifth either way).

    Raises
    ------
    InputError
        If nothing was read, or a speed is out of range.
    """
    if not len(speeds_m_s):
        raise InputError("face speeds", 0, "one reading or more")
    speeds = within("face speed", speeds_m_s, 0.0, _MOST_M_S, "m/s")
    band = window or published("bench", "speed")
    mean = float(np.mean(speeds))
    return Face(
        mean,
        float(np.min(speeds)),
        float(np.max(speeds)),
        float(np.std(speeds, ddof=1)) / mean if speeds.size > 1 and mean > 0.0 else 0.0,
        (band.low, band.high),
        tuple(int(n) for n in np.flatnonzero(speeds < band.low)),
        tuple(int(n) for n in np.flatnonzero(speeds > band.high)),
        speeds.size >= FEWEST_POINTS,
    )


def face_flow(width_m: float, height_m: float, speed_m_s: float) -> float:
    """Return the air a bench moves, in m3/s.

    Raises
    ------
    InputError
        If a measure is out of range.
    """
    within("bench face", [width_m, height_m], 0.05, 10.0, "m")
    within("face speed", speed_m_s, 0.0, _MOST_M_S, "m/s")
    return width_m * height_m * speed_m_s


def dirty_pressure(filters_pa: Sequence[float], casing_pa: float = 0.0) -> float:
    """Return the pressure a fan must still hold its flow at: all filters loaded, and the casing.

    Parameters
    ----------
    filters_pa : sequence of float
        Drop of each when it is due to be changed, 0 or more. [Pa]
    casing_pa : float
        Of grilles, bends and ducts, 0 or more. [Pa]

    Raises
    ------
    InputError
        If a drop is below 0.
    """
    drops = within("pressure drop", [*filters_pa, casing_pa], 0.0, 5000.0, "Pa")
    return float(np.sum(drops, dtype=float64))
