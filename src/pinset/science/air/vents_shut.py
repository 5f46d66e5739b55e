"""The closed-vent test: a room's own CO2, by how it rises while the vents are shut.

Ten to fifteen minutes with the vents shut and the circulation fan on: ``G = V dC/dt``, and what
leaks out meanwhile on top. It replaces every published rate for that room, variety and day.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy import float64
from numpy.typing import NDArray
from scipy.stats import t as student

from pinset.errors import InputError
from pinset.science.air.gas import PPM, grams_m3
from pinset.science.air.moist import SEA_PA
from pinset.science.air.ranges import Range, Swing, over, swings
from pinset.science.checks import within

FEWEST, SHORTEST_MIN, LEAST_RISE_PPM = 5, 5.0, 50.0
LEAKS_H = Range(0.0, 0.1, 0.3)
"""Air changes of a room with its vents shut: our own estimate. [1/h]"""

SPAN = Range(0.97, 1.0, 1.03)
"""True over read of a usual sensor's rises, without its offset (common practice)."""

_BENDS_SIGMA, _BENDS_SHARE = 3.0, 0.1
_MOST_ALIKE = 0.9


@dataclass(frozen=True, slots=True)
class ShutRoom:
    """A room with its vents shut."""

    free_m3: Range  # its air, without what stands in it
    temperature_c: float
    outdoor_ppm: float
    leaks_h: Range = LEAKS_H  # air changes [1/h]
    span: Range = SPAN
    pressure_pa: float = SEA_PA


@dataclass(frozen=True, slots=True)
class ShutTest:
    """What a room gives off, by its own rise."""

    rise_ppm_h: Range  # as logged, 95 % of the fit
    grams_h: Range  # with all that is uncertain
    bends: bool  # it slowed down: it leaks more than is said, or was not mixed
    moved_by: tuple[Swing, ...]  # what moves the answer, the most first

    def per_kg(self, substrate_kg: float) -> Range:
        """Return it per kilogram of wet substrate, in g/(kg h).

        Raises
        ------
        InputError
            If the weight is not above 0.
        """
        if not substrate_kg > 0.0:
            raise InputError("substrate", substrate_kg, "above 0 kg")
        return self.grams_h.times(1.0 / substrate_kg)


def shut_test(minutes: Sequence[float], ppm: Sequence[float], room: ShutRoom) -> ShutTest:
    """Return what a room gives off, by a log of its CO2 with the vents shut.

    Parameters
    ----------
    minutes : sequence of float
        Since the vents were shut, rising: five readings or more over five minutes or more. [min]
    ppm : sequence of float
        0 to 1 000 000, rising by 50 or more. [ppm]
    room : ShutRoom
        As it was.

    Raises
    ------
    InputError
        If there are too few readings, they are out of order, or hardly rise.

    Notes
    -----
    What leaked out until a reading is added to it (the balance, integrated), so a leaky room gives
    a straight line as well; its slope is fitted, with twice the scatter where readings move
    together. Least and most are over all corners of volume, leak, sensor and fit.
    """
    when, read = _checked(minutes, ppm)

    def grams(free: float, leak: float, span: float, fit: float) -> float:
        slope, half = _slope(when, _kept(when, read, room.outdoor_ppm, leak))
        per_h = 60.0 * span * (slope + fit * half)
        return max(0.0, per_h * PPM * free * grams_m3(room.temperature_c, room.pressure_pa))

    known = {"free": room.free_m3, "leak": room.leaks_h, "span": room.span}
    known["fit"] = Range(-1.0, 0.0, 1.0)
    _check_room(room)
    slope, half = _slope(when, read)
    rise = Range(60.0 * (slope - half), 60.0 * slope, 60.0 * (slope + half))
    return ShutTest(rise, over(grams, *known.values()), _bends(when, read), swings(grams, known))


def _checked(
    minutes: Sequence[float], ppm: Sequence[float]
) -> tuple[NDArray[float64], NDArray[float64]]:
    when, read = np.asarray(minutes, dtype=float64), within("CO2", ppm, 0.0, 1e6, "ppm")
    if when.shape != read.shape or when.size < FEWEST or not np.all(np.diff(when) > 0.0):
        raise InputError("CO2 readings", when.size, f"{FEWEST} or more, one after the other")
    if when[-1] - when[0] < SHORTEST_MIN:
        raise InputError("length of the test", float(when[-1] - when[0]), f"{SHORTEST_MIN:g} min")
    if read[-1] - read[0] < LEAST_RISE_PPM:
        raise InputError(
            "rise of the CO2",
            float(read[-1] - read[0]),
            f"{LEAST_RISE_PPM:g} ppm or more",
            "Wait longer, or see whether a vent still stands open.",
        )
    return when - when[0], read


def _check_room(room: ShutRoom) -> None:
    if not room.free_m3.low > 0.0:
        raise InputError("free air of the room", room.free_m3.low, "above 0 m3")
    if not (room.leaks_h.low >= 0.0 and room.span.low > 0.0):
        given = (room.leaks_h.low, room.span.low)
        raise InputError("leaks and sensor", given, "0 an hour or more; above 0")


def _kept(
    when: NDArray[float64], read: NDArray[float64], outdoor: float, leak_h: float
) -> NDArray[float64]:
    """Return the readings with what had leaked out by then."""
    above = read - outdoor
    steps = np.diff(when) * (above[1:] + above[:-1]) / 2.0
    return read + leak_h / 60.0 * np.concatenate([[0.0], np.cumsum(steps)])


def _slope(when: NDArray[float64], read: NDArray[float64]) -> tuple[float, float]:
    """Return the rise in a minute and half its 95 % interval."""
    since = when - when.mean()
    square = float(np.sum(since**2))
    slope = float(np.sum(since * read)) / square
    rest = read - read.mean() - slope * since
    spread = float(np.sum(rest**2))
    error = np.sqrt(spread / (len(when) - 2) / square)
    alike = float(np.sum(rest[1:] * rest[:-1])) / spread if spread > 0.0 else 0.0
    alike = min(max(alike, 0.0), _MOST_ALIKE)
    wider = np.sqrt((1.0 + alike) / (1.0 - alike))
    return slope, float(student.ppf(0.975, len(when) - 2) * error * wider)


def _bends(when: NDArray[float64], read: NDArray[float64]) -> bool:
    """Whether it rose clearly less in the end than at the beginning."""
    columns = np.stack([np.ones_like(when), when, when**2], axis=1)
    found, *_ = np.linalg.lstsq(columns, read, rcond=None)
    rest = read - columns @ found
    noise = float(np.sum(rest**2)) / max(1, len(when) - 3)
    error = np.sqrt(noise * np.linalg.inv(columns.T @ columns)[2, 2])
    slowed = -2.0 * found[2] * when[-1]
    return bool(found[2] < -_BENDS_SIGMA * error and slowed > _BENDS_SHARE * abs(found[1]))
