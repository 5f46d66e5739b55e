"""What the door has in front of it while it writes: the few rows the new entries touch.

Everything is read with one statement a table before the first entry is written, and kept up to
date here from entry to entry, so that a list of a thousand entries needs no more statements than
one entry.
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache

from django.db import connections
from django.db.backends.utils import CursorWrapper

from pinset.errors import InputError
from pinset.farm.entries import Account, Measure, NewEntry, NewLot
from pinset.farm.rows import insert_rows, select_in

PostingKey = tuple[str, str, str, str]  # lot code, account, place code, measure
RawKey = tuple[int, int, str]  # lot, place, measure


@dataclass(slots=True)
class Head:
    """The chain's head while we hold it."""

    count: int
    last_hash: str
    lots: int
    waiting: int


@dataclass(slots=True)
class KnownLot:
    """A lot the new entries speak of."""

    id: int
    code: str
    is_announced: bool
    is_void: bool = False
    made_by: int | None = None
    is_stored: bool = True  # its row was there before this list of entries
    facts: NewLot | None = None  # given by an entry of this list
    route_id: int | None = None


@dataclass(slots=True)
class KnownEntry:
    """An entry that is recorded already: sent again, set right by a new one, or waiting."""

    id: int
    corrects: str
    is_corrected: bool = False
    raw: dict[PostingKey, int] | None = None  # as people said it; None: not read yet


@dataclass(frozen=True, slots=True)
class RouteVersion:
    """One version of a route, as far as the door cares."""

    id: int
    version: int
    valid_from: date
    steps: frozenset[str]


@lru_cache(maxsize=256)
def _steps_in(body: str) -> frozenset[str]:
    return frozenset(step["code"] for step in json.loads(body)["steps"])


def raw_of(entry: NewEntry) -> dict[PostingKey, int]:
    """Return an entry's postings summed by lot, account, place and measure."""
    raw: defaultdict[PostingKey, int] = defaultdict(int)
    for p in entry.postings:
        raw[p.lot, p.account.value, p.place, p.measure.value] += p.quantity
    return {key: quantity for key, quantity in raw.items() if quantity}


@dataclass(slots=True)
class Desk:
    """The rows in front of the door."""

    cursor: CursorWrapper
    head: Head
    entries: dict[str, KnownEntry] = field(default_factory=dict)
    # an entry that has not arrived -> the corrections that wait for it, in the order they came
    waiting: defaultdict[str, list[KnownEntry]] = field(default_factory=lambda: defaultdict(list))
    people: dict[str, tuple[int, str]] = field(default_factory=dict)  # code -> id, key
    places: dict[str, int] = field(default_factory=dict)
    lots: dict[str, KnownLot] = field(default_factory=dict)
    routes: dict[str, list[RouteVersion]] = field(default_factory=dict)
    raw: defaultdict[RawKey, int] = field(default_factory=lambda: defaultdict(int))

    def person(self, code: str) -> tuple[int | None, str]:
        """Return number and key of a person; nobody for the program itself."""
        if not code:
            return None, ""
        if code not in self.people:
            raise InputError("person", code, "the code of a person of this farm")
        return self.people[code]

    def lot(self, code: str) -> KnownLot:
        """Return a lot, announcing it if nobody has spoken of it before."""
        known = self.lots.get(code)
        if known is None:
            self.head.lots += 1
            known = KnownLot(self.head.lots, code, is_announced=True, is_stored=False)
            self.lots[code] = known
        return known

    def route(self, lot: NewLot) -> RouteVersion | None:
        """Return the version of the lot's route in force on the day it was made.

        A lot older than the book follows the first version.
        """
        if not lot.route:
            return None
        versions = self.routes.get(lot.route, [])
        if not versions:
            raise InputError("route", lot.route, "the code of a route in the farm's book")
        held = [v for v in versions if v.valid_from <= lot.made_on]
        found = (
            max(held, key=lambda v: (v.valid_from, v.version))
            if held
            else min(versions, key=lambda v: (v.valid_from, v.version))
        )
        if lot.step and lot.step not in found.steps:
            raise InputError("step", lot.step, f"a step of route {lot.route}: {_listed(found)}")
        return found

    def raw_postings(self, known: KnownEntry) -> dict[PostingKey, int]:
        """Return what an earlier entry said, with `unexplained` folded back."""
        if known.raw is None:
            raw: defaultdict[PostingKey, int] = defaultdict(int)
            self.cursor.execute(
                "SELECT l.code, p.account, s.code, p.measure, p.quantity FROM farm_posting p "
                "JOIN farm_lot l ON l.id = p.lot_id JOIN farm_place s ON s.id = p.place_id "
                "WHERE p.entry_id = %s",
                [known.id],
            )
            for lot, account, place, measure, quantity in self.cursor.fetchall():
                raw[lot, _said(account, measure), place, measure] += quantity
            known.raw = {key: quantity for key, quantity in raw.items() if quantity}
        return known.raw


def _listed(version: RouteVersion) -> str:
    return ", ".join(sorted(version.steps))


def _said(account: str, measure: str) -> str:
    """Return the account people spoke of: what is unexplained was said of what stands."""
    if account != Account.UNEXPLAINED.value:
        return account
    return (Account.ALIVE if measure == Measure.UNIT.value else Account.STORE).value


def open_desk(cursor: CursorWrapper, entries: Sequence[NewEntry], using: str) -> Desk:
    """Take the head of the chain and read what the entries touch."""
    desk = Desk(cursor, _take_head(cursor, using))
    _read_entries(desk, entries)
    fresh = [entry for entry in entries if entry.client_id not in desk.entries]
    _read_people_and_places(desk, fresh)
    _read_lots(desk, fresh)
    _read_routes(desk, fresh)
    return desk


def _take_head(cursor: CursorWrapper, using: str) -> Head:
    """Return the chain's head; until the transaction ends nobody else may write."""
    query = "SELECT count, last_hash, lots, waiting FROM farm_chainhead WHERE id = 1"
    if connections[using].features.has_select_for_update:
        query += " FOR UPDATE"
    cursor.execute(query)
    row = cursor.fetchone()
    if row is None:
        cursor.execute(
            "INSERT INTO farm_chainhead "
            "(id, count, last_hash, lots, codes, waiting, registers, last_seal) "
            "VALUES (1, 0, '', 0, 0, 0, 0, '') ON CONFLICT DO NOTHING"
        )
        cursor.execute(query)
        row = cursor.fetchone()
    return Head(*row)


def _read_entries(desk: Desk, entries: Sequence[NewEntry]) -> None:
    ids = {e.client_id for e in entries} | {e.corrects for e in entries if e.corrects}
    select = "SELECT client_id, id, corrects_client, is_corrected FROM farm_entry WHERE client_id"
    for client, number, corrects, is_corrected in select_in(desk.cursor, select, ids):
        desk.entries[client] = KnownEntry(number, corrects, bool(is_corrected))
    fresh = {e.client_id for e in entries} - set(desk.entries)
    if desk.head.waiting and fresh:
        select = "SELECT id, corrects_client FROM farm_entry WHERE corrects_client"
        for number, target in sorted(select_in(desk.cursor, select, fresh)):
            desk.waiting[target].append(KnownEntry(number, target))


def _read_people_and_places(desk: Desk, entries: Iterable[NewEntry]) -> None:
    people = {e.person for e in entries if e.person}
    select = "SELECT code, id, key FROM farm_person WHERE code"
    for code, number, key in select_in(desk.cursor, select, people):
        desk.people[code] = (number, key)
    places = {p.place for e in entries for p in e.postings}
    places |= {m.place for e in entries for m in e.mentions}
    desk.places = places_by_code(desk.cursor, places)


def places_by_code(cursor: CursorWrapper, codes: set[str]) -> dict[str, int]:
    """Return the numbers of places, writing down those not heard of before."""
    select = "SELECT code, id FROM farm_place WHERE code"
    found: dict[str, int] = dict(select_in(cursor, select, codes))
    if missing := sorted(codes - set(found)):
        insert_rows(cursor, "farm_place", ("code", "room"), [(code, "") for code in missing])
        found |= dict(select_in(cursor, select, missing))
    return found


def _read_lots(desk: Desk, entries: Iterable[NewEntry]) -> None:
    codes: dict[str, None] = {}  # in the order they are spoken of
    posted: set[str] = set()
    for entry in entries:
        posted.update(p.lot for p in entry.postings)
        codes |= dict.fromkeys(lot.code for lot in entry.lots)
        codes |= dict.fromkeys(p.lot for p in entry.postings)
        codes |= dict.fromkeys(code for link in entry.links for code in (link.parent, link.child))
        codes |= dict.fromkeys(m.lot for m in entry.mentions)
    select = "SELECT id, code, is_announced, is_void, made_by_id FROM farm_lot WHERE code"
    for number, code, announced, void, made_by in select_in(desk.cursor, select, codes):
        desk.lots[code] = KnownLot(number, code, bool(announced), bool(void), made_by)
    standing = [lot.id for code, lot in desk.lots.items() if code in posted]
    select = (
        "SELECT lot_id, place_id, measure, quantity FROM farm_balance "
        "WHERE account IN ('alive', 'store', 'unexplained') AND lot_id"
    )
    for lot_id, place_id, measure, quantity in select_in(desk.cursor, select, standing):
        desk.raw[lot_id, place_id, measure] += quantity


def _read_routes(desk: Desk, entries: Iterable[NewEntry]) -> None:
    codes = {lot.route for entry in entries for lot in entry.lots if lot.route}
    select = (
        "SELECT code, id, version, valid_from, body FROM farm_registerrow "
        "WHERE kind = 'route' AND code"
    )
    for code, number, version, valid_from, body in select_in(desk.cursor, select, codes):
        since = valid_from if isinstance(valid_from, date) else date.fromisoformat(valid_from)
        desk.routes.setdefault(code, []).append(
            RouteVersion(number, version, since, _steps_in(body))
        )
