"""What is out of use from a day to a day: a steriliser, a person, a bench, a room."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Protocol


class OutageOf(StrEnum):
    """What can be out of use."""

    STERILISER = "steriliser"  # down, waiting for a part, being inspected
    PERSON = "person"  # away
    BENCH = "bench"
    ROOM = "room"  # being emptied, cleaned, refilled; what stands in it is out with it


@dataclass(frozen=True, slots=True)
class Outage:
    """One thing out of use, on whole days, the first and the last included."""

    code: str
    what: OutageOf
    which: str  # code of the steriliser, person, bench or room
    from_date: date
    until: date
    note: str = ""

    def covers(self, day: date) -> bool:
        """Say whether it holds on a day."""
        return self.from_date <= day <= self.until


class _InARoom(Protocol):
    """A steriliser or a bench."""

    @property
    def code(self) -> str:
        """Its code."""

    @property
    def room(self) -> str:
        """The code of the room it stands in."""


def is_out(outages: Iterable[Outage], what: OutageOf, which: str, day: date) -> bool:
    """Say whether something is out of use on a day."""
    return any(each.covers(day) for each in outages if (each.what, each.which) == (what, which))


def is_out_in_room(outages: Iterable[Outage], what: OutageOf, thing: _InARoom, day: date) -> bool:
    """Say whether a steriliser or a bench is out of use on a day, itself or with its room."""
    known = tuple(outages)
    return is_out(known, what, thing.code, day) or is_out(known, OutageOf.ROOM, thing.room, day)
