"""A room's readings held against the air its mushrooms fruit in, and against what harms people."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from pinset.chain.living import LivingLot
from pinset.chain.register import FarmBook, Room, StepKind
from pinset.errors import InputError
from pinset.services.looking.readings import PERCENT, Readings
from pinset.tables.cautions import caution
from pinset.tables.loader import table
from pinset.tables.room_climate import Band, climate_of
from pinset.units import Quantity, show

FRESH_PPM = 350.0
"""Less carbon dioxide than in the air outside (about 420 ppm, memory) is a fault of the meter."""

_TINY = 1e-6


@dataclass(frozen=True, slots=True)
class OutOfRange:
    """Something a room's readings say, in words, and the caution that belongs to it."""

    sentence: str
    caution: str = ""  # its whole sentence


def out_of_range(
    room: Room, readings: Readings, here: Sequence[LivingLot], book: FarmBook
) -> tuple[OutOfRange, ...]:
    """Return what of a room's readings is out of range, gravest first.

    Parameters
    ----------
    room : Room
        The room.
    readings : Readings
        As they were read off.
    here : sequence of LivingLot
        What stands in it; only what fruits is asked for its climate.
    book : FarmBook
        The farm as it stands.
    """
    found = [*_for_people(room, readings)]
    fruiting = {lot.variety: lot for lot in here if lot.now_step().kind is StepKind.FRUIT}
    for variety in book.varieties:
        if variety.code not in fruiting:
            continue
        own_c = fruiting[variety.code].now_step().temperature_c
        found += _for_variety(room, readings, variety.name, variety.species, own_c, book)
    return tuple(found)


def _for_people(room: Room, readings: Readings) -> list[OutOfRange]:
    ppm = readings.co2_ppm
    if ppm is None:
        return []
    limits = table("practice.csv")
    at_most = limits.one("limit.co2", "eight_hours_ppm").value
    if ppm >= limits.one("limit.co2", "fifteen_minutes_ppm").value:
        said = f"{room.name}: {ppm:,.0f} ppm carbon dioxide. Nobody goes in."
        return [OutOfRange(said, caution("co2").words)]
    if ppm >= at_most:
        said = f"{room.name}: {ppm:,.0f} ppm carbon dioxide is at or above the {at_most:,.0f} ppm "
        said += "usual for people over eight hours. Air it before anybody stays in it."
        return [OutOfRange(said, caution("co2").words)]
    if ppm < FRESH_PPM:
        said = f"{room.name}: {ppm:,.0f} ppm carbon dioxide is less than fresh air has. "
        return [OutOfRange(f"{said}Look at the meter.")]
    return []


def _for_variety(
    room: Room, readings: Readings, name: str, species: str, own_c: float, book: FarmBook
) -> list[OutOfRange]:
    try:
        climate = climate_of(species)
    except InputError:
        return []  # nothing is published here of this species: there is nothing to hold it against
    degrees = climate.temperature_c
    if degrees is not None:
        low, high = min(degrees.low, own_c), max(degrees.high, own_c)  # the farm's own counts, too
        degrees = Band(low, high, degrees.known_from)
    units = book.farm.units
    said = (
        _against(
            readings.temperature_c,
            degrees,
            lambda value: show(Quantity.TEMPERATURE, value, units),
            f"in which {name} fruits",
        ),
        _against(
            readings.humidity_percent,
            _in_percent(climate.humidity),
            lambda value: f"{value:.0f} % humidity",
            f"in which {name} fruits",
        ),
        _against(
            readings.co2_ppm,
            climate.co2_ppm,
            lambda value: f"{value:,.0f} ppm carbon dioxide",
            f"in which {name} fruits",
        ),
    )
    return [OutOfRange(f"{room.name}: {each}") for each in said if each]


def _in_percent(band: Band | None) -> Band | None:
    if band is None:
        return None
    return Band(band.low * PERCENT, band.high * PERCENT, band.known_from)


def _against(
    value: float | None, band: Band | None, shown: Callable[[float], str], what: str
) -> str:
    """Return that a value is above or below a band, with where that is known from."""
    if value is None or band is None or band.low - _TINY <= value <= band.high + _TINY:
        return ""
    if value > band.high:
        side, end = "above the", f"up to {shown(band.high)}" if band.low <= 0 else ""
    else:
        side, end = "below the", ""
    span = end or f"{shown(band.low)} to {shown(band.high)}"
    return f"{shown(value)} is {side} {span} {what} ({band.known_from})."
