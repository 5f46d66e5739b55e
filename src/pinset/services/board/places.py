"""Where each card stands on the board, and how full a grow room is on a day."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import date, timedelta

from pinset.chain.in_use import benches_on, can_cook, is_room_open
from pinset.chain.living import LivingLot
from pinset.chain.register import CLEANLINESS, FarmBook, Room, RoomKind, StepKind
from pinset.planning.building.from_rooms import rooms_of
from pinset.planning.building.step_numbers import DEFAULT_SAFETY, curve_of
from pinset.planning.plan import AtLimit, Move, Plan
from pinset.services.book_reader import Reader
from pinset.services.day.sections import TITLES

ORDERS = "orders"
_SHELVES = (RoomKind.INCUBATION, RoomKind.COLD)


def places(book: FarmBook) -> tuple[tuple[str, str, RoomKind], ...]:
    """Return code, title and kind of the board's rows, cleanest first, orders at the end."""
    found = [
        (RoomKind.LABORATORY.value, TITLES[RoomKind.LABORATORY][0], RoomKind.LABORATORY),
        *((kind.value, TITLES[kind][0], kind) for kind in _SHELVES if _has(book, kind)),
        *((each.code, each.name, RoomKind.STERILISER) for each in book.sterilisers),
        (RoomKind.PREPARATION.value, TITLES[RoomKind.PREPARATION][0], RoomKind.PREPARATION),
        *(
            (room.code, room.name, RoomKind.GROWING)
            for room in book.rooms
            if room.kind is RoomKind.GROWING
        ),
    ]
    found.sort(key=lambda each: CLEANLINESS[each[2]])
    return (*found, (ORDERS, "Orders", RoomKind.PACKING))


def _has(book: FarmBook, kind: RoomKind) -> bool:
    return any(room.kind is kind for room in book.rooms)


def place_of_step(reader: Reader, variety: str, step: str, room: str = "") -> str:
    """Return the row of a start or a move."""
    own = reader.step(variety, step)
    if own.kind is StepKind.BUY:
        return ORDERS
    if own.kind is StepKind.TRANSFER:
        is_clean = own.bench_minutes > 0 or own.bench_setup_minutes > 0
        return (RoomKind.LABORATORY if is_clean else RoomKind.PREPARATION).value
    if own.kind is StepKind.FRUIT:
        grow = [each.code for each in reader.book.rooms if each.kind is RoomKind.GROWING]
        return room if room in grow else next(iter(grow), ORDERS)
    return own.room.value


def is_place_out(book: FarmBook, code: str, kind: RoomKind, day: date) -> bool:
    """Say whether nothing can be done at a place on a day."""
    if kind is RoomKind.LABORATORY:
        return bool(book.benches) and not benches_on(book, day)
    if kind is RoomKind.STERILISER:
        return any(each.code == code and not can_cook(book, each, day) for each in book.sterilisers)
    rooms: list[Room] = [
        room
        for room in book.rooms
        if room.kind is kind and (kind is not RoomKind.GROWING or room.code == code)
    ]
    return bool(rooms) and not any(is_room_open(book, room, day) for room in rooms)


def room_places(
    reader: Reader, living: Iterable[LivingLot], moves: Iterable[Move], days: int
) -> Mapping[tuple[str, date], float]:
    """Return the places that are taken in each grow room on each day, as the plan has it."""
    book, today = reader.book, reader.today
    taken: dict[tuple[str, date], float] = defaultdict(float)
    inside, _ = rooms_of(book, tuple(living), today, DEFAULT_SAFETY)
    spans = [(lot.room, 0, lot.leaves_day, lot.places) for lot in inside]
    for move in moves:
        step, variety = reader.step(move.variety, move.step), reader.varieties[move.variety]
        if step.kind is StepKind.FRUIT:
            curve = curve_of(step, variety, DEFAULT_SAFETY, entered=move.day)
            stands = max((each.day for each in curve), default=0) + 1
            begins = (move.day - today).days
            spans.append((move.room, begins, begins + stands, move.count * step.places))
    for room, begins, ends, units in spans:
        for day in range(max(0, begins), min(days, ends)):
            taken[room, today + timedelta(days=day)] += units
    return taken


def at_limit(plan: Plan, code: str, kind: RoomKind, day: date) -> AtLimit | None:
    """Return what is full at a place on a day."""
    names = {
        RoomKind.LABORATORY: ("clean bench", "laboratory hands"),
        RoomKind.STERILISER: (f"steriliser {code}",),
        RoomKind.PREPARATION: ("hands",),
    }.get(kind, (f"places in {kind.value}",))
    found = [each for each in plan.at_limit if each.day == day and each.resource in names]
    return found[0] if found else None
