"""Entries that move nothing: looks, shakes, judgements, rounds, put-off jobs, corrections."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import date
from enum import StrEnum
from typing import Any

from pinset.errors import InputError
from pinset.farm.about import LONGEST
from pinset.farm.entries import Kind, NewEntry, NewMention, NewPosting
from pinset.farm.trade.parts import Taken, Tap


class Verdict(StrEnum):
    """A person's own judgement of a lot; it overrules the route."""

    READY = "ready"  # expected ready on a date, or ready now
    HELD = "held"  # not to be used, with the reason
    RELEASED = "released"  # no longer held
    USE_BY = "use by"  # to be used before others, by a date
    WATCHED = "watched"  # to be looked at again on a date
    KEPT = "kept"  # to be used all the same, with the reason
    WOKEN = "woken"  # a kept culture was woken on a plate; what grew stands in the details
    CLEARED = "cleared"  # a clone or test passed; its culture's lack of clearance is overruled


_DATED = {
    Verdict.READY: "the date the lot is expected to be ready",
    Verdict.USE_BY: "the date by which the lot is to be used",
    Verdict.WATCHED: "the date on which the lot is looked at again",
}


def shake(tap: Tap, taken: Taken) -> NewEntry:
    """Units were shaken."""
    return _spoken(tap, Kind.SHAKE, [taken], "shaken")


def look(
    tap: Tap,
    taken: Sequence[Taken],
    *,
    seen: str = "",
    details: Mapping[str, Any] | None = None,
) -> NewEntry:
    """Lots were looked over; ``seen`` is what was seen, nothing if all is well."""
    return _spoken(tap, Kind.LOOK, taken, "looked", value=seen, details=details)


def _spoken(
    tap: Tap,
    kind: Kind,
    taken: Sequence[Taken],
    role: str,
    *,
    value: str = "",
    details: Mapping[str, Any] | None = None,
) -> NewEntry:
    mentions = tuple(NewMention(t.lot, role, t.quantity, value, t.place) for t in taken)
    return tap.entry(kind, mentions=mentions, details=details)


def rounds(tap: Tap, rooms: Sequence[str], *, details: Mapping[str, Any] | None = None) -> NewEntry:
    """Somebody walked through rooms."""
    return tap.entry(Kind.ROUND, details={"rooms": list(rooms), **(details or {})})


def judge(
    tap: Tap,
    lot: str,
    verdict: Verdict,
    *,
    reason: str = "",
    day: date | None = None,
) -> NewEntry:
    """A person judged a lot; expecting, using first and watching need the day."""
    if verdict in _DATED:
        if day is None:
            raise InputError("day", day, _DATED[verdict])
        value = day.isoformat()
    else:
        value = reason or ("held back" if verdict is Verdict.HELD else "")
    return tap.entry(Kind.JUDGE, mentions=(NewMention(lot, verdict.value, value=value),))


def decide(
    tap: Tap, lots: Sequence[str], verdict: Verdict, reason: str, details: Mapping[str, Any]
) -> NewEntry:
    """A person decided on lots that something spoke against: held back, or kept all the same."""
    if verdict not in {Verdict.HELD, Verdict.KEPT}:
        raise InputError("verdict", verdict, "held or kept")
    if not reason:
        raise InputError("reason", reason, "what was seen, in a few words")
    mentions = tuple(NewMention(lot, verdict.value, value=reason) for lot in lots)
    return tap.entry(Kind.JUDGE, mentions=mentions, details=details)


def put_off(tap: Tap, reason: str, *, details: Mapping[str, Any] | None = None) -> NewEntry:
    """A job: not today."""
    return _answer(tap, Kind.PUT_OFF, reason, details)


def drop(tap: Tap, reason: str, *, details: Mapping[str, Any] | None = None) -> NewEntry:
    """A job: not at all."""
    return _answer(tap, Kind.DROP, reason, details)


def _answer(tap: Tap, kind: Kind, reason: str, details: Mapping[str, Any] | None) -> NewEntry:
    if not tap.job:
        raise InputError("job", tap.job, "the code of the job that is answered")
    return tap.entry(kind, details={"reason": reason, **(details or {})})


def note(tap: Tap, lots: Sequence[str] = ()) -> NewEntry:
    """Something worth writing down, about lots or about the farm."""
    if not tap.note:
        raise InputError("note", tap.note, "some text")
    return tap.entry(Kind.NOTE, mentions=tuple(NewMention(lot, "note") for lot in lots))


def mended(tap: Tap, suspect: str) -> NewEntry:
    """Write down, in the tap's note, what was found and mended of a suspect of losses.

    Raises
    ------
    InputError
        If nothing is said, or of nothing.
    """
    if not tap.note:
        raise InputError("what was found and mended", tap.note, "some text")
    if not suspect or len(suspect) > LONGEST:
        raise InputError("suspect", suspect[:LONGEST], f"1 to {LONGEST} signs")
    return tap.entry(Kind.NOTE, details={"mended": suspect})


def correct(tap: Tap, entry: NewEntry) -> NewEntry:
    """Take an entry back: the reverse of its postings, pointing at it."""
    sums: defaultdict[tuple[Any, ...], int] = defaultdict(int)
    for p in entry.postings:
        sums[p.lot, p.account, p.measure, p.place] -= p.quantity
    postings = tuple(
        NewPosting(lot, account, measure, quantity, place)
        for (lot, account, measure, place), quantity in sums.items()
        if quantity
    )
    return NewEntry(
        client_id=tap.client_id,
        kind=Kind.CORRECT,
        happened_at=tap.at,
        person=tap.person,
        postings=postings,
        job=tap.job or entry.job,
        details={"takes_back": entry.kind.value},
        note=tap.note,
        corrects=entry.client_id,
    )
