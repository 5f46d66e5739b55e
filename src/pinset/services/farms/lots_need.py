"""What lots alive need of the farm's register: shelves, varieties and cultures."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from pinset.chain.register import FarmBook, StandingLot
from pinset.services.words import plural


@dataclass(frozen=True, slots=True)
class Missing:
    """A record that units alive need and a book does not have."""

    lot: str  # code
    units: int
    kind: str  # shelf, variety or culture
    code: str  # of that record

    @property
    def words(self) -> str:
        """Return ``3 units of it need the culture GO-1``."""
        verb = "needs" if self.units == 1 else "need"
        return f"{plural(self.units, 'unit')} of it {verb} the {self.kind} {self.code}"


def missing_for(book: FarmBook, standing: Iterable[StandingLot]) -> Iterator[Missing]:
    """Yield what a book lacks for the lots that are alive.

    A lot keeps the route it was made under, so no route is among them.
    """
    shelves = {shelf.code for room in book.rooms for shelf in room.shelves}
    varieties = {variety.code for variety in book.varieties}
    cultures = {culture.code for culture in book.cultures}
    for lot in standing:
        for kind, code, known in (
            ("shelf", lot.place, shelves),
            ("variety", lot.variety, varieties),
            ("culture", lot.culture, cultures),
        ):
            if code and code not in known:
                yield Missing(lot.code, lot.count, kind, code)
