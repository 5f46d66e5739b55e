"""When something stops: minute by minute what a room's warmth and CO2 do, and what is reached when.

Substrate and air of a room are one lump. That is right for what lasts hours; a core may be warmer
than the mean by some kelvins, so give the temperature of the hottest core where that is known.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import inf

import numpy as np

from pinset.errors import InputError
from pinset.science.air.fans import AIR_KG_M3
from pinset.science.air.gas import HEAT_J_G, PPM, grams_m3
from pinset.science.air.ranges import Range, published
from pinset.science.checks import Values, within

MINUTE_S = 60.0
LONGEST_MIN = 14 * 24 * 60
_AIR_J_KG_K = 1006.0
_LAW_ENDS_C = 35.0  # the law of ten kelvins is held there: what is warmer is dying
_HOTTEST_C = 45.0
_FEWEST = 1.0
_NO_LEAKS = Range(0.0, 0.0, 0.0)


class Stop(StrEnum):
    """What stops."""

    FAN = "fan"  # the air is not changed; cooling and heating go on
    COOLING = "cooling"  # the cooler, or in winter the heater; the air is changed as before
    POWER = "power"  # all of it, lights too


@dataclass(frozen=True, slots=True)
class Standing:
    """A room, or a cold shelf, in the minute in which something stops.

    Raises
    ------
    InputError
        If a number is out of its range.
    """

    name: str
    temperature_c: float
    co2_ppm: float
    free_m3: float  # its air
    heat_capacity: float  # of substrate or goods and what warms with them [J/K]
    breath_g_h: Range  # CO2 given off, at that temperature
    walls_w_k: float  # [W/K]
    outside_c: float
    fresh_m3_s: float = 0.0  # while the fan runs
    leaks_h: Range = _NO_LEAKS  # air changes without it; 0 is the worst [1/h]
    others_w: float = 0.0  # lights, fans: end with the power
    outdoor_ppm: float = 420.0

    def __post_init__(self) -> None:
        """Refuse what no room is."""
        within("temperature", [self.temperature_c, self.outside_c], -60.0, 90.0, "degC")
        within("CO2", [self.co2_ppm, self.outdoor_ppm], 0.0, 1e6, "ppm")
        parts = [self.breath_g_h.low, self.leaks_h.low, self.fresh_m3_s, self.walls_w_k]
        within("CO2 given off, leaks, fresh air, walls", [*parts, self.others_w], 0.0, 1e9, "")
        if not (self.free_m3 > 0.0 and self.heat_capacity >= _FEWEST):
            given = (self.free_m3, self.heat_capacity)
            raise InputError("free air and heat capacity", given, "above 0 m3; 1 J/K or more")


@dataclass(frozen=True, slots=True)
class Course:
    """What happens: arrays of shape (3, rooms, minutes + 1), the mildest to the worst case."""

    names: tuple[str, ...]
    temperature_c: Values
    co2_ppm: Values


class Quantity(StrEnum):
    """What a limit is about."""

    TEMPERATURE = "temperature"
    CO2 = "CO2"


@dataclass(frozen=True, slots=True)
class Limit:
    """What must not be passed."""

    name: str
    quantity: Quantity
    value: float
    is_most: bool = True  # or a least


@dataclass(frozen=True, slots=True)
class Reached:
    """When a room passes a limit: the soonest is the low; infinite if not within the course."""

    room: str
    limit: Limit
    minutes: Range


def stopped(rooms: Sequence[Standing], stop: Stop, minutes: int) -> Course:
    """Return what warmth and CO2 do in rooms after something stopped.

    Parameters
    ----------
    rooms : sequence of Standing
        One or more.
    stop : Stop
        What stopped.
    minutes : int
        1 to 20160, two weeks.

    Raises
    ------
    InputError
        If there is no room, or the time is out of range.

    Notes
    -----
    Cases: little breath with much leak, the middles, much breath with little leak. Breath rises
    with warmth (Q10), up to 35 degC. Warmth ends at 45 degC: nothing lives there, and whatever
    then heats or cools a dead room is not told. Each minute is solved exactly for the breath at its
    middle.
    """
    if not rooms:
        raise InputError("rooms", 0, "one or more")
    if not 1 <= minutes <= LONGEST_MIN:
        raise InputError("minutes", minutes, f"1 to {LONGEST_MIN}")
    lumps = _Lumps(rooms, stop)
    warm = np.empty((3, len(rooms), minutes + 1))
    gas = np.empty_like(warm)
    warm[:, :, 0], gas[:, :, 0] = lumps.start_c, lumps.start_ppm
    for minute in range(minutes):
        warm[:, :, minute + 1], gas[:, :, minute + 1] = lumps.next_minute(
            warm[:, :, minute], gas[:, :, minute]
        )
    return Course(tuple(room.name for room in rooms), warm, gas)


class _Lumps:
    """The rooms as arrays of shape (3, rooms), or (rooms,)."""

    def __init__(self, rooms: Sequence[Standing], stop: Stop) -> None:
        def each(name: str) -> Values:
            return np.array([getattr(room, name) for room in rooms], dtype=float)

        self.start_c, self.start_ppm = each("temperature_c"), each("co2_ppm")
        self.outside_c, self.outdoor_ppm = each("outside_c"), each("outdoor_ppm")
        self.breath = np.array([room.breath_g_h.ends for room in rooms]).T / 3600.0  # [g/s]
        self.free, self.capacity = each("free_m3"), each("heat_capacity")
        leaks = np.array([room.leaks_h.ends[::-1] for room in rooms]).T / 3600.0 * self.free
        runs = np.maximum(each("fresh_m3_s"), leaks)
        self.fresh = runs if stop is Stop.COOLING else leaks
        self.others = each("others_w") * (0.0 if stop is Stop.POWER else 1.0)
        self.is_held = stop is Stop.FAN
        self.gone = each("walls_w_k") + self.fresh * AIR_KG_M3 * _AIR_J_KG_K  # [W/K]
        self.q10 = np.array(published("breath", "q10").ends)[:, None]
        self.per_m3 = np.array([grams_m3(room.temperature_c) for room in rooms])

    def next_minute(self, warm: Values, gas: Values) -> tuple[Values, Values]:
        breath = self._breathed(warm)
        if self.is_held:
            return warm, self._filled(gas, breath / self.per_m3)
        about = self._warmed(warm, breath)
        breath = self._breathed((warm + about) / 2.0)
        later = np.minimum(self._warmed(warm, breath), np.maximum(warm, _HOTTEST_C))
        return later, self._filled(gas, breath / self.per_m3)

    def _breathed(self, warm: Values) -> Values:
        faster = self.q10 ** ((np.minimum(warm, _LAW_ENDS_C) - self.start_c) / 10.0)
        return np.asarray(self.breath * faster)

    def _warmed(self, warm: Values, breath: Values) -> Values:
        pull = breath * HEAT_J_G + self.others + self.gone * (self.outside_c - warm)
        return np.asarray(warm + pull / self.capacity * _spent(self.gone / self.capacity))

    def _filled(self, gas: Values, given: Values) -> Values:
        pull = given / PPM + self.fresh * (self.outdoor_ppm - gas)
        return np.asarray(gas + pull / self.free * _spent(self.fresh / self.free))


def _spent(pace: Values) -> Values:
    """Return for how long of a minute a pull acts that dies away at a pace, in s."""
    safe = np.where(pace > 0.0, pace, 1.0)
    return np.where(pace > 0.0, -np.expm1(-pace * MINUTE_S) / safe, MINUTE_S)


def reached(course: Course, room: int, limit: Limit) -> Reached:
    """Return when a room passes a limit.

    Raises
    ------
    InputError
        If there is no such room.
    """
    if not 0 <= room < len(course.names):
        raise InputError("room", room, f"0 to {len(course.names) - 1}")
    is_warmth = limit.quantity is Quantity.TEMPERATURE
    values = (course.temperature_c if is_warmth else course.co2_ppm)[:, room, :]
    sign = 1.0 if limit.is_most else -1.0
    times = [_first(sign * case, sign * limit.value) for case in values]
    return Reached(course.names[room], limit, Range(min(times), sorted(times)[1], max(times)))


def _first(values: Values, limit: float) -> float:
    passed = np.flatnonzero(values >= limit)
    if not len(passed):
        return inf
    at = int(passed[0])
    if at == 0:
        return 0.0
    before, then = float(values[at - 1]), float(values[at])
    return at - 1 + (limit - before) / (then - before)


def in_order(course: Course, limits: Sequence[Sequence[Limit]]) -> tuple[Reached, ...]:
    """Return every limit of every room, what may be reached soonest first.

    Parameters
    ----------
    course : Course
        What happens.
    limits : sequence of sequence of Limit
        By room.

    Raises
    ------
    InputError
        If there are not as many as rooms.
    """
    if len(limits) != len(course.names):
        raise InputError("limits", len(limits), f"those of {len(course.names)} rooms")
    found = [reached(course, n, limit) for n, some in enumerate(limits) for limit in some]
    return tuple(sorted(found, key=lambda one: (one.minutes.low, one.minutes.middle)))
