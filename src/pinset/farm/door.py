"""The door: the one place where entries are written into the ledger.

:func:`record` takes a list of entries and writes all of them or none, in one transaction, one
writer at a time. It checks the form of each (:mod:`~pinset.farm.validation`), splits what stands
from what is unexplained (:mod:`~pinset.farm.standing`), and chains the hashes
(:mod:`~pinset.farm.canonical`). The order of arrival does not matter: the same entries give the
same farm.
"""

from __future__ import annotations

import secrets
from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime

from django.db import DEFAULT_DB_ALIAS, connections, transaction

from pinset.errors import Finding, InputError, RefusedError, Severity
from pinset.farm import canonical
from pinset.farm.desk import Desk, KnownEntry, KnownLot, PostingKey, open_desk, raw_of
from pinset.farm.entries import Account, Measure, NewEntry, NewLot
from pinset.farm.lineage_walk import below
from pinset.farm.rows import Row, day, document, insert_rows, moment, update_in
from pinset.farm.standing import STANDING, split
from pinset.farm.trouble import plain_words
from pinset.farm.validation import check_entry


@dataclass(frozen=True, slots=True)
class Recorded:
    """What became of one entry."""

    client_id: str
    entry: int  # number in the order of recording
    already: bool  # the same entry had been recorded before; nothing was written
    findings: tuple[Finding, ...] = ()


def fresh_salt(_client_id: str) -> str:
    """Return a random salt for a note."""
    return secrets.token_hex(16)


def record(
    entries: Sequence[NewEntry],
    *,
    now: datetime,
    salt_for: Callable[[str], str] = fresh_salt,
    using: str = DEFAULT_DB_ALIAS,
) -> tuple[Recorded, ...]:
    """Write entries into the ledger, all or none, and say what became of each.

    Parameters
    ----------
    entries : sequence of NewEntry
        In any order; one that was recorded before is recognised by its client id and left alone.
    now : datetime
        When they are written down; aware.
    salt_for : callable
        Gives the salt of a note from the entry's client id; only the demo passes its own.
    using : str
        Name of the database connection.

    Raises
    ------
    InputError
        If an entry has a value that cannot be; the list is refused as a whole.
    RefusedError
        If an entry contradicts one that is recorded: a lot made twice, a loop in the lineage, an
        entry set right twice.
    StorageError
        If the disk or the database would not do it.
    """
    for entry in entries:
        check_entry(entry, now)
    if not entries:
        return ()
    with plain_words(), transaction.atomic(using=using), connections[using].cursor() as cursor:
        writing = _Writing(open_desk(cursor, entries, using), now.astimezone(UTC), salt_for, using)
        recorded = tuple(writing.take(entry) for entry in entries)
        writing.store()
    return recorded


@dataclass(slots=True)
class _Made:
    """The rows of one entry before they are stored."""

    lots: list[canonical.Row] = field(default_factory=list)
    postings: list[canonical.Row] = field(default_factory=list)
    links: list[canonical.Row] = field(default_factory=list)
    mentions: list[canonical.Row] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    lots_before: int = 0  # lots with a higher number are first spoken of here


@dataclass(slots=True)
class _Writing:
    """One call of :func:`record` while it goes on."""

    desk: Desk
    now: datetime
    salt_for: Callable[[str], str]
    using: str
    entry_rows: list[Row] = field(default_factory=list)
    posting_rows: list[Row] = field(default_factory=list)
    link_rows: list[Row] = field(default_factory=list)
    mention_rows: list[Row] = field(default_factory=list)
    note_rows: list[Row] = field(default_factory=list)
    changes: defaultdict[tuple[int, str, int, str], int] = field(
        default_factory=lambda: defaultdict(int)
    )
    corrected: list[int] = field(default_factory=list)  # entries set right
    arrived: list[tuple[int, int]] = field(default_factory=list)  # correction, its target

    # -- one entry -------------------------------------------------------------------------

    def take(self, entry: NewEntry) -> Recorded:
        """Take one entry, in memory."""
        known = self.desk.entries.get(entry.client_id)
        if known is not None:
            return Recorded(entry.client_id, known.id, already=True)
        number = self.desk.head.count + 1
        person_id, person_key = self.desk.person(entry.person)
        made = _Made(lots_before=self.desk.head.lots)
        raw = raw_of(entry)
        target, is_corrected = self._corrections(entry, number, raw)
        self._take_lots(entry, number, made, is_void=is_corrected)
        self._take_postings(number, raw, made)
        self._take_links(entry, number, made, is_cancelled=is_corrected)
        self._take_mentions(entry, number, made, is_cancelled=is_corrected)
        self._look_for_void(entry, number, made)
        digest = self._take_note(entry)
        whole = canonical.Canonical(
            number=number,
            previous=self.desk.head.last_hash or canonical.FIRST_HASH,
            client=entry.client_id,
            kind=entry.kind.value,
            person=person_key,
            happened_at=entry.happened_at,
            recorded_at=self.now,
            job=entry.job,
            details=entry.details,
            note=digest,
            corrects=entry.corrects,
            lots=tuple(made.lots),
            postings=tuple(made.postings),
            links=tuple(made.links),
            mentions=tuple(made.mentions),
        )
        hashed = canonical.entry_hash(whole)
        self.entry_rows.append(
            (
                number,
                entry.client_id,
                entry.kind.value,
                person_id,
                moment(entry.happened_at.astimezone(UTC), self.using),
                moment(self.now, self.using),
                entry.job,
                document(entry.details),
                digest,
                target,
                entry.corrects,
                is_corrected,
                whole.previous,
                hashed,
            )
        )
        self.desk.head.count, self.desk.head.last_hash = number, hashed
        self.desk.entries[entry.client_id] = KnownEntry(number, entry.corrects, is_corrected, raw)
        return Recorded(entry.client_id, number, already=False, findings=tuple(made.findings))

    def _corrections(
        self, entry: NewEntry, number: int, raw: dict[PostingKey, int]
    ) -> tuple[int | None, bool]:
        """Return the entry this one sets right, and whether this one is set right already."""
        waits = self.desk.waiting.pop(entry.client_id, None)
        if waits is not None:
            correction, client = waits
            if entry.corrects:
                raise InputError("corrects", entry.corrects, "an entry that corrects no other")
            known = self.desk.entries.get(client) or KnownEntry(correction, entry.client_id)
            reversal = self.desk.raw_postings(known)
            _must_cancel(raw, reversal, client)
            self.arrived.append((correction, number))
            self.desk.head.waiting -= 1
            return None, True
        if not entry.corrects:
            return None, False
        target = self.desk.entries.get(entry.corrects)
        if target is None:
            if entry.corrects in self.desk.waiting:
                raise _set_right_before()
            self.desk.waiting[entry.corrects] = (number, entry.client_id)
            self.desk.head.waiting += 1
            return None, False
        if target.corrects:
            raise InputError(
                "corrects",
                entry.corrects,
                "an entry that corrects no other",
                "What was taken back is written anew.",
            )
        if target.is_corrected:
            raise _set_right_before()
        _must_cancel(self.desk.raw_postings(target), raw, entry.corrects)
        target.is_corrected = True
        self.corrected.append(target.id)
        for lot in self.desk.lots.values():
            if lot.made_by == target.id:
                lot.is_void = True
        return target.id, False

    def _take_lots(self, entry: NewEntry, number: int, made: _Made, *, is_void: bool) -> None:
        for new in entry.lots:
            lot = self.desk.lot(new.code)
            if not lot.is_announced:
                raise RefusedError(
                    f"Lot {new.code} was made before, by entry {lot.made_by}.",
                    "A lot is made once; give the new one its own code.",
                )
            version = self.desk.route(new)
            lot.is_announced, lot.is_void, lot.made_by, lot.facts = False, is_void, number, new
            lot.route_id = version.id if version else None
            made.lots.append(lot_facts(new, version.version if version else 0))

    def _take_postings(self, number: int, raw: dict[PostingKey, int], made: _Made) -> None:
        for (code, account, place, measure), quantity in raw.items():
            lot_id, place_id = self.desk.lot(code).id, self.desk.places[place]
            parts = [(account, quantity)]
            if account == STANDING[Measure(measure)].value:
                before = self.desk.raw[lot_id, place_id, measure]
                self.desk.raw[lot_id, place_id, measure] = before + quantity
                stands, unexplained = split(before, quantity)
                parts = [(account, stands), (Account.UNEXPLAINED.value, unexplained)]
                if unexplained < 0:
                    made.findings.append(_unexplained(code, place, measure, -unexplained))
            for name, part in parts:
                if part:
                    self.posting_rows.append((number, lot_id, name, place_id, measure, part))
                    self.changes[lot_id, name, place_id, measure] += part
                    made.postings.append((code, name, place, measure, part))

    def _take_links(self, entry: NewEntry, number: int, made: _Made, *, is_cancelled: bool) -> None:
        if not entry.links:
            return
        parents = {link.parent for link in entry.links}
        doubtful = [
            link
            for link in entry.links
            if link.child in parents or self.desk.lot(link.child).id <= made.lots_before
        ]
        for link in entry.links:
            parent, child = self.desk.lot(link.parent), self.desk.lot(link.child)
            row = (link.units, link.amount, link.measure.value)
            self.link_rows.append((number, parent.id, child.id, *row, is_cancelled))
            made.links.append((link.parent, link.child, *row))
            if not is_cancelled:
                self.desk.links[parent.id].add(child.id)
        if not is_cancelled:
            for link in doubtful:
                self._refuse_loop(self.desk.lot(link.parent), self.desk.lot(link.child))

    def _refuse_loop(self, parent: KnownLot, child: KnownLot) -> None:
        """Refuse a link that would make a lot its own ancestor."""
        seen: set[int] = set()
        edge = {child.id}
        while edge:
            found = below(edge, using=self.using)
            seen |= found
            edge = {lot for known in found for lot in self.desk.links[known]} - seen
        if parent.id in seen:
            raise RefusedError(
                f"Lot {child.code} cannot come from lot {parent.code}: "
                f"{parent.code} was itself made from {child.code}.",
                "Look at the two labels again.",
            )

    def _take_mentions(
        self, entry: NewEntry, number: int, made: _Made, *, is_cancelled: bool
    ) -> None:
        for m in entry.mentions:
            lot, place = self.desk.lot(m.lot), self.desk.places[m.place]
            self.mention_rows.append(
                (number, lot.id, m.role, place, m.count, m.value, is_cancelled)
            )
            made.mentions.append((m.lot, m.role, m.place, m.count, m.value))

    def _look_for_void(self, entry: NewEntry, number: int, made: _Made) -> None:
        if entry.corrects:
            return
        spoken = {p.lot for p in entry.postings} | {link.parent for link in entry.links}
        made.findings.extend(
            Finding(
                "ledger.void-lot",
                Severity.WARNING,
                f"lot {code}",
                f"The entry that made lot {code} was taken back, but the lot is still used.",
                "Write down anew how it was made, under a new code, or take this entry back too.",
            )
            for code in sorted(spoken)
            if self.desk.lot(code).is_void and self.desk.lot(code).made_by != number
        )

    def _take_note(self, entry: NewEntry) -> str:
        if not entry.note:
            return ""
        salt = self.salt_for(entry.client_id)
        digest = canonical.note_digest(salt, entry.note)
        self.note_rows.append((digest, salt, entry.note, False))
        return digest

    # -- all of them -----------------------------------------------------------------------

    def store(self) -> None:
        """Write everything that was taken, one statement a table."""
        if not self.entry_rows:
            return
        cursor = self.desk.cursor
        insert_rows(cursor, "farm_entry", _ENTRY, self.entry_rows)
        self._store_lots()
        insert_rows(cursor, "farm_posting", _POSTING, self.posting_rows)
        insert_rows(cursor, "farm_link", _LINK, self.link_rows)
        insert_rows(cursor, "farm_mention", _MENTION, self.mention_rows)
        insert_rows(cursor, "farm_note", _NOTE, self.note_rows)
        insert_rows(
            cursor,
            "farm_balance",
            _BALANCE,
            [(*key, change) for key, change in self.changes.items() if change],
            after="ON CONFLICT (lot_id, account, place_id, measure) "
            "DO UPDATE SET quantity = farm_balance.quantity + excluded.quantity",
        )
        for correction, target in self.arrived:
            cursor.execute(
                "UPDATE farm_entry SET corrects_id = %s WHERE id = %s", [target, correction]
            )
        for update in _SET_RIGHT:
            update_in(cursor, update, self.corrected)
        head = self.desk.head
        cursor.execute(
            "UPDATE farm_chainhead SET count = %s, last_hash = %s, lots = %s, waiting = %s "
            "WHERE id = 1",
            [head.count, head.last_hash, head.lots, head.waiting],
        )

    def _store_lots(self) -> None:
        cursor, rows = self.desk.cursor, []
        for lot in self.desk.lots.values():
            if lot.is_stored and lot.facts is None:
                continue
            row = (lot.id, lot.code, lot.is_announced, lot.is_void, *self._facts(lot))
            if not lot.is_stored:
                rows.append(row)
                continue
            cursor.execute(_COMPLETE_LOT, [*row[2:], lot.id])
        insert_rows(cursor, "farm_lot", _LOT, rows)

    def _facts(self, lot: KnownLot) -> Row:
        new = lot.facts
        if new is None:
            return (None, "", "", "", None, "", None, "", "", None, None, "", False)
        return (
            lot.made_by,
            new.stage.value,
            new.variety,
            new.step,
            lot.route_id,
            new.culture,
            day(new.made_on, self.using),
            new.cook,
            new.session,
            new.generation,
            new.transfers,
            new.bought_from,
            new.made_in_demo,
        )


_ENTRY = (
    "id",
    "client_id",
    "kind",
    "person_id",
    "happened_at",
    "recorded_at",
    "job",
    "details",
    "note",
    "corrects_id",
    "corrects_client",
    "is_corrected",
    "previous_hash",
    "hash",
)
_LOT = (
    "id",
    "code",
    "is_announced",
    "is_void",
    "made_by_id",
    "stage",
    "variety",
    "step",
    "route_id",
    "culture",
    "made_on",
    "cook",
    "session",
    "generation",
    "transfers",
    "bought_from",
    "made_in_demo",
)
_COMPLETE_LOT = f"UPDATE farm_lot SET {','.join(f'{c} = %s' for c in _LOT[2:])} WHERE id = %s"  # noqa: S608
_POSTING = ("entry_id", "lot_id", "account", "place_id", "measure", "quantity")
_LINK = ("entry_id", "parent_id", "child_id", "units", "amount", "measure", "is_cancelled")
_MENTION = ("entry_id", "lot_id", "role", "place_id", "count", "value", "is_cancelled")
_NOTE = ("digest", "salt", "text", "is_forgotten")
_BALANCE = ("lot_id", "account", "place_id", "measure", "quantity")
_SET_RIGHT = (
    "UPDATE farm_entry SET is_corrected = TRUE WHERE id",
    "UPDATE farm_link SET is_cancelled = TRUE WHERE entry_id",
    "UPDATE farm_mention SET is_cancelled = TRUE WHERE entry_id",
    "UPDATE farm_lot SET is_void = TRUE WHERE made_by_id",
)


def lot_facts(new: NewLot, route_version: int) -> canonical.Row:
    """Return the facts of a lot as they are hashed; version 0 stands for no route."""
    return (
        new.code,
        new.stage.value,
        new.variety,
        new.step,
        new.route,
        route_version,
        new.made_on.isoformat(),
        new.culture,
        new.cook,
        new.session,
        new.generation,
        new.transfers,
        new.bought_from,
        new.made_in_demo,
    )


def _must_cancel(said: dict[PostingKey, int], reversal: dict[PostingKey, int], client: str) -> None:
    """Refuse a correction that does not take back exactly what the entry said."""
    if reversal != {key: -quantity for key, quantity in said.items()}:
        raise InputError(
            "postings",
            f"a correction of entry {client}",
            "the exact reverse of that entry's postings",
            "Take the entry back as a whole and write down what is right as an entry of its own.",
        )


def _set_right_before() -> RefusedError:
    return RefusedError(
        "That entry was set right before.", "Look at the lot's page for what stands now."
    )


def _unexplained(code: str, place: str, measure: str, quantity: int) -> Finding:
    where = f" at {place}" if place else ""
    noun = measure if quantity == 1 else f"{measure}s"
    return Finding(
        "ledger.unexplained",
        Severity.WARNING,
        f"lot {code}",
        f"{quantity} {noun} more than the ledger knew{where} left lot {code}.",
        "Count what stands there, or look whether an entry is missing or was written twice.",
    )
