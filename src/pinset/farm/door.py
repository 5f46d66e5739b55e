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

from pinset.errors import Finding, RefusedError, Severity
from pinset.farm import canonical
from pinset.farm.about import about
from pinset.farm.desk import Desk, KnownEntry, KnownLot, PostingKey, open_desk, raw_of
from pinset.farm.entries import Account, Measure, NewEntry, NewLot
from pinset.farm.lineage_walk import below
from pinset.farm.reversal import does_not_count, is_reverse, is_taken_back_before
from pinset.farm.rows import Row, day, document, insert_rows, moment, update_in
from pinset.farm.standing import STANDING, split
from pinset.farm.trouble import plain_words
from pinset.farm.validation import check_entry
from pinset.farm.waited import as_tapped


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
        If an entry contradicts one that is recorded: a lot made twice, a loop in the lineage
        when all of the list is written.
    StorageError
        If the disk or the database would not do it.
    """
    entries = as_tapped(entries, now)
    for entry in entries:
        check_entry(entry, now)
    if not entries:
        return ()
    with plain_words(), transaction.atomic(using=using), connections[using].cursor() as cursor:
        writing = _Writing(open_desk(cursor, entries, using), now.astimezone(UTC), salt_for, using)
        recorded = tuple(writing.take(entry) for entry in entries)
        writing.store()
        writing.refuse_loops()
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


@dataclass(frozen=True, slots=True)
class _Back:
    """How an entry stands to those that take back, and those taken back."""

    target: int | None = None  # the entry it takes back
    is_corrected: bool = False  # it is taken back by one that came before it
    counts: bool = True  # its postings change what stands


@dataclass(frozen=True, slots=True)
class _Doubtful:
    """A link to a lot that was spoken of before: it may close a loop."""

    entry: int
    parent: KnownLot
    child: KnownLot


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
    doubtful: list[_Doubtful] = field(default_factory=list)

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
        back = self._back(entry, number, raw, made)
        self._take_lots(entry, number, made, is_void=back.is_corrected)
        self._take_postings(number, raw, made, counts=back.counts)
        self._take_links(entry, number, made, is_cancelled=back.is_corrected)
        self._take_mentions(entry, number, made, is_cancelled=back.is_corrected)
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
                about(entry.kind.value, entry.details),
                digest,
                back.target,
                entry.corrects,
                back.is_corrected,
                whole.previous,
                hashed,
            )
        )
        self.desk.head.count, self.desk.head.last_hash = number, hashed
        known = KnownEntry(number, entry.corrects, back.is_corrected, raw)
        self.desk.entries[entry.client_id] = known
        if entry.corrects and entry.corrects not in self.desk.entries:
            self.desk.waiting[entry.corrects].append(known)
            self.desk.head.waiting += 1
        return Recorded(entry.client_id, number, already=False, findings=tuple(made.findings))

    def _back(self, entry: NewEntry, number: int, raw: dict[PostingKey, int], made: _Made) -> _Back:
        """Say what the entry takes back, and whether one that waited takes it back.

        A taking back that waits, or does not fit, counts for nothing; nor does an entry whose
        taking back came before it.
        """
        is_corrected = self._meet_waiting(entry, number, raw, made)
        if not entry.corrects:
            return _Back(is_corrected=is_corrected, counts=not is_corrected)
        target = self.desk.entries.get(entry.corrects)
        if target is None:
            return _Back(counts=False)
        if target.corrects or not is_reverse(self.desk.raw_postings(target), raw):
            made.findings.append(does_not_count(number, target.id))
            return _Back(counts=False)
        if target.is_corrected:
            made.findings.append(is_taken_back_before(number, target.id))
            return _Back(counts=False)
        target.is_corrected = True
        self.corrected.append(target.id)
        for lot in self.desk.lots.values():
            if lot.made_by == target.id:
                lot.is_void = True
        return _Back(target.id)

    def _meet_waiting(
        self, entry: NewEntry, number: int, raw: dict[PostingKey, int], made: _Made
    ) -> bool:
        """Return whether one of the corrections that waited for this entry takes it back."""
        is_corrected = False
        for waiting in self.desk.waiting.pop(entry.client_id, ()):
            self.desk.head.waiting -= 1
            if entry.corrects or not is_reverse(raw, self.desk.raw_postings(waiting)):
                made.findings.append(does_not_count(waiting.id, number))
            elif is_corrected:
                made.findings.append(is_taken_back_before(waiting.id, number))
            else:
                self.arrived.append((waiting.id, number))
                is_corrected = True
        return is_corrected

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

    def _take_postings(
        self, number: int, raw: dict[PostingKey, int], made: _Made, *, counts: bool
    ) -> None:
        for (code, account, place, measure), quantity in raw.items():
            lot_id, place_id = self.desk.lot(code).id, self.desk.places[place]
            parts = [(account, quantity)]
            if counts and account == STANDING[Measure(measure)].value:
                before = self.desk.raw[lot_id, place_id, measure]
                self.desk.raw[lot_id, place_id, measure] = before + quantity
                stands, unexplained = split(before, quantity)
                parts = [(account, stands), (Account.UNEXPLAINED.value, unexplained)]
                if unexplained < 0:
                    made.findings.append(_unexplained(code, place, measure, -unexplained))
            for name, part in parts:
                if part:
                    self.posting_rows.append((number, lot_id, name, place_id, measure, part))
                    if counts:
                        self.changes[lot_id, name, place_id, measure] += part
                    made.postings.append((code, name, place, measure, part))

    def _take_links(self, entry: NewEntry, number: int, made: _Made, *, is_cancelled: bool) -> None:
        if not entry.links:
            return
        parents = {link.parent for link in entry.links}
        for link in entry.links:
            parent, child = self.desk.lot(link.parent), self.desk.lot(link.child)
            row = (link.units, link.amount, link.measure.value)
            self.link_rows.append((number, parent.id, child.id, *row, is_cancelled))
            made.links.append((link.parent, link.child, *row))
            if not is_cancelled and (link.child in parents or child.id <= made.lots_before):
                self.doubtful.append(_Doubtful(number, parent, child))

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

    def refuse_loops(self) -> None:
        """Refuse a list after which a lot would be its own ancestor; asked once it is stored."""
        taken_back = set(self.corrected)
        for link in self.doubtful:
            if link.entry in taken_back:
                continue
            if link.parent.id in below({link.child.id}, using=self.using):
                parent, child = link.parent.code, link.child.code
                raise RefusedError(
                    f"Lot {child} cannot come from lot {parent}: "
                    f"{parent} was itself made from {child}.",
                    "Look at the two labels again.",
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
    "about",
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
