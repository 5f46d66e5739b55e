"""Where a room will drip: its dew point beside its coldest surface.

Near saturation a humidity sensor is poor: three points of it are half a kelvin of dew point. So the
dew point is a range, and "may drip" is an answer.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from pinset.errors import InputError
from pinset.science.air.moist import MoistAir, air_of
from pinset.science.air.ranges import Range, over

SENSOR = 0.03
"""By how much a usual humidity sensor may be wrong near saturation (common practice)."""

INSIDE_M2_K_W = Range(0.10, 0.13, 0.25)
"""Resistance of the air film on a surface: ceiling, wall, corner with things before it (ISO 6946
and ISO 13788, from memory). [m2 K/W]"""

_DRIEST, _WORST_SENSOR = 0.01, 0.2
_WORST_WALL = 8.0  # bare metal or one pane


class Wet(StrEnum):
    """Whether a surface gets wet."""

    YES = "yes"
    PERHAPS = "perhaps"
    NO = "no"


@dataclass(frozen=True, slots=True)
class Drip:
    """A room's dew point beside a surface."""

    dew_point_c: Range
    surface_c: Range
    margin_k: Range  # surface above dew point; below 0 it gets wet

    @property
    def wet(self) -> Wet:
        """Whether the surface gets wet."""
        if self.margin_k.high < 0.0:
            return Wet.YES
        return Wet.NO if self.margin_k.low > 0.0 else Wet.PERHAPS


def dew_point(room: MoistAir, sensor: float = SENSOR) -> Range:
    """Return the dew point of a room whose humidity sensor may be wrong by so much.

    Parameters
    ----------
    room : MoistAir
        As it is read.
    sensor : float
        Of its relative humidity, either way, 0 to 0.2. [1]

    Raises
    ------
    InputError
        If the error is out of range.
    """
    if not 0.0 <= sensor <= _WORST_SENSOR:
        raise InputError("sensor error", sensor, "0 to 0.2 of relative humidity")
    read = room.humidity
    humidity = Range(max(_DRIEST, read - sensor), max(_DRIEST, read), min(1.0, read + sensor))
    return over(
        lambda share: air_of(room.temperature_c, share, room.pressure_pa).dew_point_c, humidity
    )


def surface_of(inside_c: float, outside_c: float, u_value: float) -> Range:
    """Return how warm the inside of a wall, window or door is, in degC.

    Parameters
    ----------
    inside_c, outside_c : float
        Of the air on either side. [degC]
    u_value : float
        Of the wall, 0 to 8. [W/(m2 K)]

    Raises
    ------
    InputError
        If the U value is out of range.
    """
    if not 0.0 <= u_value <= _WORST_WALL:
        raise InputError("U value", u_value, "0 to 8 W/(m2 K)")
    share = over(lambda film: min(1.0, film * u_value), INSIDE_M2_K_W)
    return over(lambda part: inside_c - part * (inside_c - outside_c), share)


def drip(room: MoistAir, surface_c: Range, sensor: float = SENSOR) -> Drip:
    """Return a room's dew point beside a surface, measured or by :func:`surface_of`.

    Raises
    ------
    InputError
        If the sensor's error is out of range.
    """
    point = dew_point(room, sensor)
    return Drip(point, surface_c, over(lambda warm, dew: warm - dew, surface_c, point))
