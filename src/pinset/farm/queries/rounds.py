"""What was measured on rounds of the rooms, oldest first."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from pinset.farm.entries import Kind
from pinset.farm.queries.story import happened_between

MEASURED = "measured"
"""Where a round's entry keeps its readings."""


@dataclass(frozen=True, slots=True)
class RoundOf:
    """One room on one round."""

    entry: str  # client id
    room: str
    at: datetime
    by: str  # name
    readings: Mapping[str, float]  # temperature_c, humidity_percent, co2_ppm, flies ...
    note: str


def rounds_between(since: datetime, until: datetime) -> tuple[RoundOf, ...]:
    """Return what was read off in rooms from one moment to another, one for each room of a round.

    A walk on which nothing was read off is not among them.
    """
    return tuple(
        RoundOf(
            entry=each.client_id,
            room=str(room),
            at=each.happened_at,
            by=each.person_name,
            readings=dict(each.details[MEASURED]),
            note=each.note,
        )
        for each in happened_between(since, until, kinds=[Kind.ROUND.value])
        if each.details.get(MEASURED)
        for room in each.details.get("rooms", [])
    )
