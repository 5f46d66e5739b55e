"""Lots that still grow and share what stands out, with what may come of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from pinset.chain.register import FarmBook
from pinset.learning.losses.records import Reckoned
from pinset.learning.losses.sisters import Sister
from pinset.services.losses import reckoning
from pinset.services.losses.names import name_of
from pinset.services.losses.without_people import without_people
from pinset.services.plans import planning_day

MOST_SISTERS = 30


@dataclass(frozen=True, slots=True)
class SisterLine:
    """One lot that still grows, with what may come of it."""

    lot: str
    name: str  # variety and step
    standing: int
    chance: float
    expected_lost: float
    shown: float
    shares: tuple[str, ...]  # names of suspects that stand out and that it shares
    by_route: bool = False  # no lot was looked at yet: told by what its route expects
    is_looked_at: bool = True


def sister_lines(found: Reckoned, book: FarmBook) -> tuple[SisterLine, ...]:
    """Return the lots that still grow and share what stands out, what may cost most first."""
    shares = _shares(found, book)
    return tuple(
        _line(each, shares[each.lot], found, book) for each in found.sisters if each.lot in shares
    )[:MOST_SISTERS]


def one_sister(
    code: str, *, with_people: bool = True, now: datetime | None = None
) -> SisterLine | None:
    """Return what the last reckoning says of a lot that grows; None: it knows none."""
    kept = reckoning.latest()
    if kept is None:
        return None
    found = kept.reckoned if with_people else without_people(kept.reckoned)
    book, _today = planning_day.farm_book(now)
    one = next((each for each in found.sisters if each.lot == code), None)
    return None if one is None else _line(one, _shares(found, book).get(code, ()), found, book)


def _line(sister: Sister, shares: Sequence[str], found: Reckoned, book: FarmBook) -> SisterLine:
    names = {each.code: each.name for each in book.varieties}
    said = (lot for each in found.of_suspects for lot in each.lots if lot.lot == sister.lot)
    lot = next(said, None)
    return SisterLine(
        lot=sister.lot,
        name=f"{names.get(lot.variety, lot.variety)}, {lot.step}" if lot else "",
        standing=sister.standing,
        chance=sister.chance,
        expected_lost=sister.expected_lost,
        shown=sister.shown,
        shares=tuple(shares),
        by_route=sister.by_route,
        is_looked_at=sister.is_looked_at,
    )


def _shares(found: Reckoned, book: FarmBook) -> dict[str, list[str]]:
    """Return by lot the names of what stands out and what it shares."""
    lots = {(each.kind, each.level): each for each in found.of_suspects}
    shares: dict[str, list[str]] = {}
    for each in found.standing_out:
        its = lots.get((each.kind, each.suspect.level))
        for lot in its.lots if its else ():
            name = name_of(each.kind, each.suspect.level, book, its)
            shares.setdefault(lot.lot, []).append(name)
    return shares
