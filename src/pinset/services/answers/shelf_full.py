"""Whether a shelf has places for what is carried there without a job; if not, it is asked."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from pinset.chain.living import LivingLot
from pinset.chain.register import FarmBook
from pinset.services.answers.lot_counts import UnlikelyError
from pinset.services.texts import LONGEST_REASON, written
from pinset.services.words import plural

_TINY = 1e-9


def refuse_full(
    going: Mapping[str, int], shelf: str, living: Iterable[LivingLot], book: FarmBook, why: str
) -> dict[str, Any]:
    """Return what an entry notes of a shelf that has too few places; nothing where they suffice.

    Parameters
    ----------
    going : mapping of lot code to units
        What is carried there.
    shelf : str
        Its code.
    living : iterable of LivingLot
        Everything alive now.
    book : FarmBook
        The farm.
    why : str
        The reason it stands there all the same; empty if none was given.

    Raises
    ------
    UnlikelyError
        If the places do not suffice and no reason is given.
    """
    holds = next(
        (each.holds for room in book.rooms for each in room.shelves if each.code == shelf), None
    )
    if holds is None:
        return {}
    taken, takes = 0.0, dict[str, float]()
    for part in living:
        places = part.now_step().places
        if part.place == shelf:
            taken += part.alive * places
        else:
            takes[part.code] = max(places, takes.get(part.code, 0.0))
    wanted = sum(units * takes.get(lot, 0.0) for lot, units in going.items())
    free = max(0.0, holds - taken)
    if wanted <= free + _TINY:
        return {}
    left = plural(int(free + _TINY), "place") if free >= 1 else "no place"
    said = f"Shelf {shelf} has {left} left, and what is carried there takes {wanted:.4g}."
    reason = written("why", why, LONGEST_REASON)
    if not reason:
        raise UnlikelyError(
            said,
            "Look at the number and the shelf, or write down what was cleared there first; if they "
            "stand there all the same, give a reason.",
        )
    return {"against": [said], "why": reason}


def both(first: Mapping[str, Any], second: Mapping[str, Any]) -> dict[str, Any]:
    """Return two notes of doubt as one."""
    against = [*first.get("against", ()), *second.get("against", ())]
    return {**first, **second, **({"against": against} if against else {})}
