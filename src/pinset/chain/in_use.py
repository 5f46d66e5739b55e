"""What can be used on one day: the book less what is out of use."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from math import floor

from pinset.chain.day_hours import clock_minute, clock_words
from pinset.chain.outages import OutageOf, is_out, is_out_in_room
from pinset.chain.register import Bench, FarmBook, Room, Steriliser
from pinset.chain.who_is_here import here_on

STEP_MINUTES = 5
"""An hour that is earlier than the usual one is laid on such a step."""

LOADING_SHARE = 2 / 3
"""Share of a cook's hand minutes that goes into loading it, the rest into unloading; common
practice, no source."""


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
        The hour is its own, or so much earlier that whoever is here has loaded it before they
        leave; where nobody is here before it, when the next one comes. None on a day that is too
        short even for that. On a day on which nobody works, and where no person's hours are listed,
        it stays as it is.
    """
    here = here_on(book, day)
    if not book.workers or not here.is_anybody:
        return steriliser
    usual, minutes = clock_minute(steriliser.load_at), round(loading_minutes(steriliser))
    if here.is_here(usual, minutes):
        return steriliser
    earlier = here.last_begin_by(usual, minutes)
    stepped = floor(earlier / STEP_MINUTES) * STEP_MINUTES if earlier is not None else None
    if stepped is not None and here.is_here(stepped, minutes):
        return replace(steriliser, load_at=clock_words(stepped))
    later = here.first_from(usual, minutes)
    if later is None or not here.is_here(later, minutes):
        return None
    return replace(steriliser, load_at=clock_words(later))


def loading_minutes(steriliser: Steriliser) -> float:
    """Return the minutes it takes to load a steriliser, of its cook that takes longest. [min]."""
    return max((kind.hands_minutes for kind in steriliser.cooks), default=0) * LOADING_SHARE


def unloading_minutes(steriliser: Steriliser) -> float:
    """Return the minutes it takes to unload a steriliser, of its cook that takes longest. [min]."""
    longest = max((kind.hands_minutes for kind in steriliser.cooks), default=0)
    return longest * (1.0 - LOADING_SHARE)


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
