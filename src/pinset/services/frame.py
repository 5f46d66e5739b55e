"""What stands around every page: the farm's name, its clock and its units."""

from __future__ import annotations

from dataclasses import dataclass

from pinset.errors import RefusedError
from pinset.services.plans import planning_day


@dataclass(frozen=True, slots=True)
class Frame:
    """The farm's name, clock and choice of units, or plain ones before a farm is described."""

    name: str
    time_zone: str
    units: str  # "metric" or "us"
    altitude_m: float = 0.0
    currency: str = ""  # ISO 4217; empty before a farm is described


def frame() -> Frame:
    """Return what pages show around themselves."""
    try:
        farm = planning_day.farm_book()[0].farm
    except RefusedError:
        return Frame("pinset", "UTC", "metric")
    return Frame(farm.name, farm.time_zone, farm.units, farm.altitude_m, farm.currency)
