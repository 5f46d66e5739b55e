"""The air mushrooms fruit in, as it is published of a species."""

from __future__ import annotations

from dataclasses import dataclass

from pinset.tables.defaults import species_of
from pinset.tables.loader import Quality, Table, Value, sources, table


@dataclass(frozen=True, slots=True)
class Band:
    """From where to where the sources go, taken together, and which they are."""

    low: float
    high: float
    known_from: str


@dataclass(frozen=True, slots=True)
class RoomClimate:
    """The room air of a species while it fruits; None where nothing is known."""

    temperature_c: Band | None
    humidity: Band | None  # fraction
    co2_ppm: Band | None


def climate_of(species: str) -> RoomClimate:
    """Return the air that a species fruits in.

    Where sources differ the band holds them all: outside it, all of them disagree with the room.

    Parameters
    ----------
    species : str
        Key, trade name or Latin name.

    Raises
    ------
    InputError
        If the tables do not know the species.
    """
    key = f"{species_of(species).key}.fruiting"
    air = table("room_climate.csv")
    return RoomClimate(
        temperature_c=_band(table("route_steps.csv"), key, "temperature_c"),
        humidity=_band(air, key, "humidity"),
        co2_ppm=_band(air, key, "co2"),
    )


def _band(rows: Table, key: str, name: str) -> Band | None:
    found = [row for row in rows.rows if (row.key, row.name) == (key, name)]
    if not found:
        return None
    return Band(
        min(row.value if row.low is None else row.low for row in found),
        max(row.value if row.high is None else row.high for row in found),
        ", ".join(dict.fromkeys(_cited(row) for row in found)),
    )


def _cited(row: Value) -> str:
    source = sources()[row.source]
    if not source.is_publication or row.quality is Quality.COMMON_PRACTICE:
        return "common practice, no source"
    year = "" if source.year == "-" else f" {source.year}"
    return f"{source.authors}{year}{', from memory' if row.quality is Quality.MEMORY else ''}"
