"""Where units can stand, day by day: rooms that are out of use hold nothing new."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from pinset.chain.in_use import is_room_open
from pinset.chain.living import LivingLot
from pinset.chain.outages import OutageOf
from pinset.chain.register import FarmBook, Room, RoomKind
from pinset.chain.stages import FRUITING_STAGES, Stage
from pinset.planning.reading.explain import day_in_words
from pinset.planning.resources import GrowRoom, RoomPlaces


def grow_rooms(book: FarmBook, start: date, days: int) -> tuple[GrowRoom, ...]:
    """Return the grow rooms; one that is out of use within the days has its places day by day."""
    return tuple(
        GrowRoom(
            room.code,
            float(room.holds),
            room.climates,
            _by_day(book, [room], start, days),
            room.name,
        )
        for room in book.rooms
        if room.kind is RoomKind.GROWING
    )


def shelf_places(
    book: FarmBook, living: Iterable[LivingLot], start: date, days: int
) -> tuple[RoomPlaces, ...]:
    """Return shelf places by kind of room, less what lots held back and blocks kept cold take."""
    rooms: dict[RoomKind, list[Room]] = {}
    kinds = {room.code: room.kind for room in book.rooms}
    for room in book.rooms:
        if room.kind is not RoomKind.GROWING:
            rooms.setdefault(room.kind, []).append(room)
    held = dict.fromkeys(rooms, 0.0)
    for lot in living:
        kind = kinds.get(lot.room)
        if lot.stage is Stage.PREPARED or kind not in held:
            continue
        if lot.held or (kind is RoomKind.COLD and _waits_elsewhere(lot)):
            held[kind] += lot.alive * lot.now_step().places
    return tuple(
        RoomPlaces(
            kind,
            max(0.0, sum(room.holds for room in own) - held[kind]),
            tuple(max(0.0, most - held[kind]) for most in _by_day(book, own, start, days)),
        )
        for kind, own in rooms.items()
    )


def _waits_elsewhere(lot: LivingLot) -> bool:
    """Say whether the route has blocks of a lot wait in another room than the cold store."""
    return lot.stage in FRUITING_STAGES and lot.now_step().room is not RoomKind.COLD


def _by_day(book: FarmBook, rooms: list[Room], start: date, days: int) -> tuple[float, ...]:
    """Return places day by day; empty where none of the rooms is ever out of use."""
    row = tuple(
        float(
            sum(room.holds for room in rooms if is_room_open(book, room, start + timedelta(days)))
        )
        for days in range(days)
    )
    return row if min(row, default=0.0) < sum(room.holds for room in rooms) else ()


def occupied_while_out(
    book: FarmBook, living: Iterable[LivingLot], start: date, days: int
) -> Iterator[str]:
    """Yield a sentence for each room that will be out of use and in which units stand today."""
    standing = tuple(living)
    last = start + timedelta(days=days - 1)
    for outage in sorted(book.outages, key=lambda each: (each.from_date, each.code)):
        room = next((each for each in book.rooms if each.code == outage.which), None)
        if outage.what is not OutageOf.ROOM or room is None:
            continue
        if outage.until < start or outage.from_date > last:
            continue
        units = sum(lot.alive for lot in standing if lot.room == room.code)
        if units:
            since = max(start, outage.from_date)
            yield (
                f"{room.name} is out of use from {day_in_words(since)} to "
                f"{day_in_words(outage.until)}, and {units} units stand in it today. The plan "
                "moves nothing out: see where they are to go, or that they are cleared by then."
            )
