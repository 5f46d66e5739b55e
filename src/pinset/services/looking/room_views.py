"""The rooms as a round sees them: what was read off last, and what a room showed over weeks."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from pinset.chain.register import FarmBook, Room, RoomKind
from pinset.errors import RefusedError
from pinset.farm.queries.alive import living
from pinset.farm.queries.rounds import RoundOf, rounds_between
from pinset.services import cautions
from pinset.services.clock import now_utc
from pinset.services.looking.readings import Readings
from pinset.services.looking.walked import RoomRead, read_back, warnings
from pinset.services.plans import planning_day
from pinset.services.words import joined

WEEKS_SHOWN = 8
CAUTIONS = ("co2", "spores")
_DAY_S = 86400.0


@dataclass(frozen=True, slots=True)
class RoomToRead:
    """A room on the page of the round."""

    code: str
    name: str
    stands: str  # what fruits or stands there, in words; empty: nothing
    is_growing: bool
    last: Readings | None
    last_at: datetime | None
    trap_days: float | None  # since the traps were counted last


@dataclass(frozen=True, slots=True)
class RoundRow:
    """One round of one room."""

    at: datetime
    by: str
    readings: Readings
    note: str


@dataclass(frozen=True, slots=True)
class RoomHistory:
    """What a room showed on its rounds."""

    code: str
    name: str
    stands: str
    rows: tuple[RoundRow, ...]  # oldest first
    warnings: tuple[str, ...]  # what the last round says
    cautions: tuple[str, ...]


def rooms_to_read(now: datetime | None = None) -> tuple[RoomToRead, ...]:
    """Return the rooms where units stand, grow rooms first."""
    moment = now or now_utc()
    book, _ = planning_day.farm_book(moment)
    stands = _stands(book, moment)
    rooms = [room for room in book.rooms if room.shelves]
    rooms.sort(key=lambda room: (room.kind is not RoomKind.GROWING, room.code not in stands))
    past: dict[str, list[RoundOf]] = defaultdict(list)
    for each in _past(moment):
        past[each.room].append(each)
    return tuple(
        _to_read(room, stands.get(room.code, ""), past[room.code], moment) for room in rooms
    )


def _past(moment: datetime) -> tuple[RoundOf, ...]:
    return rounds_between(moment - timedelta(weeks=WEEKS_SHOWN), moment + timedelta(days=1))


def _stands(book: FarmBook, moment: datetime) -> dict[str, str]:
    _, today = planning_day.farm_book(moment)
    names = {variety.code: variety.name for variety in book.varieties}
    found: dict[str, dict[str, None]] = defaultdict(dict)
    for lot in living(today):
        if lot.alive > 0:
            found[lot.room][names.get(lot.variety, lot.variety)] = None
    return {room: joined(list(varieties)) for room, varieties in found.items()}


def _to_read(room: Room, stands: str, past: Sequence[RoundOf], moment: datetime) -> RoomToRead:
    counted = [each for each in past if "flies" in each.readings]
    return RoomToRead(
        code=room.code,
        name=room.name,
        stands=stands,
        is_growing=room.kind is RoomKind.GROWING,
        last=read_back(past[-1].readings) if past else None,
        last_at=past[-1].at if past else None,
        trap_days=_days(counted[-1].at, moment) if counted else None,
    )


def _days(since: datetime, moment: datetime) -> float | None:
    days = round((moment - since).total_seconds() / _DAY_S, 1)
    return days if days > 0 else None


def room_history(code: str, now: datetime | None = None) -> RoomHistory:
    """Return what a room showed over the last weeks.

    Raises
    ------
    RefusedError
        If the farm has no such room.
    """
    moment = now or now_utc()
    book, today = planning_day.farm_book(moment)
    room = next((each for each in book.rooms if each.code == code), None)
    if room is None:
        raise RefusedError(f"There is no room {code}.", "Books, Rooms lists those there are.")
    past = [each for each in _past(moment) if each.room == code]
    said = warnings([RoomRead(code, read_back(past[-1].readings))], book, today) if past else ()
    return RoomHistory(
        code=code,
        name=room.name,
        stands=_stands(book, moment).get(code, ""),
        rows=tuple(_row(each) for each in past),
        warnings=tuple(each.sentence for each in said),
        cautions=cautions.sentences(CAUTIONS),
    )


def _row(each: RoundOf) -> RoundRow:
    return RoundRow(each.at, each.by, read_back(each.readings), each.note)
