"""The farm's registers in the database: every version of every record, by date.

A record is changed by writing its next version; the version in force on a day is the one with the
latest ``valid_from`` not after that day, and among those of one date the last written.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from functools import lru_cache
from typing import Any, cast

from django.db import transaction
from django.db.models import Max, TextField
from django.db.models.functions import Cast

from pinset.chain.label_layouts import LabelLayout
from pinset.chain.outages import Outage
from pinset.chain.pins import Pin
from pinset.chain.plain import from_plain, to_plain
from pinset.chain.register import (
    Bench,
    Buyer,
    Culture,
    Farm,
    FarmBook,
    Instrument,
    Outlet,
    Promise,
    Room,
    Route,
    Steriliser,
    Variety,
    Vessel,
    Worker,
)
from pinset.chain.upkeep import Chore, Instruction
from pinset.errors import InputError, RefusedError
from pinset.farm.models import ChainHead, Person, Place, RegisterRow
from pinset.farm.models.person import new_key
from pinset.farm.models.register import RegisterKind
from pinset.farm.seals import seal_of, sealed
from pinset.farm.trouble import plain_words

Record = (
    Farm
    | Room
    | Steriliser
    | Bench
    | Instrument
    | Worker
    | Vessel
    | Route
    | Variety
    | Culture
    | Buyer
    | Promise
    | Outage
    | Pin
    | Outlet
    | LabelLayout
    | Chore
    | Instruction
)

CLASSES: Mapping[RegisterKind, type[Record]] = {
    RegisterKind.FARM: Farm,
    RegisterKind.ROOM: Room,
    RegisterKind.STERILISER: Steriliser,
    RegisterKind.BENCH: Bench,
    RegisterKind.INSTRUMENT: Instrument,
    RegisterKind.WORKER: Worker,
    RegisterKind.VESSEL: Vessel,
    RegisterKind.ROUTE: Route,
    RegisterKind.VARIETY: Variety,
    RegisterKind.CULTURE: Culture,
    RegisterKind.BUYER: Buyer,
    RegisterKind.PROMISE: Promise,
    RegisterKind.OUTAGE: Outage,
    RegisterKind.PIN: Pin,
    RegisterKind.OUTLET: Outlet,
    RegisterKind.LABEL: LabelLayout,
    RegisterKind.CHORE: Chore,
    RegisterKind.INSTRUCTION: Instruction,
}
KIND_OF = {cls: kind for kind, cls in CLASSES.items()}
FIELD_OF = {
    RegisterKind.ROOM: "rooms",
    RegisterKind.STERILISER: "sterilisers",
    RegisterKind.BENCH: "benches",
    RegisterKind.INSTRUMENT: "instruments",
    RegisterKind.WORKER: "workers",
    RegisterKind.VESSEL: "vessels",
    RegisterKind.ROUTE: "routes",
    RegisterKind.VARIETY: "varieties",
    RegisterKind.CULTURE: "cultures",
    RegisterKind.BUYER: "buyers",
    RegisterKind.PROMISE: "promises",
    RegisterKind.OUTAGE: "outages",
    RegisterKind.PIN: "pins",
    RegisterKind.OUTLET: "outlets",
    RegisterKind.LABEL: "labels",
    RegisterKind.CHORE: "upkeep",
    RegisterKind.INSTRUCTION: "instructions",
}
"""The field of a :class:`~pinset.chain.register.FarmBook` that holds records of a kind."""


@dataclass(frozen=True, slots=True)
class Version:
    """One version of a record, as history shows it."""

    version: int
    valid_from: date
    recorded_at: datetime
    recorded_by: str  # name; empty for the program
    record: Record
    is_retired: bool


@dataclass(frozen=True, slots=True)
class Difference:
    """One record in which a book and the registers differ."""

    kind: str
    code: str
    what: str  # "new", "changed", "missing"
    fields: tuple[str, ...] = ()  # of a changed record


@lru_cache(maxsize=8192)
def _read(kind: str, text: str) -> Record:
    record: Record = from_plain(CLASSES[RegisterKind(kind)], json.loads(text))
    return record


def record_of(row: RegisterRow) -> Record:
    """Return the record a row holds."""
    return _read(row.kind, json.dumps(row.body, sort_keys=True))


def _in_force(on: date, kinds: Iterable[str]) -> list[tuple[str, str, Record]]:
    """Return kind, code and record of everything in force on a day, in the order first written."""
    rows = (
        RegisterRow.objects.filter(kind__in=list(kinds), valid_from__lte=on)
        .annotate(text=Cast("body", TextField()))
        .order_by("valid_from", "version")
        .values_list("kind", "code", "position", "is_retired", "text")
    )
    last: dict[tuple[str, str], tuple[int, bool, str]] = {}
    for kind, code, position, is_retired, text in rows:
        last[kind, code] = (position, is_retired, text)
    held = sorted(
        (kind, position, code, text)
        for (kind, code), (position, is_retired, text) in last.items()
        if not is_retired
    )
    return [(kind, code, _read(kind, text)) for kind, position, code, text in held]


def current(kind: RegisterKind, on: date) -> tuple[Record, ...]:
    """Return the records of a kind in force on a day."""
    return tuple(record for _, _, record in _in_force(on, [kind]))


def current_of(kinds: Sequence[RegisterKind], on: date) -> dict[RegisterKind, tuple[Record, ...]]:
    """Return the records of several kinds in force on a day, with one statement."""
    found: dict[RegisterKind, list[Record]] = {kind: [] for kind in kinds}
    for kind, _, record in _in_force(on, kinds):
        found[RegisterKind(kind)].append(record)
    return {kind: tuple(records) for kind, records in found.items()}


def book(on: date) -> FarmBook:
    """Return everything the farm says of itself on a day; its lots are left empty.

    Raises
    ------
    RefusedError
        If no farm has been loaded by that day.
    """
    fields: dict[str, list[Record]] = {}
    farm: Farm | None = None
    for kind, _, record in _in_force(on, list(CLASSES)):
        if isinstance(record, Farm):
            farm = record
        else:
            fields.setdefault(FIELD_OF[RegisterKind(kind)], []).append(record)
    if farm is None:
        raise RefusedError(
            f"No farm is described on {on}.", "Describe it and load it: pinset load."
        )
    return FarmBook(farm=farm, **{name: tuple(found) for name, found in fields.items()})  # type: ignore[arg-type]


def book_records(described: FarmBook) -> tuple[Record, ...]:
    """Return the records of a book one after another, lots left out."""
    found: list[Record] = [described.farm]
    for name in FIELD_OF.values():
        found.extend(getattr(described, name))
    return tuple(found)


def differences(described: FarmBook, on: date) -> tuple[Difference, ...]:
    """Return in which records a book differs from what is in force on a day."""
    held = {(kind, code): to_plain(record) for kind, code, record in _in_force(on, list(CLASSES))}
    found = []
    for record in book_records(described):
        key = (KIND_OF[type(record)].value, record.code)
        body, before = to_plain(record), held.pop(key, None)
        if before is None:
            found.append(Difference(*key, "new"))
        elif before != body:
            names = sorted(n for n in body.keys() | before.keys() if body.get(n) != before.get(n))
            found.append(Difference(*key, "changed", tuple(names)))
    found.extend(Difference(kind, code, "missing") for kind, code in held)
    return tuple(found)


def versions(kind: RegisterKind, code: str) -> tuple[Version, ...]:
    """Return every version of a record, the first one first."""
    rows = RegisterRow.objects.filter(kind=kind, code=code).select_related("recorded_by")
    return tuple(_version(row) for row in rows.order_by("version"))


def versions_of(kind: RegisterKind) -> dict[str, tuple[Version, ...]]:
    """Return every version of every record of a kind by code, the first one first."""
    found: dict[str, tuple[Version, ...]] = {}
    rows = RegisterRow.objects.filter(kind=kind).select_related("recorded_by")
    for row in rows.order_by("position", "version"):
        found[row.code] = (*found.get(row.code, ()), _version(row))
    return found


def _version(row: RegisterRow) -> Version:
    return Version(
        version=row.version,
        valid_from=row.valid_from,
        recorded_at=row.recorded_at,
        recorded_by=str(row.recorded_by) if row.recorded_by else "",
        record=record_of(row),
        is_retired=row.is_retired,
    )


def first_recorded(kind: RegisterKind) -> dict[str, datetime]:
    """Return when each record of a kind was first written down."""
    rows = RegisterRow.objects.filter(kind=kind, version=1).values_list("code", "recorded_at")
    return dict(rows)


def write(
    records: Sequence[Record],
    valid_from: date,
    by: str,
    now: datetime,
    *,
    retire: Iterable[tuple[RegisterKind, str]] = (),
    key_for: Callable[[str], str] | None = None,
) -> tuple[RegisterRow, ...]:
    """Write the next version of every record that differs from the one in force.

    Shelves become places and workers become people (who cannot sign in until they are given a
    password) in the same transaction.

    Parameters
    ----------
    records : sequence of records
        Whole records; those equal to what is in force are left alone.
    valid_from : date
        The first day they hold.
    by : str
        Code of the person; empty for the program itself.
    now : datetime
        When they are written down; aware.
    retire : iterable of (kind, code)
        Records that end on that day.
    key_for : callable, optional
        Gives a new person's opaque key from the code; only the demo passes one.

    Raises
    ------
    InputError
        If a record is given twice, or one to retire is not in force.
    """
    seen: set[tuple[str, str]] = set()
    for record in records:
        key = (KIND_OF[type(record)].value, record.code)
        if key in seen:
            raise InputError(f"{key[0]} code", key[1], "each code once")
        seen.add(key)
    with plain_words(), transaction.atomic():
        ChainHead.objects.get_or_create(pk=1)
        head = ChainHead.objects.select_for_update().get(pk=1)
        person = Person.objects.get(code=by) if by else None
        rows = list(_next_versions(records, valid_from, person, now, set(retire)))
        _write_places([record for record in records if isinstance(record, Room)])
        _write_people([r for r in records if isinstance(r, Worker)], key_for or _random_key)
        _seal(rows, head)
        RegisterRow.objects.bulk_create(rows)
    return tuple(rows)


def _seal(rows: Sequence[RegisterRow], head: ChainHead) -> None:
    """Chain the rows, in the order in which they are written, to those before them."""
    if not rows:
        return
    workers = [row.code for row in rows if row.kind == RegisterKind.WORKER]
    keys = dict(Person.objects.filter(code__in=workers).values_list("code", "key"))
    for row in rows:
        row.seal = head.last_seal = seal_of(sealed(row, keys), head.last_seal)
    head.registers += len(rows)
    head.save(update_fields=["registers", "last_seal"])


def _random_key(_code: str) -> str:
    return new_key()


def _next_versions(
    records: Sequence[Record],
    valid_from: date,
    person: Person | None,
    now: datetime,
    retire: set[tuple[RegisterKind, str]],
) -> Iterable[RegisterRow]:
    kinds = {KIND_OF[type(record)] for record in records} | {kind for kind, _ in retire}
    last: dict[tuple[str, str], tuple[int, int]] = {}
    held: dict[tuple[str, str], tuple[Any, bool]] = {}
    rows = RegisterRow.objects.filter(kind__in=kinds).order_by("valid_from", "version")
    for row in rows:
        version = last.get((row.kind, row.code), (0, 0))[0]
        last[row.kind, row.code] = (max(version, row.version), row.position)
        if row.valid_from <= valid_from:
            held[row.kind, row.code] = (row.body, row.is_retired)
    positions = dict(
        RegisterRow.objects.filter(kind__in=kinds)
        .values_list("kind")
        .annotate(most=Max("position"))
        .order_by()
    )

    def following(kind: str, code: str, body: Any, *, is_retired: bool) -> RegisterRow:
        if (kind, code) not in last:
            positions[kind] = positions.get(kind, 0) + 1
        version, position = last.get((kind, code), (0, positions.get(kind, 0)))
        return RegisterRow(
            kind=kind,
            code=code,
            version=version + 1,
            position=position,
            valid_from=valid_from,
            recorded_at=now,
            recorded_by=person,
            body=body,
            is_retired=is_retired,
        )

    for record in records:
        kind, body = KIND_OF[type(record)].value, to_plain(record)
        if held.get((kind, record.code)) != (body, False):
            yield following(kind, record.code, body, is_retired=False)
    for kind, code in sorted(retire):
        body, was_retired = held.get((kind.value, code), (None, True))
        if was_retired:
            raise InputError(
                f"{kind.value} to end", code, f"a {kind.value} in force on {valid_from}"
            )
        yield following(kind.value, code, body, is_retired=True)


def _write_places(rooms: Sequence[Room]) -> None:
    wanted = {shelf.code: room.code for room in rooms for shelf in room.shelves}
    known = {place.code: place for place in Place.objects.filter(code__in=wanted)}
    moved = [
        known[code] for code, room in wanted.items() if code in known and known[code].room != room
    ]
    for place in moved:
        place.room = wanted[place.code]
    Place.objects.bulk_update(moved, ["room"])
    Place.objects.bulk_create(
        Place(code=code, room=room) for code, room in wanted.items() if code not in known
    )


def _write_people(workers: Sequence[Worker], key_for: Callable[[str], str]) -> None:
    known = {p.code: p for p in Person.objects.filter(code__in=[w.code for w in workers])}
    for worker in workers:
        person = known.get(worker.code)
        if person is None:
            Person.objects.create_person(
                worker.code, name=worker.name, role=worker.role, key=key_for(worker.code)
            )
        elif (person.name, person.role) != (worker.name, worker.role):
            person.name, person.role = worker.name, worker.role
            person.save(update_fields=["name", "role"])


def farm_of(on: date) -> Farm:
    """Return the farm's own record in force on a day."""
    found = current(RegisterKind.FARM, on)
    if not found:
        raise RefusedError(
            f"No farm is described on {on}.", "Describe it and load it: pinset load."
        )
    return cast("Farm", found[0])
