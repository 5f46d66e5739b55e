"""Who is here, and what can be used, on one day: the book less what is out of use."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from math import floor

from pinset.chain.outages import OutageOf, is_out, is_out_in_room
from pinset.chain.register import Bench, FarmBook, Room, Steriliser, Weekday, Worker

MINUTES = 60
STEP_MINUTES = 5
"""An hour that is earlier than the usual one is laid on such a step."""

LOADING_SHARE = 2 / 3
"""Share of a cook's hand minutes that goes into loading it, the rest into unloading; common
practice, no source."""


def workers_on(book: FarmBook, day: date) -> tuple[Worker, ...]:
    """Return the people who are not away on a day, whether or not they work on its weekday."""
    return tuple(
        worker
        for worker in book.workers
        if not is_out(book.outages, OutageOf.PERSON, worker.code, day)
    )


def is_working_day(book: FarmBook, day: date) -> bool:
    """Say whether the farm works on a day: on its weekday, and it is none of the days off."""
    return Weekday.of(day) in book.farm.working_days and day not in book.farm.days_off


def hours_on(book: FarmBook, worker: Worker, day: date) -> float:
    """Return the hours of a person on a day: none if away, or on a day the farm does not work."""
    if not is_working_day(book, day) or is_out(book.outages, OutageOf.PERSON, worker.code, day):
        return 0.0
    return worker.hours[day.weekday()]


def is_somebody_here(book: FarmBook, day: date) -> bool:
    """Say whether anybody has hours on a day."""
    return any(hours_on(book, worker, day) > 0 for worker in book.workers)


def can_cook(book: FarmBook, steriliser: Steriliser, day: date) -> bool:
    """Say whether a steriliser is in use on a day."""
    return not is_out_in_room(book.outages, OutageOf.STERILISER, steriliser, day)


def loaded_on(book: FarmBook, steriliser: Steriliser, day: date) -> Steriliser | None:
    """Return a steriliser with the hour at which it is loaded on a day; None if it cannot be.

    Parameters
    ----------
    book : FarmBook
        The farm, with its people's hours.
    steriliser : Steriliser
        One of its sterilisers.
    day : date
        Day of the load.

    Returns
    -------
    Steriliser or None
        The hour is its own, or so much earlier that whoever stays longest has loaded it before
        they leave. None on a day that is too short even for that. On a day on which nobody works,
        and where no person's hours are listed, it stays as it is.
    """
    here = max((hours_on(book, worker, day) for worker in book.workers), default=0.0)
    if here <= 0.0:
        return steriliser
    begins = _minute_of(book.farm.day_starts)
    latest = begins + here * MINUTES - round(loading_minutes(steriliser))
    if _minute_of(steriliser.load_at) <= latest:
        return steriliser
    minute = floor(latest / STEP_MINUTES) * STEP_MINUTES
    if minute < begins:
        return None
    return replace(steriliser, load_at=f"{minute // MINUTES:02}:{minute % MINUTES:02}")


def loading_minutes(steriliser: Steriliser) -> float:
    """Return the minutes it takes to load a steriliser, of its cook that takes longest. [min]."""
    return max((kind.hands_minutes for kind in steriliser.cooks), default=0) * LOADING_SHARE


def unloading_minutes(steriliser: Steriliser) -> float:
    """Return the minutes it takes to unload a steriliser, of its cook that takes longest. [min]."""
    longest = max((kind.hands_minutes for kind in steriliser.cooks), default=0)
    return longest * (1.0 - LOADING_SHARE)


def _minute_of(clock: str) -> int:
    hours, minutes = (int(part) for part in clock.split(":")[:2])
    return hours * MINUTES + minutes


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
