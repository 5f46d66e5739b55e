"""Who is here, and what can be used, on one day: the book less what is out of use."""

from __future__ import annotations

from datetime import date

from pinset.chain.outages import OutageOf, is_out, is_out_in_room
from pinset.chain.register import Bench, FarmBook, Room, Steriliser, Worker


def workers_on(book: FarmBook, day: date) -> tuple[Worker, ...]:
    """Return the people who are not away on a day, whether or not they work on its weekday."""
    return tuple(
        worker
        for worker in book.workers
        if not is_out(book.outages, OutageOf.PERSON, worker.code, day)
    )


def hours_on(book: FarmBook, worker: Worker, day: date) -> float:
    """Return the hours of a person on a day: none if away."""
    if is_out(book.outages, OutageOf.PERSON, worker.code, day):
        return 0.0
    return worker.hours[day.weekday()]


def is_somebody_here(book: FarmBook, day: date) -> bool:
    """Say whether anybody has hours on a day."""
    return any(hours_on(book, worker, day) > 0 for worker in book.workers)


def can_cook(book: FarmBook, steriliser: Steriliser, day: date) -> bool:
    """Say whether a steriliser is in use on a day."""
    return not is_out_in_room(book.outages, OutageOf.STERILISER, steriliser, day)


def benches_on(book: FarmBook, day: date) -> tuple[Bench, ...]:
    """Return the clean benches in use on a day."""
    return tuple(
        bench
        for bench in book.benches
        if not is_out_in_room(book.outages, OutageOf.BENCH, bench, day)
    )


def is_room_open(book: FarmBook, room: Room, day: date) -> bool:
    """Say whether units can stand in a room on a day."""
    return not is_out(book.outages, OutageOf.ROOM, room.code, day)
