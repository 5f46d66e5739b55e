"""On which days something prepared can be cooked, as far as people and sterilisers go."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from pinset.chain.in_use import can_cook
from pinset.chain.register import FarmBook
from pinset.services.book_reader import Reader
from pinset.services.words import joined, near_day, on_day


@dataclass(frozen=True, slots=True)
class CookDays:
    """Days on which a kind of cook can be done, and what stands against it on the others."""

    days: tuple[date, ...]
    against: str  # in words: ``Shed steamer is out of use tomorrow and nobody works on Sunday``


def cook_days(kind: str, first: date, last: date, book: FarmBook, today: date) -> CookDays:
    """Return the days from a first to a last one on which a cook of a kind can be done.

    A kind that no steriliser has (a bath of lime) needs people only.
    """
    span = [first + timedelta(days=days) for days in range((last - first).days + 1)]
    machines = [each for each in book.sterilisers if any(own.code == kind for own in each.cooks)]
    reader = Reader(book, today)
    works = [day for day in span if reader.works_on(day)]
    down = {
        machine.name: [day for day in works if not can_cook(book, machine, day)]
        for machine in machines
    }
    free = tuple(
        day for day in works if not machines or any(day not in out for out in down.values())
    )
    against = [
        f"{name} is out of use {_days_in_words(out, today)}" for name, out in down.items() if out
    ]
    off = [day for day in span if day not in works]
    if off:
        against.append(f"nobody works {_days_in_words(off, today)}")
    return CookDays(free, joined(against))


def _days_in_words(days: Sequence[date], today: date) -> str:
    if len(days) > 1 and days[0] == today:
        return f"until {near_day(days[-1], today)}"
    return joined([on_day(day, today) for day in days])
