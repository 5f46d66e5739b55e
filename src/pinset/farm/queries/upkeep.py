"""What was written down of chores and instructions, and how often things were used."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from django.db.models import QuerySet

from pinset.farm.entries import Kind
from pinset.farm.models import Entry
from pinset.farm.queries.story import read
from pinset.farm.trade.benchwork import Word


@dataclass(frozen=True, slots=True)
class ChoreDone:
    """One time that a chore was done."""

    entry: str  # client id
    chore: str
    at: datetime
    by: str  # name of who did it
    reading: float | None
    unit: str
    is_changed: bool
    is_amiss: bool
    instrument: str
    reference: str
    note: str = ""  # only where it is asked for


@dataclass(frozen=True, slots=True)
class InstructionRead:
    """Somebody understood a version of an instruction."""

    instruction: str
    version: int
    person: str  # code
    at: datetime


def _standing(kind: Kind) -> QuerySet[Entry]:
    return Entry.objects.filter(kind=kind, is_corrected=False, corrects_client="").order_by(
        "happened_at", "id"
    )


def _done(entry: str, at: datetime, by: str, details: Mapping[str, object], note: str) -> ChoreDone:
    reading = details.get("reading")
    return ChoreDone(
        entry=entry,
        chore=str(details.get("chore", "")),
        at=at,
        by=by,
        reading=float(reading) if isinstance(reading, (int, float)) else None,
        unit=str(details.get("unit", "")),
        is_changed=bool(details.get("changed")),
        is_amiss=bool(details.get("amiss")),
        instrument=str(details.get("instrument", "")),
        reference=str(details.get("reference", "")),
        note=note,
    )


def done_since_new(chore: str, *, since_new: bool) -> tuple[ChoreDone, ...]:
    """Return the last time that a chore was done, without the note; nothing if it never was.

    With ``since_new`` all times since something new was put in or mended, oldest first.
    """
    rows = _standing(Kind.CLEAN).filter(about=chore).order_by("-happened_at", "-id")
    told = rows.values_list("client_id", "happened_at", "details")
    found: list[ChoreDone] = []
    for entry, at, details in (told if since_new else told[:1]).iterator(50):
        found.append(_done(entry, at, "", details, ""))
        if found[-1].is_changed and found[-1].reading is not None:
            break
    return tuple(reversed(found))


def chore_history(chore: str) -> tuple[ChoreDone, ...]:
    """Return every time one chore was done, oldest first, with who and the notes."""
    entries = _standing(Kind.CLEAN).filter(about=chore).select_related("person")
    return tuple(
        _done(each.client_id, each.happened_at, each.person_name, each.details, each.note)
        for each in read(list(entries))
    )


def comparisons() -> dict[str, ChoreDone]:
    """Return the last comparison of each instrument that gave a reading."""
    rows = _standing(Kind.CLEAN).filter(details__has_key="instrument")
    found: dict[str, ChoreDone] = {}
    for entry, at, details in rows.values_list("client_id", "happened_at", "details"):
        each = _done(entry, at, "", details, "")
        if each.reading is not None:
            found[each.instrument] = each
    return found


def cooks_since(since: datetime) -> dict[str, tuple[datetime, ...]]:
    """Return when each steriliser cooked since a moment; a cook written in parts counts once."""
    rows = _standing(Kind.COOK).filter(happened_at__gt=since).values_list("happened_at", "details")
    found: dict[tuple[str, str], datetime] = {}
    for at, details in rows:
        found.setdefault((str(details.get("steriliser", "")), str(details.get("cook", ""))), at)
    return _by_thing(found)


def sessions_since(since: datetime) -> dict[str, tuple[datetime, ...]]:
    """Return when sessions were begun at each bench since a moment."""
    rows = _standing(Kind.SESSION).filter(happened_at__gt=since, details__word=Word.BEGUN.value)
    found = {
        (str(details.get("bench", "")), str(details.get("session", ""))): at
        for at, details in rows.values_list("happened_at", "details")
    }
    return _by_thing(found)


def _by_thing(found: Mapping[tuple[str, str], datetime]) -> dict[str, tuple[datetime, ...]]:
    by_thing: defaultdict[str, list[datetime]] = defaultdict(list)
    for (thing, _), at in found.items():
        by_thing[thing].append(at)
    return {thing: tuple(sorted(times)) for thing, times in by_thing.items()}


def instructions_read(instruction: str = "") -> tuple[InstructionRead, ...]:
    """Return who understood which version, of one instruction or of all, oldest first."""
    rows = _standing(Kind.READ)
    if instruction:
        rows = rows.filter(about=instruction)
    return tuple(
        InstructionRead(
            str(details.get("instruction", "")), int(details.get("version", 0)), person or "", at
        )
        for at, person, details in rows.values_list("happened_at", "person__code", "details")
    )
