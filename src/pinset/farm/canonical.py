"""What is hashed: the one text form of an entry, and the chain made of it.

The hash of an entry is the SHA-256 of its canonical text in UTF-8. The canonical text is JSON with
sorted names, no blanks and only ASCII signs, of these values:

``number``      place in the order of recording, 1 for the first
``previous``    hash of the entry recorded before; 64 zeros for the first
``client``      the entry's random id
``kind``        what happened
``person``      the opaque key of the person, never the code or the name; empty for the program
``happened_at``, ``recorded_at``   UTC, microseconds, ``2026-03-12T06:00:00.000000Z``
``job``         code of the job
``details``     plain values; a float with a whole value counts as that whole number
``note``        digest of salt and text, never the text
``corrects``    client id of the entry it sets right, or empty
``lots``        the facts of every lot it made, a list per lot, sorted
``postings``    lot, account, place, measure, quantity, sorted
``links``       parent, child, units, amount, measure, sorted
``mentions``    lot, role, place, count, value, sorted

Not hashed, because derived: balances, whether an entry was corrected later, and whether an entry
that corrects another one fits it.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

FIRST_HASH = "0" * 64
"""Stands for the entry before the first."""

_ENCODER = json.JSONEncoder(sort_keys=True, separators=(",", ":"), ensure_ascii=True)

Row = tuple[Any, ...]  # text, whole numbers, yes or no, None


@dataclass(frozen=True, slots=True)
class Canonical:
    """Everything of one entry that is hashed."""

    number: int
    previous: str
    client: str
    kind: str
    person: str
    happened_at: datetime
    recorded_at: datetime
    job: str
    details: Any
    note: str
    corrects: str
    lots: tuple[Row, ...]
    postings: tuple[Row, ...]
    links: tuple[Row, ...]
    mentions: tuple[Row, ...]


def instant(moment: datetime) -> str:
    """Return a moment as it is hashed.

    Examples
    --------
    >>> instant(datetime(2026, 3, 12, 7, 0, tzinfo=UTC))
    '2026-03-12T07:00:00.000000Z'
    """
    return moment.astimezone(UTC).isoformat(timespec="microseconds")[:-6] + "Z"


def plain_numbers(value: Any) -> Any:
    """Return JSON values with whole floats as whole numbers, so that both databases agree."""
    if isinstance(value, float) and value.is_integer():
        return int(value)
    if isinstance(value, dict):
        return {name: plain_numbers(item) for name, item in value.items()}
    if isinstance(value, (list, tuple)):
        return [plain_numbers(item) for item in value]
    return value


def canonical_text(entry: Canonical) -> str:
    """Return the text that is hashed."""
    parts = {
        "number": entry.number,
        "previous": entry.previous,
        "client": entry.client,
        "kind": entry.kind,
        "person": entry.person,
        "happened_at": instant(entry.happened_at),
        "recorded_at": instant(entry.recorded_at),
        "job": entry.job,
        "details": plain_numbers(entry.details),
        "note": entry.note,
        "corrects": entry.corrects,
        "lots": sorted(entry.lots, key=str),
        "postings": sorted(entry.postings, key=str),
        "links": sorted(entry.links, key=str),
        "mentions": sorted(entry.mentions, key=str),
    }
    return encoded(parts)


def encoded(parts: dict[str, Any]) -> str:
    """Return values as JSON with sorted names, no blanks and only ASCII signs."""
    return _ENCODER.encode(parts)


def entry_hash(entry: Canonical) -> str:
    """Return the hash of an entry: 64 hexadecimal signs."""
    return hashlib.sha256(canonical_text(entry).encode("ascii")).hexdigest()


def note_digest(salt: str, text: str) -> str:
    """Return the digest under which a note is known to the ledger.

    The salt is forgotten with the text; without it nobody can find out by trying what a
    forgotten note said.
    """
    return hashlib.sha256(f"{salt}\n{text}".encode()).hexdigest()
