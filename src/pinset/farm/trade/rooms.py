"""Entries of incubation and grow rooms: units that move, are taken out or are counted again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from pinset.errors import InputError
from pinset.farm.entries import (
    Account,
    Kind,
    Measure,
    NewEntry,
    NewLink,
    NewLot,
    NewMention,
    NewPosting,
)
from pinset.farm.trade.parts import Taken, Tap, appeared, moved, positive

CLONED = "clone, not cleared until its test plate says so"
"""Why the plates of a clone are held back."""


def lose(tap: Tap, taken: Taken, *, cause: str = "", signs: Sequence[str] = ()) -> NewEntry:
    """Contaminated units were taken out; ``cause`` is what was seen, ``signs`` as which signs."""
    entry = _out(tap, Kind.LOSE, taken, Account.LOST, {"cause": cause})
    return replace(entry, details={**entry.details, "signs": list(signs)}) if signs else entry


def cull(tap: Tap, taken: Taken, *, cause: str = "") -> NewEntry:
    """Units were taken out for another cause: dropped, too old, no longer wanted."""
    return _out(tap, Kind.CULL, taken, Account.CULLED, {"cause": cause})


def spend(tap: Tap, taken: Taken) -> NewEntry:
    """Fruiting units were cleared at the end of their last flush."""
    return _out(tap, Kind.SPEND, taken, Account.SPENT, {})


def _out(
    tap: Tap, kind: Kind, taken: Taken, account: Account, details: Mapping[str, Any]
) -> NewEntry:
    postings = moved(taken, Account.ALIVE, account, Measure.UNIT)
    return tap.entry(kind, postings=postings, details=details)


def move(tap: Tap, taken: Taken, to_place: str, *, step: str = "") -> NewEntry:
    """Units moved to another place, into the next step of their route, or both.

    What moves without a step takes the step it was in with it.
    """
    postings: tuple[NewPosting, ...] = ()
    if to_place != taken.place:
        postings = moved(taken, Account.ALIVE, Account.ALIVE, Measure.UNIT, to_place=to_place)
    elif not step:
        raise InputError("place", to_place, "another place, or a step to move into")
    count = positive("quantity", taken.quantity)
    mention = (
        NewMention(taken.lot, "step", count, step, to_place)
        if step
        else NewMention(taken.lot, "moved", count, taken.place, to_place)
    )
    return tap.entry(Kind.MOVE, postings=postings, mentions=(mention,))


def clone(
    tap: Tap,
    parent: str,
    child: NewLot,
    count: int,
    place: str,
    *,
    reason: str = CLONED,
    details: Mapping[str, Any] | None = None,
) -> NewEntry:
    """Tissue of a fruit of the parent lot went to plates; they are held until cleared."""
    return tap.entry(
        Kind.CLONE,
        lots=(child,),
        postings=appeared(
            child.code, Account.MADE, Account.ALIVE, Measure.UNIT, count, place=place
        ),
        links=(NewLink(parent, child.code, 0),),
        mentions=(NewMention(child.code, "held", count, reason, place),),
        details=details,
    )


def recount(tap: Tap, lot: str, place: str, difference: int, *, cause: str = "") -> NewEntry:
    """Somebody counted what stands at a place and it differs from the books.

    More is entered as made, which first repays what is unexplained; fewer are culled.
    """
    if not difference:
        raise InputError("difference", difference, "a whole number other than 0")
    return recount_places(tap, lot, {place: difference}, cause=cause)


def recount_places(
    tap: Tap, lot: str, differences: Mapping[str, int], *, cause: str = ""
) -> NewEntry:
    """Somebody counted a lot at several places; ``differences`` are from the books, by place.

    What one place has more than another has fewer stood at the wrong place in the books; of the
    rest more is entered as made and fewer are culled.
    """
    total = sum(differences.values())
    stood = [
        NewPosting(lot, Account.ALIVE, Measure.UNIT, units, place)
        for place, units in differences.items()
        if units
    ]
    if not stood:
        raise InputError("differences", dict(differences), "at least one other than 0")
    other = NewPosting(lot, Account.MADE if total > 0 else Account.CULLED, Measure.UNIT, -total)
    postings = (*stood, other) if total else tuple(stood)
    entry = tap.entry(Kind.CORRECT, postings=postings, details={"cause": cause or "counted again"})
    return replace(entry, details={**entry.details, "recount": total})  # also when it is 0
