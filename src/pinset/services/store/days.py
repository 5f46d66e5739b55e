"""The picked weight in the cold store: what is within its keeping days, and what is past them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from math import floor

from pinset.chain.register import FarmBook
from pinset.farm.queries.store import StoredWeight, stored_weight
from pinset.services.words import joined, plural, short_day

LEAST_SAID_G = 50
"""Less of a variety past its days is what scales round off, and not worth a word. [g]"""


@dataclass(frozen=True, slots=True)
class OnStore:
    """What stands in the cold store, the oldest first."""

    good: tuple[StoredWeight, ...]
    past: tuple[StoredWeight, ...]

    @property
    def good_g(self) -> int:
        """Grams within their keeping days."""
        return sum(each.grams for each in self.good)

    @property
    def past_g(self) -> int:
        """Grams past their keeping days."""
        return sum(each.grams for each in self.past)


def is_worth_saying(past_g: float) -> bool:
    """Say whether so much past its days is more than what scales round off."""
    return past_g >= LEAST_SAID_G


def keeping_days(book: FarmBook) -> dict[str, int]:
    """Return the whole days that picked mushrooms of each variety keep cold."""
    return {each.code: floor(each.picked_keeps_days) for each in book.varieties}


def is_past(picked_on: date | None, keeps_days: int, day: date) -> bool:
    """Say whether what was picked on a day may no longer be handed over on another."""
    return picked_on is not None and picked_on + timedelta(days=keeps_days) < day


def on_store(book: FarmBook, day: date, variety: str = "") -> OnStore:
    """Return what stands in the cold store on a day, of one variety or of all."""
    keeps = keeping_days(book)
    found = stored_weight(keeps, book.farm.time_zone, variety=variety)
    past = {each for each in found if is_past(each.picked_on, keeps.get(each.variety, 0), day)}
    return OnStore(
        tuple(each for each in found if each not in past),
        tuple(each for each in found if each in past),
    )


def past_words(picked_on: Iterable[date | None], keeps_days: int) -> str:
    """Return when it was picked and how long it keeps: ``picked 3 March, keeps 6 days``."""
    days = sorted({day for day in picked_on if day is not None})
    return f"picked {joined([short_day(day) for day in days])}, keeps {plural(keeps_days, 'day')}"
