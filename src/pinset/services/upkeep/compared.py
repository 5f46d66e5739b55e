"""The farm's book with what chores changed: comparisons of instruments, days last done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from pinset.chain.register import FarmBook, Instrument
from pinset.chain.upkeep import WEARS, Chore, ChoreAt
from pinset.chain.upkeep_due import new_reading, with_before
from pinset.farm.queries.upkeep import ChoreDone, chore_history, comparisons
from pinset.services.clock import farm_day
from pinset.services.upkeep.due import done_lately, done_once, timed_chore

BY_CHORE = "a reference"
NOT_SAID = "something is amiss"
"""What was found amiss, where the words are not there any more."""


def compared(book: FarmBook) -> FarmBook:
    """Return the book with what was written down last of each probe and gauge.

    A comparison done as a chore counts from its day on, unless a later one stands in the register;
    taken back, it counts no more.
    """
    if not book.instruments:
        return book
    found = comparisons()
    if not found:
        return book
    zone = book.farm.time_zone
    instruments = tuple(
        _last(each, found[each.code], zone) if each.code in found else each
        for each in book.instruments
    )
    return replace(book, instruments=instruments)


def _last(instrument: Instrument, done: ChoreDone, zone: str) -> Instrument:
    on = farm_day(done.at, zone)
    before = instrument.calibrated_on
    if done.reading is None or (before is not None and before > on):
        return instrument
    return replace(
        instrument,
        error=abs(done.reading),
        calibrated_on=on,
        reference=done.reference or instrument.reference or BY_CHORE,
    )


def last_done(book: FarmBook, today: date) -> FarmBook:
    """Return the book with its chores as they stand.

    That is when each was last done, what was read off then, what a new one read, and what was found
    amiss and is not mended. So a farm that is taken into another folder goes on where it was.
    ``today`` is the farm's day.
    """
    done = done_lately(book)
    if not done:
        return book
    chores = tuple(
        _as_it_stands(chore, done[chore.code], book, today) if chore.code in done else chore
        for chore in book.upkeep
    )
    return replace(book, upkeep=chores)


def _as_it_stands(chore: Chore, done: Sequence[ChoreDone], book: FarmBook, today: date) -> Chore:
    zone = book.farm.time_zone
    here = [each for each in done if farm_day(each.at, zone) <= today]
    if not here:
        return chore
    timed = timed_chore(chore, book)
    times = with_before(timed, done_once(here, zone))
    last = farm_day(here[-1].at, zone)
    is_of_books = timed.since is None or timed.since <= last
    if chore.reads in WEARS:
        chore = replace(chore, first_reading=new_reading(timed, times))
    read = [each.reading for each in times if each.reading is not None]
    chore = replace(
        chore,
        last_reading=read[-1] if read else None,
        amiss=_amiss(chore, here[-1]) if is_of_books else chore.amiss,
    )
    if chore.at is ChoreAt.INSTRUMENT:
        return chore
    return replace(chore, since=max(last, chore.since or last))


def _amiss(chore: Chore, last: ChoreDone) -> str:
    """Return what was found amiss the last time; empty if nothing was, or it is mended."""
    if not last.is_amiss:
        return ""
    notes = {each.entry: each.note.strip() for each in chore_history(chore.code)}
    return notes.get(last.entry) or NOT_SAID
