"""What stands around every page: the farm's name, its clock and its units."""

from __future__ import annotations

from dataclasses import dataclass

from pinset.errors import RefusedError
from pinset.farm import register_store
from pinset.services.clock import now_utc


@dataclass(frozen=True, slots=True)
class Frame:
    """The farm's name, clock and choice of units, or plain ones before a farm is described."""

    name: str
    time_zone: str
    units: str  # "metric" or "us"


def frame() -> Frame:
    """Return what pages show around themselves."""
    try:
        farm = register_store.farm_of(now_utc().date())
    except RefusedError:
        return Frame("pinset", "UTC", "metric")
    return Frame(farm.name, farm.time_zone, farm.units)
