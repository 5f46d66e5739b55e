"""A number said of a lot, held against what the books have: is it likely, and where is it."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pinset.errors import InputError, RefusedError
from pinset.farm import whereabouts
from pinset.farm.whereabouts import Standing
from pinset.services.building import FAR_ABOVE, SOME
from pinset.services.texts import LONGEST_REASON, written
from pinset.services.words import joined, plural

Counted = int | Mapping[str, int]
"""Units counted: of a lot that stands at one place, or by place."""


class UnlikelyError(RefusedError):
    """What is said does not fit the books; with a reason it is written down."""


@dataclass(frozen=True, slots=True)
class Differences:
    """What a count by hand differs from the books in."""

    by_place: dict[str, int]
    counted: int
    books: int  # units that should stand there
    owed: int  # units that were taken and did not stand there


def refuse_more(count: int, standing: Sequence[Standing], why: str) -> dict[str, Any]:
    """Return what an entry notes of units that the books do not have; nothing if they have them.

    Raises
    ------
    UnlikelyError
        If more are taken than stand there and no reason is given.
    """
    there = sum(each.quantity for each in standing)
    if count <= there:
        return {}
    stand = "stands" if there == 1 else "stand"
    said = f"{plural(count, 'unit')} are said of, and {there or 'none'} {stand} there in the books."
    reason = written("why", why, LONGEST_REASON)
    if not reason:
        raise UnlikelyError(
            said,
            "Look at the number. If more stand there than the books say, count them again first; "
            "if it is right all the same, give a reason.",
        )
    return {"against": [said], "why": reason}


def places_to_count(lot: str) -> tuple[tuple[str, int], ...]:
    """Return where the units of a lot are to be counted, with those the books have there.

    Where nothing stands any more, these are the places where it stood.
    """
    standing = whereabouts.units_of([lot]).get(lot, ())
    if standing:
        return tuple((each.place, each.quantity) for each in standing)
    return tuple((place, 0) for place in whereabouts.places_of(lot))


def differences_of(lot: str, counted: Counted, shelves: Collection[str]) -> Differences:
    """Return by how much a count differs from the books at each place.

    What is unexplained was taken from a place where it did not stand: it is made up for there.

    Raises
    ------
    InputError
        If a count is negative or a place is none of the farm's.
    RefusedError
        If the lot stands at several places and not each was counted.
    """
    books = dict(places_to_count(lot))
    by_place = _by_place(lot, counted, books)
    for place, units in by_place.items():
        if units < 0:
            raise InputError("count", units, "0 or more units")
        if place not in books and place not in shelves:
            raise InputError("place", place, f"one of {', '.join(shelves)}")
    if any(place not in by_place for place in books):
        raise _several(lot, books)
    owed = whereabouts.owed_at(lot)
    places = {*by_place, *owed}
    differences = {
        place: owed.get(place, 0) + by_place.get(place, 0) - books.get(place, 0)
        for place in sorted(places)
    }
    return Differences(
        {place: units for place, units in differences.items() if units},
        sum(by_place.values()),
        sum(books.values()) - sum(owed.values()),
        sum(owed.values()),
    )


def _by_place(lot: str, counted: Counted, books: Mapping[str, int]) -> dict[str, int]:
    if not isinstance(counted, int):
        return dict(counted)
    if len(books) > 1:
        raise _several(lot, books)
    return {next(iter(books), ""): counted}


def _several(lot: str, books: Mapping[str, int]) -> RefusedError:
    if any(books.values()):
        where = joined([f"{units} at {place or 'no place'}" for place, units in books.items()])
        said = f"Lot {lot} stands at several places: {where}."
    else:
        said = f"Lot {lot} stood at several places: {joined(list(books))}."
    return RefusedError(said, "Count at each of them and say how many stand at which.")


def refuse_far(found: Differences, reason: str) -> list[str]:
    """Return what speaks against a count far above the books; refused without a reason.

    While units are unexplained the books are known to be wrong, and a count is what they need.

    Raises
    ------
    UnlikelyError
        If there is none.
    """
    if found.owed or found.counted <= FAR_ABOVE * found.books + SOME:
        return []
    said = f"{found.counted} is far above the {found.books} in the books."
    if not reason:
        raise UnlikelyError(said, "If it is right, give a reason.")
    return [said]
