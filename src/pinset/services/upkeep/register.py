"""Changing the register of chores; the day's list follows at once."""

from __future__ import annotations

from datetime import datetime

from pinset.chain.register import FarmBook
from pinset.chain.upkeep import Chore, ChoreAt
from pinset.farm.models.register import RegisterKind
from pinset.files.description.cells import suggested_code
from pinset.services.books.register_change import retire, write_record
from pinset.services.clock import now_utc
from pinset.services.plans import planning_day
from pinset.services.upkeep.in_step import bring_in_step

LONGEST_BASE = 34  # of a code of at most 40 signs, with a number behind it


def save_chore(chore: Chore, person: str, now: datetime | None = None) -> None:
    """Add a chore or write a new version of it, from today on.

    Raises
    ------
    RefusedError
        If the farm's book would not hold with it; the sentence says why.
    """
    moment = now or now_utc()
    write_record(chore, person, moment)
    _follow(moment)


def end_chore(code: str, person: str, now: datetime | None = None) -> None:
    """End a chore from today on; what was done of it stays in the books.

    Raises
    ------
    RefusedError
        If there is none of that code.
    """
    moment = now or now_utc()
    retire(RegisterKind.CHORE, code, person, moment)
    _follow(moment)


def _follow(moment: datetime) -> None:
    book, _ = planning_day.farm_book(moment)
    bring_in_step(book, moment)


def things(book: FarmBook) -> tuple[tuple[str, str], ...]:
    """Return everything a chore can be done at, as ``room:lab``, with its name."""
    return (
        *((f"{ChoreAt.ROOM}:{each.code}", each.name) for each in book.rooms),
        *((f"{ChoreAt.BENCH}:{each.code}", each.name) for each in book.benches),
        *((f"{ChoreAt.STERILISER}:{each.code}", each.name) for each in book.sterilisers),
        *((f"{ChoreAt.INSTRUMENT}:{each.code}", each.name) for each in book.instruments),
        (f"{ChoreAt.FARM}:", "the farm as a whole"),
    )


def new_chore_code(book: FarmBook, name: str) -> str:
    """Return a code no chore has yet, like its name."""
    taken = {chore.code for chore in book.upkeep}
    base = suggested_code(name)[:LONGEST_BASE].strip("-") or "chore"
    number = 1
    while (code := base if number == 1 else f"{base}-{number}") in taken:
        number += 1
    return code
