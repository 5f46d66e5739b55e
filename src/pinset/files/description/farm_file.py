"""Reads `farm.toml`: the farm, its rooms, sterilisers, benches, people and label paper."""

from __future__ import annotations

import tomllib
from collections import defaultdict
from dataclasses import dataclass, field, replace
from typing import Any

from pinset.chain.day_hours import DayHours
from pinset.chain.label_layouts import LabelLayout
from pinset.chain.register import Bench, CookKind, Farm, Instrument, Room, Shelf, Steriliser, Worker
from pinset.files.description.cells import CellError, Several, sentence
from pinset.files.description.columns import Column
from pinset.files.description.farm_fields import (
    BENCHES,
    COOKS,
    FARM,
    FARM_FILE,
    HOURS,
    INSTRUMENTS,
    LABELS,
    PEOPLE,
    ROOMS,
    SECTIONS,
    SHELVES,
    STERILISERS,
    Section,
    inner,
)
from pinset.files.description.place import Place, Report, listed, nearest, shown
from pinset.files.description.rows import Row
from pinset.files.description.toml_lines import Path, line_of, lines_of

STAND_IN = Farm("-", 0.0, "UTC")


@dataclass(slots=True)
class Premises:
    """What `farm.toml` says; ``rows`` keeps where each record stood, for checks of its codes."""

    farm: Farm | None = None
    stand_in: Farm = STAND_IN  # what can be used of it, for rules that look at other records
    rooms: tuple[Room, ...] = ()
    sterilisers: tuple[Steriliser, ...] = ()
    benches: tuple[Bench, ...] = ()
    instruments: tuple[Instrument, ...] = ()
    workers: tuple[Worker, ...] = ()
    labels: tuple[LabelLayout, ...] = ()
    rows: dict[str, list[Row]] = field(default_factory=lambda: defaultdict(list))
    is_read: bool = True  # false: a stand-in for a file that is missing or no TOML


def read_farm(text: str, report: Report) -> Premises | None:
    """Return what the file says, or None if it is no TOML; problems go to the report."""
    try:
        document = tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        report.wrong(
            "toml",
            Place(FARM_FILE),
            f"the file is no sound TOML: {error}.",
            "Text stands in quotation marks; a list in [ ]; one name = value on a line.",
        )
        return None
    reader = _Reader(lines_of(text), report)
    reader.check_names(document, [s for s in SECTIONS if not s.inside], (), "farm.toml")
    return _premises(document, reader)


def _premises(document: dict[str, Any], reader: _Reader) -> Premises:
    result = Premises()
    farm = reader.one(FARM, document, (), required=True)
    if farm is not None and not farm.bad:
        result.farm = Farm(**farm.values)
    result.stand_in = replace(STAND_IN, **(farm.values if farm is not None else {}))
    rooms, sterilisers, benches, instruments, people, labels = (
        reader.many(section, document, ())
        for section in (ROOMS, STERILISERS, BENCHES, INSTRUMENTS, PEOPLE, LABELS)
    )
    shelves = [reader.many(SHELVES, item, path) for _, item, path in rooms]
    cooks = [reader.many(COOKS, item, path) for _, item, path in sterilisers]
    hours = [reader.one(HOURS, item, path) for _, item, path in people]
    result.rows = {
        "farm": [farm] if farm else [],
        "rooms": [row for row, _, _ in rooms],
        "shelves": [row for each in shelves for row, _, _ in each],
        "sterilisers": [row for row, _, _ in sterilisers],
        "cooks": [row for each in cooks for row, _, _ in each],
        "benches": [row for row, _, _ in benches],
        "instruments": [row for row, _, _ in instruments],
        "people": [row for row, _, _ in people],
        "labels": [row for row, _, _ in labels],
    }
    result.rooms = tuple(
        Room(**row.values, shelves=tuple(Shelf(**s.values) for s, _, _ in inside if not s.bad))
        for (row, _, _), inside in zip(rooms, shelves, strict=True)
        if not row.bad
    )
    result.sterilisers = tuple(
        Steriliser(
            **row.values, cooks=tuple(CookKind(**c.values) for c, _, _ in inside if not c.bad)
        )
        for (row, _, _), inside in zip(sterilisers, cooks, strict=True)
        if not row.bad
    )
    result.benches = tuple(Bench(**row.values) for row, _, _ in benches if not row.bad)
    result.instruments = tuple(Instrument(**row.values) for row, _, _ in instruments if not row.bad)
    result.labels = tuple(LabelLayout(**row.values) for row, _, _ in labels if not row.bad)
    result.workers = tuple(
        Worker(**row.values, hours=_week(week))
        for (row, _, _), week in zip(people, hours, strict=True)
        if not row.bad
    )
    return result


def _week(row: Row | None) -> tuple[DayHours, ...]:
    return tuple((row.get(column.name, 0.0) if row else 0.0) for column in HOURS.columns)


class _Reader:
    """Reads sections, keeping the lines and the report at hand."""

    def __init__(self, lines: dict[Path, int], report: Report) -> None:
        self.lines = lines
        self.report = report

    def place(self, path: Path) -> Place:
        """Return ``farm.toml row 12 column rooms[2].kind``, rooms counted from 1."""
        name = ""
        for part in path:
            name += f"[{part + 1}]" if isinstance(part, int) else f".{part}" if name else part
        return Place(FARM_FILE, line_of(path, self.lines), name)

    def check_names(
        self, data: dict[str, Any], sections: list[Section], path: Path, where: str
    ) -> None:
        """Report names of sections that are not known."""
        known = [section.name for section in sections]
        for name in data:
            if name not in known:
                close = nearest(name, known)
                self.report.wrong(
                    "name-unknown",
                    self.place((*path, name)),
                    f"there is no {shown(name)} in {where}.",
                    f"Did you mean {close}?" if close else f"Known: {listed(known, most=40)}.",
                )

    def one(
        self, section: Section, data: dict[str, Any], path: Path, *, required: bool = False
    ) -> Row | None:
        """Return the values of a table that stands once."""
        path = (*path, section.name)
        item = data.get(section.name)
        if item is None:
            if required:
                self.report.wrong(
                    "section-missing",
                    Place(FARM_FILE),
                    f"the table [{section.name}] is missing.",
                    section.title,
                )
            return None
        if not isinstance(item, dict):
            self._no_table(section, item, path)
            return None
        return self._row(section, item, path)

    def many(
        self, section: Section, data: dict[str, Any], path: Path
    ) -> list[tuple[Row, dict[str, Any], Path]]:
        """Return values, data and path of each table of a repeated kind."""
        path = (*path, section.name)
        items = data.get(section.name, [])
        if not isinstance(items, list):
            self._no_table(section, items, path)
            return []
        found = []
        for index, item in enumerate(items):
            if isinstance(item, dict):
                found.append((self._row(section, item, (*path, index)), item, (*path, index)))
            else:
                self._no_table(section, item, (*path, index))
        return found

    def _no_table(self, section: Section, item: Any, path: Path) -> None:
        example = section.columns[0].name
        form = f"[[{section.name}]]" if section.many and not section.inside else (
            f"{section.name} = [{{ {example} = ... }}]" if section.many
            else f"{section.name} = {{ {example} = ... }}" if section.inside
            else f"[{section.name}]"
        )  # fmt: skip
        self.report.wrong(
            "not-a-table",
            self.place(path),
            f"{shown(item)} is given; accepted is {form} with the names of its values.",
            section.title,
        )

    def _row(self, section: Section, item: dict[str, Any], path: Path) -> Row:
        row = Row(self.place(path))
        known = {column.name: column for column in section.columns}
        inside = inner(section)
        for name, value in item.items():
            if inside is not None and name == inside.name:
                continue
            if name not in known:
                names = [*known, *([inside.name] if inside else [])]
                close = nearest(name, [each for each in names if each not in item])
                self.report.wrong(
                    "name-unknown",
                    self.place((*path, name)),
                    f"there is no {shown(name)} in {section.name}.",
                    f"Did you mean {close}?" if close else f"Known: {listed(names, most=40)}.",
                )
                continue
            line = line_of((*path, name), self.lines)
            if line is not None:
                row.lines[name] = line
            self._value(row, known[name], value, (*path, name))
        for column in section.columns:
            if column.required and column.name not in row.values and column.name not in row.bad:
                row.bad.add(column.name)
                self.report.wrong(
                    "value-missing",
                    self.place((*path, column.name)),
                    f"{column.name} is missing; accepted is {column.kind.accepted}.",
                    f"It says: {column.meaning}.",
                )
        return row

    def _value(self, row: Row, column: Column, value: Any, path: Path) -> None:
        if isinstance(value, str) and not value.strip():
            return
        try:
            row.values[column.name] = _read(column, value)
        except CellError as error:
            row.bad.add(column.name)
            self.report.wrong(error.name, self.place(path), sentence(error), error.hint)


def _read(column: Column, value: Any) -> Any:
    kind = column.kind
    if isinstance(value, list) and isinstance(kind, Several):
        for item in value:
            if isinstance(item, (list, dict)):
                raise CellError("value", item, kind.accepted)
        return tuple(kind.kind.read(item) for item in value)
    if isinstance(value, (list, dict)):
        given = "a list" if isinstance(value, list) else "a table"
        raise CellError("value", given, kind.accepted)
    return kind.read(value)
