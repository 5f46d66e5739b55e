"""Writing a long past into the ledger, through the same door as a person's entries.

Used where a history is known beforehand (the demo, readings taken in from elsewhere), never for a
day's own work: the moment each batch was written down is given, not read from the clock.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime

from django.contrib.auth.hashers import make_password
from django.db import connection, transaction

from pinset.chain.register import FarmBook
from pinset.errors import RefusedError
from pinset.farm import door, log_store, people, register_store, trade
from pinset.farm.codes import issue_codes
from pinset.farm.entries import NewEntry, NewLot
from pinset.farm.models import ChainHead
from pinset.farm.register_store import Record
from pinset.farm.trade import ChoreReading, ParentShare, Taken, Tap
from pinset.farm.trade.benchwork import Word
from pinset.farm.trade.looking import Verdict

__all__ = [
    "ChoreReading",
    "NewEntry",
    "NewLot",
    "ParentShare",
    "Sheet",
    "Taken",
    "Tap",
    "Verdict",
    "Word",
    "chain_head",
    "describe",
    "fresh_codes",
    "set_known_password",
    "stamp_migrations",
    "trade",
    "write_history",
]

CODES_AT_ONCE = 500


@dataclass(frozen=True, slots=True)
class Sheet:
    """Entries that were written down together, such as a tablet's morning."""

    recorded_at: datetime  # aware
    entries: tuple[NewEntry, ...]
    logs: tuple[tuple[str, bytes], ...] = ()  # names and contents of files its entries speak of


def write_history(sheets: Iterable[Sequence[Sheet]]) -> int:
    """Write sheets into the ledger and return how many entries were new.

    Parameters
    ----------
    sheets : iterable of sequences of Sheet
        In the order of recording; each sequence is written in one transaction.

    Raises
    ------
    InputError, RefusedError, StorageError
        As :func:`pinset.farm.door.record`; what was written before stays.
    """
    written = 0
    with _lighter_sync():
        for together in sheets:
            with transaction.atomic():
                for sheet in together:
                    for name, content in sheet.logs:
                        log_store.keep(content, name)
                    recorded = door.record(
                        sheet.entries, now=sheet.recorded_at, salt_for=_salt_from_id
                    )
                    written += sum(not each.already for each in recorded)
    return written


def _salt_from_id(client_id: str) -> str:
    """Return a salt that is the same whenever the same history is written."""
    return digest("note", client_id)


def digest(purpose: str, text: str) -> str:
    """Return 32 hexadecimal signs that depend on nothing but their input."""
    return hashlib.sha256(f"history {purpose} {text}".encode()).hexdigest()[:32]


@contextmanager
def _lighter_sync() -> Iterator[None]:
    """Let SQLite skip the wait for the disk at each transaction, for the past only."""
    if connection.vendor != "sqlite" or connection.in_atomic_block:
        yield
        return
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA synchronous=NORMAL")
    try:
        yield
    finally:
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA synchronous=FULL")


def describe(
    described: FarmBook | Sequence[Record], valid_from: date, now: datetime, *, seed: int
) -> None:
    """Write what a farm says of itself, in force from a day; keys of people follow the seed."""
    records = (
        register_store.book_records(described) if isinstance(described, FarmBook) else described
    )
    register_store.write(
        records, valid_from, "", now, key_for=lambda code: digest("person", f"{seed} {code}")
    )


def fresh_codes() -> Iterator[str]:
    """Yield lot codes, issued some hundred at a time."""
    while True:
        yield from issue_codes(CODES_AT_ONCE)


def set_known_password(code: str, password: str, *, salt: str) -> None:
    """Give a person a password that is told to whoever builds the farm.

    The salt is given, so that the same farm is the same to the byte. Never for a real farm: a
    real password is set by :mod:`pinset.services.farms.people`.

    Raises
    ------
    RefusedError
        If nobody has that code.
    """
    person = people.by_code(code)
    if person is None:
        raise RefusedError(f"Nobody here has the code {code}.")
    person.password = make_password(password, salt=salt)
    person.save(update_fields=["password"])


def stamp_migrations(moment: datetime) -> None:
    """Date the database's own set-up, so that nothing in it comes from this computer's clock."""
    with connection.cursor() as cursor:
        cursor.execute(
            "UPDATE django_migrations SET applied = %s",
            [connection.ops.adapt_datetimefield_value(moment)],
        )


def chain_head() -> tuple[int, str]:
    """Return how many entries the ledger holds and the hash of the last."""
    head = ChainHead.objects.filter(pk=1).first()
    return (head.count, head.last_hash) if head else (0, "")
