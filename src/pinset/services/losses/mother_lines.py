"""Cultures and first-generation lots that were not clean, in words."""

from __future__ import annotations

from dataclasses import dataclass

from pinset.chain.register import FarmBook
from pinset.learning.losses.records import Mother
from pinset.services.losses import words
from pinset.services.words import first_upper, joined, plural


@dataclass(frozen=True, slots=True)
class MotherLine:
    """A culture or first-generation lot on which contamination was found."""

    lot: str
    sentence: str
    children: tuple[str, ...]


def mother_line(mother: Mother, book: FarmBook) -> MotherLine:
    """Return a mother that was not clean in words, with what was made from it."""
    names = {each.code: each.name for each in book.varieties}
    day = words.day_words(mother.found_at, book.farm.time_zone)
    what = f"{names.get(mother.variety, mother.variety)}, {mother.step}"
    stand = "stands" if mother.standing == 1 else "stand"
    rest = f"{plural(mother.standing, 'unit')} of it still {stand}" if mother.standing else ""
    made = (
        f"{plural(mother.children_units, 'unit')} in {plural(len(mother.children), 'lot')} made "
        f"from it still {'grows' if mother.children_units == 1 else 'grow'}"
        if mother.children
        else ""
    )
    return MotherLine(
        lot=mother.lot,
        sentence=f"{what}: {mother.found} found contaminated, the last on {day}. "
        f"{first_upper(joined([each for each in (rest, made) if each]))}.",
        children=mother.children,
    )
