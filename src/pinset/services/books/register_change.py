"""Changing one record of the farm's register, if the farm's book still holds with it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime
from typing import Any

from pinset.chain.register import FarmBook
from pinset.chain.route_rules import check_book
from pinset.errors import RefusedError, Severity
from pinset.farm import register_store
from pinset.farm.models.register import RegisterKind
from pinset.farm.register_store import FIELD_OF, KIND_OF, Record
from pinset.services.plans import planning_day
from pinset.services.promises.begun import refuse_if_handed_over

MOST_TOLD = 5


def records_of(book: FarmBook, kind: RegisterKind) -> tuple[Any, ...]:
    """Return the records of a kind in a book."""
    if kind is RegisterKind.FARM:
        return (book.farm,)
    found: tuple[Any, ...] = getattr(book, FIELD_OF[kind])
    return found


def write_record(record: Record, person: str, now: datetime) -> None:
    """Write a record, or the next version of it, from today on.

    Raises
    ------
    RefusedError
        If something would be wrong that was not wrong before; the sentences say what.
    """
    write_records([record], person, now)


def write_records(records: Sequence[Record], person: str, now: datetime) -> None:
    """Write several records at once, all or none, from today on.

    Raises
    ------
    RefusedError
        As :func:`write_record`.
    """
    book, today = planning_day.farm_book(now)
    after = book
    for record in records:
        after = _with(after, record)
    _refuse_worse(book, after, today)
    register_store.write(records, valid_from=today, by=person, now=now)


def retire(kind: RegisterKind, code: str, person: str, now: datetime) -> None:
    """End a record from today on; it stays in the books of the past.

    Raises
    ------
    RefusedError
        If there is none of that code, something else still needs it, or something was handed over
        for a promise.
    """
    if kind is RegisterKind.FARM:
        raise RefusedError("The farm itself cannot be ended.")
    book, today = planning_day.farm_book(now)
    for promise in book.promises if kind is RegisterKind.PROMISE else ():
        if promise.code == code:
            refuse_if_handed_over(promise, today, book.farm.time_zone, book.farm.units)
    present = records_of(book, kind)
    left = tuple(record for record in present if record.code != code)
    if len(left) == len(present):
        raise RefusedError(f"There is no {kind.value} {code}.")
    without: Any = {FIELD_OF[kind]: left}
    _refuse_worse(book, replace(book, **without), today)
    register_store.write([], valid_from=today, by=person, now=now, retire=[(kind, code)])


def _with(book: FarmBook, record: Any) -> FarmBook:
    kind = KIND_OF[type(record)]
    if kind is RegisterKind.FARM:
        return replace(book, farm=record)
    present = [each for each in records_of(book, kind) if each.code != record.code]
    changed: Any = {FIELD_OF[kind]: (*present, record)}
    return replace(book, **changed)


def _refuse_worse(before: FarmBook, after: FarmBook, today: date) -> None:
    known = {(f.id, f.record) for f in check_book(before, today)}
    wrong = [
        f
        for f in check_book(after, today)
        if f.severity is Severity.WRONG and (f.id, f.record) not in known
    ]
    if wrong:
        raise RefusedError(" ".join(str(f) for f in wrong[:MOST_TOLD]))
