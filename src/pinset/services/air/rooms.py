"""The rooms whose air a grower asks about, with what hangs in each."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime

from pinset.chain.living import LivingLot
from pinset.chain.register import Farm, RoomKind
from pinset.farm.queries.alive import living
from pinset.services import cautions
from pinset.services.air.hanging import groups_of
from pinset.services.air.spoken import weight
from pinset.services.clock import now_utc
from pinset.services.plans import planning_day

ASKED = (RoomKind.GROWING, RoomKind.INCUBATION)
CAUTIONS = ("co2", "spores", "mist-water", "uv-c")


@dataclass(frozen=True, slots=True)
class AirRoom:
    """A room on the first page of Air."""

    code: str
    name: str
    hangs: str  # in words; empty: nothing


@dataclass(frozen=True, slots=True)
class AirRooms:
    """The first page of Air."""

    rooms: tuple[AirRoom, ...]
    cautions: tuple[str, ...]


def air_rooms(now: datetime | None = None) -> AirRooms:
    """Return the grow rooms and incubation rooms, with what hangs in them by the ledger."""
    book, today = planning_day.farm_book(now or now_utc())
    here: dict[str, list[LivingLot]] = defaultdict(list)
    for lot in living(today):
        here[lot.room].append(lot)
    rooms = [room for kind in ASKED for room in book.rooms if room.kind is kind]
    return AirRooms(
        tuple(
            AirRoom(
                room.code,
                room.name,
                "; ".join(
                    f"{weight(group.kilograms, book.farm.units)} {group.words}"
                    for group in groups_of(here[room.code], book, today)
                ),
            )
            for room in rooms
        ),
        cautions.sentences(CAUTIONS),
    )


def farm_here(now: datetime | None = None) -> Farm:
    """Return the farm as it stands: its altitude and currency."""
    return planning_day.farm_book(now or now_utc())[0].farm
