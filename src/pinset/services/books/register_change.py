"""Changing one record of the farm's register, if the farm's book still holds with it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, datetime
from itertools import islice
from typing import Any

from pinset.chain.register import Culture, FarmBook
from pinset.chain.route_rules import check_book
from pinset.chain.rules_lot import older_than_mother
from pinset.errors import Finding, RefusedError, Severity
from pinset.farm import register_store
from pinset.farm.models.register import RegisterKind
from pinset.farm.register_store import FIELD_OF, KIND_OF, Record
from pinset.services.farms.lots_need import missing_for
from pinset.services.farms.standing_lots import standing_lots
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
        If something would be wrong that was not wrong before, or lots alive need what would be
        gone; the sentences say what.
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
    _refuse_needed(book, after, today)
    _refuse_younger_mothers([each for each in records if isinstance(each, Culture)], today)
    register_store.write(records, valid_from=today, by=person, now=now)


def retire(kind: RegisterKind, code: str, person: str, now: datetime) -> None:
    """End a record from today on; it stays in the books of the past.

    Raises
    ------
    RefusedError
        If there is none of that code, something else or a lot alive still needs it, or something
        was handed over for a promise.
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
    after = replace(book, **without)
    _refuse_worse(book, after, today)
    _refuse_needed(book, after, today)
    register_store.write([], valid_from=today, by=person, now=now, retire=[(kind, code)])


def _refuse_younger_mothers(cultures: Sequence[Culture], today: date) -> None:
    """Refuse a mother's date after the day on which a lot of the culture that is alive was made."""
    dated = {culture.code: culture for culture in cultures if culture.mother_on is not None}
    if not dated:
        return
    _refuse(
        finding
        for lot in standing_lots(today)
        for finding in older_than_mother(f"lots {lot.code}", lot, dated)
    )


def _refuse_needed(before: FarmBook, after: FarmBook, today: date) -> None:
    """Refuse what would take a shelf, a variety or a culture away that lots alive need."""
    if (before.rooms, before.varieties, before.cultures) == (
        after.rooms,
        after.varieties,
        after.cultures,
    ):
        return
    standing = standing_lots(today)
    known = set(missing_for(before, standing))
    _refuse(
        Finding(
            "register.still-needed",
            Severity.WRONG,
            f"Lot {each.lot}",
            f"{each.words}.",
            f"Keep the {each.kind}, or move or end the lot first.",
        )
        for each in missing_for(after, standing)
        if each not in known
    )


def _with(book: FarmBook, record: Any) -> FarmBook:
    kind = KIND_OF[type(record)]
    if kind is RegisterKind.FARM:
        return replace(book, farm=record)
    present = [each for each in records_of(book, kind) if each.code != record.code]
    changed: Any = {FIELD_OF[kind]: (*present, record)}
    return replace(book, **changed)


def _refuse_worse(before: FarmBook, after: FarmBook, today: date) -> None:
    known = {(f.id, f.record) for f in check_book(before, today)}
    _refuse(
        f
        for f in check_book(after, today)
        if f.severity is Severity.WRONG and (f.id, f.record) not in known
    )


def _refuse(wrong: Iterable[Finding]) -> None:
    told = list(islice(wrong, MOST_TOLD))
    if told:
        raise RefusedError(" ".join(str(f) for f in told))
