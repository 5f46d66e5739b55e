"""Which label paper there is, and which of it somebody is likely to want."""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime

from pinset.chain.label_layouts import LETTER, OFFERED, LabelLayout
from pinset.chain.register import FarmBook
from pinset.chain.stages import Stage
from pinset.errors import InputError
from pinset.farm.label_store import last_sheet
from pinset.services.plans import planning_day


def layouts_of(book: FarmBook) -> tuple[LabelLayout, ...]:
    """Return the farm's own label paper, then the common sizes, those of its country first."""
    own = {layout.code for layout in book.labels}
    common = [layout for layout in OFFERED if layout.code not in own]
    us = book.farm.units == "us"
    common.sort(key=lambda each: not each.is_roll and (each.page_width_mm == LETTER[0]) != us)
    sheets = [each for each in common if not each.is_roll]
    return (*book.labels, *sheets, *(each for each in common if each.is_roll))


def layouts_here(now: datetime | None = None) -> tuple[LabelLayout, ...]:
    """Return the label paper of the farm that is open."""
    book, _ = planning_day.farm_book(now)
    return layouts_of(book)


def layout_of(book: FarmBook, code: str) -> LabelLayout:
    """Return the label paper of a code.

    Raises
    ------
    InputError
        If there is none.
    """
    known = layouts_of(book)
    found = next((layout for layout in known if layout.code == code), None)
    if found is None:
        accepted = f"one of {', '.join(each.code for each in known)}"
        raise InputError("label paper", code, accepted)
    return found


def likely_layout(book: FarmBook, person: str, stages: Collection[str]) -> LabelLayout:
    """Return the paper somebody used last if it suits, else the first that does.

    Tubes get paper for tubes, and everything else gets other paper.
    """
    tubes = set(stages) == {Stage.TUBE.value}
    known = layouts_of(book)
    last = last_sheet(person)
    used = next((each for each in known if last and each.code == last.layout), None)
    if used is not None and used.tubes == tubes:
        return used
    return next((each for each in known if each.tubes == tubes), known[0])


def next_place(person: str, layout: LabelLayout) -> int:
    """Return the first free place where somebody's last sheet of a paper ended; 0: a new sheet."""
    last = last_sheet(person, layout.code)
    return last.next_place % layout.places if last else 0
