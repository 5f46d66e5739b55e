"""CO2 and people: what a reading at the door means for whoever wants to go in.

Limits for workplaces; local rules may be stricter and are what counts. Substrate bears far more
than people: the 5,000 to 20,000 ppm of a spawn run are meant inside the bag.
"""

from __future__ import annotations

from enum import StrEnum

from pinset.science.checks import within
from pinset.tables.loader import table


class Door(StrEnum):
    """What a reading means at the door."""

    OPEN = "open"
    AIR_FIRST = "air first"  # air the room, stay briefly, never alone
    NOBODY = "nobody"  # nobody enters or stays


def air_first_ppm() -> float:
    """Return the CO2 from which a room is aired and the stay limited."""
    return table("practice.csv").one("limit.co2", "eight_hours_ppm").value


def nobody_ppm() -> float:
    """Return the CO2 from which nobody enters or stays."""
    return table("practice.csv").one("limit.co2", "fifteen_minutes_ppm").value


def door_of(ppm: float) -> Door:
    """Return what a reading means for people.

    Parameters
    ----------
    ppm : float
        0 to 1 000 000. [ppm]

    Raises
    ------
    InputError
        If the reading is missing or out of range.
    """
    within("CO2", ppm, 0.0, 1e6, "ppm")
    if ppm >= nobody_ppm():
        return Door.NOBODY
    return Door.AIR_FIRST if ppm >= air_first_ppm() else Door.OPEN
