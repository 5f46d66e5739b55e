"""Lots that still grow and share what stands out, with what may come of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from pinset.chain.histories import Shared
from pinset.chain.register import FarmBook
from pinset.learning.losses.reckoned import Reckoned, SuspectLots
from pinset.services.losses.names import name_of

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


def sister_lines(
    found: Reckoned, book: FarmBook, lots: Mapping[tuple[Shared, str], SuspectLots]
) -> tuple[SisterLine, ...]:
    """Return the lots that still grow and share what stands out, what may cost most first."""
    shares: dict[str, list[str]] = {}
    facts: dict[str, str] = {}
    names = {each.code: each.name for each in book.varieties}
    for each in found.standing_out:
        its = lots.get((each.kind, each.suspect.level))
        for lot in its.lots if its else ():
            name = name_of(each.kind, each.suspect.level, book, its)
            shares.setdefault(lot.lot, []).append(name)
            facts[lot.lot] = f"{names.get(lot.variety, lot.variety)}, {lot.step}"
    return tuple(
        SisterLine(
            lot=each.lot,
            name=facts.get(each.lot, ""),
            standing=each.standing,
            chance=each.chance,
            expected_lost=each.expected_lost,
            shown=each.shown,
            shares=tuple(shares[each.lot]),
        )
        for each in found.sisters
        if each.lot in shares
    )[:MOST_SISTERS]
