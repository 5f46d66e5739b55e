"""One lot of the shelf, with what a page needs to write something of it down."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from pinset.chain.lotcode import read_code
from pinset.farm.queries.cultures import plates_read
from pinset.farm.queries.lots import KnownCodes, lot_by_code, rows_of
from pinset.services.cultures.records import CultureView, TubeLine
from pinset.services.cultures.renewing import shelves
from pinset.services.cultures.shelf import tube_line
from pinset.services.plans import planning_day


@dataclass(frozen=True, slots=True)
class ReadBefore:
    """One radius that was written down."""

    plate: int
    at: datetime
    mm: float


@dataclass(frozen=True, slots=True)
class TubePage:
    """A lot of the shelf with its culture."""

    lot: str
    culture: CultureView
    lines: tuple[TubeLine, ...]  # one for each place
    is_plate: bool
    is_tube: bool
    read: tuple[ReadBefore, ...]  # radii of its plates, newest first
    shelves: tuple[str, ...]  # where fresh tubes can grow


def plate_shelves(now: datetime | None = None) -> tuple[str, ...]:
    """Return the shelves on which plates of a clone can stand."""
    book, _ = planning_day.farm_book(now)
    return shelves(book)


def tube_page(code: str, now: datetime | None = None) -> TubePage:
    """Return one lot of the shelf.

    Raises
    ------
    InputError
        If the code is none.
    RefusedError
        If nothing of it stands on the shelf.
    """
    book, _ = planning_day.farm_book(now)
    lot = read_code(code, known=KnownCodes()).lot
    view, lines = tube_line(lot, now)
    [row] = rows_of([lot_by_code(lot)])
    read = [
        ReadBefore(each.plate, radius.at, radius.mm)
        for each in plates_read([row.culture])
        if each.lot == lot
        for radius in each.radii
    ]
    return TubePage(
        lot=lot,
        culture=view,
        lines=lines,
        is_plate=lines[0].stage == "plate",
        is_tube=lines[0].stage == "tube",
        read=tuple(sorted(read, key=lambda each: each.at, reverse=True)),
        shelves=shelves(book),
    )
