"""What grow rooms need, hour by hour: fresh air, water, heating and cooling.

The balance of one well mixed room that is held as it is wanted. All hours, rooms and the three
cases of what the substrate breathes (low, middle, high) are reckoned at once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from pinset.errors import InputError
from pinset.science.air.cooling import WATER_J_KG_K
from pinset.science.air.gas import HEAT_J_G, PPM, fresh_air_for, gas_flow
from pinset.science.air.moist import SEA_PA, MoistAir, air_of, saturated, vapour_enthalpy
from pinset.science.air.moist_many import humidity_ratio_many
from pinset.science.air.ranges import Range
from pinset.science.checks import Many, Values, within

STEAM_J_KG = 2.6756e6
"""Heat in saturated steam at 100 degC, from water at 0 degC. [J/kg]"""


class Mist(StrEnum):
    """How a room is wetted."""

    COLD = "cold"  # takes the heat to evaporate from the room
    STEAM = "steam"  # brings its own


@dataclass(frozen=True, slots=True)
class GrowRoom:
    """A room as it is wanted, and what is in it.

    Raises
    ------
    InputError
        If a number is out of its range, or what is wanted cannot be.
    """

    temperature_c: float
    humidity: float  # 0 to 1
    co2_ppm: float  # at most
    breath_g_h: Range  # CO2 of all that is in it, at that temperature
    walls_w_k: float = 0.0  # U times area to the outside [W/K]
    others_w: float = 0.0  # lights, fans
    least_fresh_m3_s: float = 0.0
    mist: Mist = Mist.COLD
    water_c: float = 12.0  # of cold mist
    coil_c: float = 4.0  # surface of the cooler
    outdoor_ppm: float = 420.0

    def __post_init__(self) -> None:
        """Refuse what no room has."""
        air_of(self.temperature_c, self.humidity)
        parts = [self.walls_w_k, self.others_w, self.least_fresh_m3_s, self.breath_g_h.low]
        within("walls, other heat, fresh air, CO2 given off", parts, 0.0, 1e9, "")
        within("mist water", self.water_c, 0.0, 60.0, "degC")
        fresh_air_for(1.0, self.co2_ppm, self.outdoor_ppm)
        if not self.coil_c < self.temperature_c:
            raise InputError(
                "cooler of the room",
                self.coil_c,
                f"below the room's {self.temperature_c:g} degC",
                "A coil that is no colder than the air cannot cool it.",
            )


@dataclass(frozen=True, slots=True)
class Hours:
    """What rooms need: arrays of shape (3, rooms, hours), for low, middle and high breath."""

    fresh_m3_s: Values  # in the state of the room
    mist_kg_s: Values
    dried_kg_s: Values  # that runs off the coil
    heating_w: Values
    cooling_w: Values  # all the coil carries away

    def of(self, room: int, hour: int = 0) -> Needs:
        """Return the needs of a room in an hour, as ranges."""

        def range_of(values: Values) -> Range:
            low, middle, high = (float(v) for v in values[:, room, hour])
            return Range(min(low, middle, high), middle, max(low, middle, high))

        return Needs(
            range_of(self.fresh_m3_s),
            range_of(self.mist_kg_s),
            range_of(self.dried_kg_s),
            range_of(self.heating_w),
            range_of(self.cooling_w),
        )


@dataclass(frozen=True, slots=True)
class Needs:
    """What a room needs in an hour."""

    fresh_m3_s: Range
    mist_kg_s: Range
    dried_kg_s: Range
    heating_w: Range
    cooling_w: Range


@dataclass(frozen=True, slots=True)
class _Rooms:
    """Rooms as columns: of shape (rooms, 1), with the cases before them (3, rooms, 1)."""

    celsius: Values
    ratio: Values
    fresh: Values  # (3, rooms, 1)
    dry_air: Values  # (3, rooms, 1)
    gained: Values  # (3, rooms, 1): of breath and others [W]
    walls: Values
    wetting: Values  # heat a kg of mist takes from the room [J/kg]
    condensed: Values  # water a coil takes out with a joule of sensible heat [kg/J]
    latent: Values  # heat a kg gives the coil [J/kg]


def needs(
    rooms: Sequence[GrowRoom],
    outside_c: Many,
    outside_humidity: Many,
    pressure_pa: float = SEA_PA,
) -> Hours:
    """Return what rooms need in every hour.

    Parameters
    ----------
    rooms : sequence of GrowRoom
        One or more.
    outside_c, outside_humidity : array_like
        By hour: -60 to 90; 0.001 to 1. [degC] [1]
    pressure_pa : float
        Of the place. [Pa]

    Raises
    ------
    InputError
        If a number is missing or out of range, or a room's coil is too warm to dry it in an hour
        in which the air outside is wetter than it.

    Notes
    -----
    Fresh air as CO2 asks, at least as said. What mist takes up must be heated in; a coil colder
    than the dew point takes water out whenever it cools, and that water is misted back; drying
    more than the room must be cooled is made good by reheating. Left out: what substrate and
    mushrooms evaporate (so mist is at most), heat stored in walls, and more outside air than CO2
    asks for, where that would cool for nothing.
    """
    if not rooms:
        raise InputError("rooms", 0, "one or more")
    celsius = within("outside temperature", outside_c, -60.0, 90.0, "degC").reshape(1, -1)
    humid = within("outside humidity", outside_humidity, 1e-3, 1.0, "").reshape(1, -1)
    if celsius.shape != humid.shape:
        given = (celsius.size, humid.size)
        raise InputError("outside temperature and humidity", given, "as many of each")
    ratio = humidity_ratio_many(celsius, humid, pressure_pa)
    return _balance(_columns(rooms, pressure_pa), celsius, ratio)


def _columns(rooms: Sequence[GrowRoom], pressure_pa: float) -> _Rooms:
    airs = [air_of(room.temperature_c, room.humidity, pressure_pa) for room in rooms]
    fresh = np.array([_fresh(room, pressure_pa) for room in rooms]).T[:, :, None]
    breath = np.array([room.breath_g_h.ends for room in rooms]).T[:, :, None]
    others = _column([room.others_w for room in rooms])
    return _Rooms(
        celsius=_column([room.temperature_c for room in rooms]),
        ratio=_column([air.humidity_ratio for air in airs]),
        fresh=fresh,
        dry_air=fresh / _column([air.volume for air in airs]),
        gained=breath * (HEAT_J_G / 3600.0) + others,
        walls=_column([room.walls_w_k for room in rooms]),
        wetting=_column([vapour_enthalpy(room.temperature_c) - _mist_heat(room) for room in rooms]),
        condensed=_column([_condensed(room, air) for room, air in zip(rooms, airs, strict=True)]),
        latent=_column(
            [vapour_enthalpy(room.temperature_c) - WATER_J_KG_K * room.coil_c for room in rooms]
        ),
    )


def _column(values: Sequence[float]) -> Values:
    return np.array(values, dtype=float)[:, None]


def _fresh(room: GrowRoom, pressure_pa: float) -> list[float]:
    """Return the fresh air for low, middle and high breath."""
    share = (room.co2_ppm - room.outdoor_ppm) * PPM
    flows = [gas_flow(grams, room.temperature_c, pressure_pa) for grams in room.breath_g_h.ends]
    return [max(room.least_fresh_m3_s, flow / share) for flow in flows]


def _mist_heat(room: GrowRoom) -> float:
    return STEAM_J_KG if room.mist is Mist.STEAM else WATER_J_KG_K * room.water_c


def _condensed(room: GrowRoom, air: MoistAir) -> float:
    cold = saturated(room.coil_c, air.pressure_pa).humidity_ratio
    colder = air.heat_capacity * (room.temperature_c - room.coil_c)
    return max(0.0, air.humidity_ratio - cold) / colder


def _balance(rooms: _Rooms, outside_c: Values, outside_ratio: Values) -> Hours:
    water = rooms.dry_air * (rooms.ratio - outside_ratio)  # to add; below 0 to remove
    _refuse_warm_coil(water, rooms.condensed)
    through_air = rooms.dry_air * (1006.0 + 1860.0 * outside_ratio)
    lost = (through_air + rooms.walls) * (rooms.celsius - outside_c) - rooms.gained
    with np.errstate(divide="ignore", invalid="ignore"):
        drying = np.where(water < 0.0, -water / rooms.condensed, 0.0)
    heating = lost + rooms.wetting * (water + rooms.condensed * drying) + drying
    is_warm = heating < 0.0
    cools = -(lost + rooms.wetting * water) / (1.0 + rooms.wetting * rooms.condensed)
    coil = np.where(is_warm, np.maximum(cools, drying), drying)
    dried = rooms.condensed * coil
    mist = np.maximum(water + dried, 0.0)
    return Hours(
        np.broadcast_to(rooms.fresh, mist.shape),
        mist,
        dried,
        np.maximum(heating, 0.0),
        coil + dried * rooms.latent,
    )


def _refuse_warm_coil(water: Values, condensed: Values) -> None:
    is_stuck = (water < 0.0) & (condensed == 0.0)
    if np.any(is_stuck):
        hours = int(np.count_nonzero(np.any(is_stuck, axis=(0, 1))))
        raise InputError(
            "cooler of a room",
            f"above its dew point in {hours} hours in which the air outside is wetter",
            "a coil below the dew point of its room",
            "A warmer coil takes no water out.",
        )
