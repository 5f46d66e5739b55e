"""What differs between a described farm and the farm that is there, in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from pinset.chain.register import FarmBook, StandingLot
from pinset.chain.rules_lot import older_than_mother
from pinset.errors import Finding, Severity
from pinset.farm.register_store import Difference
from pinset.services.farms.lots_need import missing_for
from pinset.services.words import plural

_WHAT = {"new": "is new", "missing": "is not in the files: it would end"}


def difference_words(found: Iterable[Difference]) -> tuple[str, ...]:
    """Return a sentence for every record that differs."""
    return tuple(_words(each) for each in found)


def _words(each: Difference) -> str:
    name = each.kind if each.kind == "farm" else f"{each.kind} {each.code}"
    if each.what == "changed":
        return f"{name} changes: {', '.join(each.fields)}."
    return f"{name} {_WHAT[each.what]}."


def lot_differences(
    described: Sequence[StandingLot], standing: Sequence[StandingLot]
) -> tuple[str, ...]:
    """Return how the lots in the files differ from those alive; they are never changed by a load.

    Lots without a code in the files cannot be told from those of the first load, so they are
    counted only.
    """
    alive = _at_shelves(standing)
    said = []
    for (code, place), count in _at_shelves(lot for lot in described if lot.code).items():
        there = alive.get((code, place), 0)
        if there != count:
            are = f"{there or 'none'} {'are' if there > 1 else 'is'} alive"
            said.append(f"lot {code} at {place}: the files say {count}, {are}.")
    nameless = sum(not lot.code for lot in described)
    if nameless:
        said.append(f"{plural(nameless, 'lot')} without a code in the files: read only once.")
    if said:
        said.append("Lots are not changed by loading: what happens to them is recorded.")
    return tuple(said)


def _at_shelves(lots: Iterable[StandingLot]) -> dict[tuple[str, str], int]:
    """Return the units of each lot at each shelf; parts of it in several steps are one."""
    found: dict[tuple[str, str], int] = {}
    for lot in lots:
        found[lot.code, lot.place] = found.get((lot.code, lot.place), 0) + lot.count
    return found


def still_needed(book: FarmBook, standing: Iterable[StandingLot]) -> tuple[Finding, ...]:
    """Return findings for what the files leave out, or date, though lots alive speak against it.

    Lots that stand in the files too are judged there.
    """
    cultures = {culture.code: culture for culture in book.cultures}
    described = {lot.code for lot in book.lots}
    lots = tuple(standing)
    dated = [
        finding
        for lot in lots
        if lot.code not in described
        for finding in older_than_mother(f"lots {lot.code}", lot, cultures)
    ]
    needed = [
        Finding(
            "load.still-needed",
            Severity.WRONG,
            f"lot {each.lot}",
            f"{each.words}, which is not in the files.",
            f"Keep the {each.kind}, or move or end the lot first.",
        )
        for each in missing_for(book, lots)
    ]
    return (*dated, *needed)
