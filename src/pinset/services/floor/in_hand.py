"""Several lots in hand together: taken up, put down, carried in a form and read from it again."""

from __future__ import annotations

from collections.abc import Iterable

from pinset.chain.lotcode import is_valid
from pinset.errors import InputError
from pinset.services.floor.next_things import MOST_IN_HAND
from pinset.services.floor.records import Held

MOST_UNITS_NAMED = 200
LONGEST = 1200


def taken(hand: Iterable[Held], more: Iterable[Held]) -> tuple[Held, ...]:
    """Return what is in hand after more labels were read, in the order the lots were taken up.

    Units of one lot stand together. A label of the whole lot takes all of it; a label of a unit
    after it narrows nothing.

    Examples
    --------
    >>> [str(each) for each in taken([Held("7K4MV", (3,))], [Held("7K4MV", (2,)), Held("4TQD5")])]
    ['7K4MV/2,3', '4TQD5']
    """
    found: dict[str, Held] = {}
    for each in (*hand, *more):
        before = found.get(each.lot)
        if before is None:
            found[each.lot] = each
        elif not before.units or not each.units:
            found[each.lot] = Held(each.lot)
        else:
            units = sorted({*before.units, *each.units})[:MOST_UNITS_NAMED]
            found[each.lot] = Held(each.lot, tuple(units))
    return tuple(found.values())[-MOST_IN_HAND:]


def without(hand: Iterable[Held], lot: str) -> tuple[Held, ...]:
    """Return what is in hand after a lot was put down."""
    return tuple(each for each in hand if each.lot != lot)


def held_of(text: str) -> Held:
    """Return a lot in hand from the form in which forms and sessions carry it.

    Raises
    ------
    InputError
        If it is none.
    """
    lot, slash, numbers = text[:LONGEST].partition("/")
    units = numbers.split(",") if slash else []
    if not is_valid(lot) or any(not each.isascii() or not each.isdigit() for each in units):
        raise InputError("lot", text[:40], "a lot in hand, as the page wrote it")
    return Held(lot, tuple(int(unit) for unit in units))
