"""Writes `farm.toml`: readable, with a comment at every name."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import tomlkit
from tomlkit.items import AoT, Array, InlineTable, Table

from pinset.chain.register import FarmBook, Weekday, Worker
from pinset.files.description.cells import Several, YesNo, guarded
from pinset.files.description.columns import Column
from pinset.files.description.farm_fields import (
    BENCHES,
    COOKS,
    FARM,
    HOURS,
    INSTRUMENTS,
    LABELS,
    PEOPLE,
    ROOMS,
    SHELVES,
    STERILISERS,
    Section,
)
from pinset.files.description.number_cells import Fraction, Number


def farm_toml(book: FarmBook) -> str:
    """Return the text of `farm.toml` for a book."""
    document = tomlkit.document()
    for line in (
        "What the farm is: place, rooms, sterilisers, benches, instruments, people, label paper.",
        "The tables beside this file hold varieties, routes, cultures, lots, buyers and promises.",
        'A number may carry another unit, in quotation marks: "70 F", "15 psi", "4 ft".',
        "Times are the farm's own clock.",
    ):
        document.add(tomlkit.comment(line))
    document.add(tomlkit.nl())
    farm = tomlkit.table()
    _comment(farm, FARM.title)
    _fill(farm, FARM, book.farm)
    document.add("farm", farm)
    document.add("rooms", _many(ROOMS, book.rooms, _shelves))
    document.add("sterilisers", _many(STERILISERS, book.sterilisers, _cooks))
    document.add("benches", _many(BENCHES, book.benches, _nothing))
    document.add("instruments", _many(INSTRUMENTS, book.instruments, _nothing))
    document.add("people", _many(PEOPLE, book.workers, _hours))
    if book.labels:
        document.add("labels", _many(LABELS, book.labels, _nothing))
    return tomlkit.dumps(document)


def _many(section: Section, records: Iterable[Any], inside: Any) -> AoT | Array:
    tables = []
    for index, record in enumerate(records):
        table = tomlkit.table()
        if index == 0:
            _comment(table, section.title)
        _fill(table, section, record, explain=index == 0)
        inside(table, record)
        tables.append(table)
    return _aot(tables) if tables else tomlkit.array()


def _aot(tables: list[Table]) -> AoT:
    found = tomlkit.aot()
    for table in tables:
        found.append(table)
    return found


def _comment(table: Table, text: str) -> None:
    table.add(tomlkit.comment(text))


def _fill(table: Table, section: Section, record: Any, *, explain: bool = True) -> None:
    for column in section.columns:
        value = getattr(record, column.record_field)
        if value is None or value == "":
            if explain:
                accepted = column.kind.accepted
                table.add(tomlkit.comment(f"{column.name} =   {column.meaning}; {accepted}"))
            continue
        item = tomlkit.item(_value(column, value))
        if explain:
            item.comment(column.meaning)
        table.add(column.name, item)


def _value(column: Column, value: Any) -> Any:
    kind = column.kind
    if isinstance(kind, Several):
        array = tomlkit.array()
        for item in value:
            array.append(item.value if isinstance(item, Weekday) else item)
        return array
    if isinstance(kind, (Number, Fraction)):
        return _number(value)
    if isinstance(kind, YesNo):
        return bool(value)
    text = str(value)
    return guarded(text) if text.startswith("'") else text  # the reader takes one away


def _number(value: float) -> int | float:
    """Return a whole number without its point: 21, not 21.0."""
    return int(value) if float(value).is_integer() else value


def _inline(section: Section, record: Any) -> InlineTable:
    table = tomlkit.inline_table()
    for column in section.columns:
        value = getattr(record, column.record_field)
        if value is not None:  # not said
            table.append(column.name, _value(column, value))
    return table


def _list(section: Section, records: Iterable[Any]) -> Array:
    array = tomlkit.array().multiline(True)
    for record in records:
        array.append(_inline(section, record))
    return array


def _shelves(table: Table, room: Any) -> None:
    table.add(SHELVES.name, _list(SHELVES, room.shelves))


def _cooks(table: Table, steriliser: Any) -> None:
    table.add(COOKS.name, _list(COOKS, steriliser.cooks))


def _hours(table: Table, worker: Worker) -> None:
    inline = tomlkit.inline_table()
    for column, hours in zip(HOURS.columns, worker.hours, strict=True):
        if hours:
            inline.append(column.name, hours if isinstance(hours, str) else _number(hours))
    table.add(HOURS.name, inline)


def _nothing(table: Table, record: Any) -> None:
    del table, record
