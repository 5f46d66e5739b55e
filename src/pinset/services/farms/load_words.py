"""What differs between a described farm and the farm that is there, in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from pinset.chain.register import FarmBook, StandingLot
from pinset.errors import Finding, Severity
from pinset.farm.register_store import Difference
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
    alive = {(lot.code, lot.place): lot for lot in standing}
    said = []
    for lot in described:
        there = alive.get((lot.code, lot.place))
        if lot.code and there is None:
            said.append(f"lot {lot.code} at {lot.place}: the files say {lot.count}, none is alive.")
        elif lot.code and there is not None and there.count != lot.count:
            said.append(
                f"lot {lot.code} at {lot.place}: "
                f"the files say {lot.count}, {there.count} are alive."
            )
    nameless = sum(not lot.code for lot in described)
    if nameless:
        said.append(f"{plural(nameless, 'lot')} without a code in the files: read only once.")
    if said:
        said.append("Lots are not changed by loading: what happens to them is recorded.")
    return tuple(said)


def still_needed(book: FarmBook, standing: Iterable[StandingLot]) -> tuple[Finding, ...]:
    """Return findings for what the files leave out though lots alive need it."""
    shelves = {shelf.code for room in book.rooms for shelf in room.shelves}
    varieties = {variety.code for variety in book.varieties}
    cultures = {culture.code for culture in book.cultures}
    found = []
    for lot in standing:
        for kind, code, known in (
            ("shelf", lot.place, shelves),
            ("variety", lot.variety, varieties),
            ("culture", lot.culture, cultures),
        ):
            if code and code not in known:
                found.append(
                    Finding(
                        "load.still-needed",
                        Severity.WRONG,
                        f"lot {lot.code}",
                        f"{plural(lot.count, 'unit')} of it need the {kind} {code}, "
                        "which is not in the files.",
                        f"Keep the {kind}, or move or end the lot first.",
                    )
                )
    return tuple(found)
