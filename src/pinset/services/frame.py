"""What stands around every page: the farm's name and its clock."""

from __future__ import annotations

from dataclasses import dataclass

from pinset.errors import RefusedError
from pinset.farm import register_store
from pinset.services.clock import now_utc


@dataclass(frozen=True, slots=True)
class Frame:
    """The farm's name and time zone, or plain stand-ins before a farm is described."""

    name: str
    time_zone: str


def frame() -> Frame:
    """Return the farm's name and time zone."""
    try:
        farm = register_store.farm_of(now_utc().date())
    except RefusedError:
        return Frame("pinset", "UTC")
    return Frame(farm.name, farm.time_zone)
