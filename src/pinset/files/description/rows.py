"""Rows of a sheet to named values, checked cell by cell; every problem is found, none stops."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

from pinset.files.description.cells import NONE_SIGN, CellError, cell_text, sentence
from pinset.files.description.columns import Column, Table
from pinset.files.description.place import Place, Report, listed, nearest, shown
from pinset.files.description.sheet import Raw, Sheet, SheetRow, is_blank

ON_ITS_OWN = frozenset({
    "note",
    "colour",
    "caution",
    "price",
    "price_per_kg",
    "trim_loss",
    "picked_keeps_days",
    "season",
    "days_by_month",
    "mother_on",
    "deliver_at",
    "minutes_per_unit",
    "minutes_fixed",
    "bench_minutes",
    "bench_setup_minutes",
    "hands_minutes",
    "pick_minutes_per_kg",
    "shake_days",
    "look_days",
})  # fmt: skip
"""Columns, none of them required, that no rule weighs against anything else: a slip in one of them
does not keep the rest of its row from being looked at."""


@dataclass(slots=True)
class Row:
    """The values of one row; a cell that is empty has none, one that is wrong is in ``bad``."""

    place: Place
    values: dict[str, Any] = field(default_factory=dict)
    bad: set[str] = field(default_factory=set)
    lines: dict[str, int] = field(default_factory=dict)  # of single values, in farm.toml

    @property
    def hinders(self) -> bool:
        """Say whether its problems keep the rest of it from being looked at."""
        return not self.bad <= ON_ITS_OWN

    def get(self, name: str, default: Any = None) -> Any:
        """Return the value of a column, or the default where the cell is empty or wrong."""
        return self.values.get(name, default)

    def has(self, *names: str) -> bool:
        """Return True if all these columns hold usable values."""
        return all(name in self.values for name in names)

    def at(self, column: str) -> Place:
        """Return the place of one of its cells."""
        place = self.place.at(column)
        return replace(place, row=self.lines[column]) if column in self.lines else place


def read_rows(table: Table, sheet: Sheet, report: Report) -> list[Row]:
    """Return the rows of a sheet, in the order of the file."""
    columns = _columns(table, sheet, report)
    missing = [c.name for c in table.columns if c.required and c not in columns.values()]
    for name in missing:
        report.wrong(
            "column-missing",
            Place(sheet.file, sheet.header_row, name),
            f"the column {name} ({table.column(name).meaning}) is missing.",
            f"The header names {listed(sheet.header)}.",
        )
    rows = [_row(line, columns, sheet, report) for line in sheet.rows]
    if sheet.cut_off is not None and rows:
        cells = len(sheet.rows[-1].cells)
        report.wrong(
            "cut-off",
            rows[-1].place,
            f"the last row has {cells} of {len(sheet.header)} columns and no line end: "
            "half of the file may be missing.",
            "Save the table again; if the row is right, end it with a line end.",
        )
    for row in rows:
        row.bad.update(missing)
        for column in table.columns:
            if column.required:
                _require(row, column, report)
    return rows


def _require(row: Row, column: Column, report: Report) -> None:
    if column.name in row.values or column.name in row.bad:
        return
    row.bad.add(column.name)
    report.wrong(
        "value-missing",
        row.at(column.name),
        f"the cell is empty; accepted is {column.kind.accepted}.",
        f"It says: {column.meaning}.",
    )


def _columns(table: Table, sheet: Sheet, report: Report) -> dict[int, Column]:
    """Return the known columns by their position; others are reported."""
    known = {column.name: column for column in table.columns}
    found: dict[int, Column] = {}
    for index, name in enumerate(sheet.header):
        place = Place(sheet.file, sheet.header_row, name)
        if not name:
            if any(len(row.cells) > index and not is_blank(row.cells[index : index + 1])
                   for row in sheet.rows):  # fmt: skip
                report.wrong(
                    "column-unnamed",
                    Place(sheet.file, sheet.header_row, f"number {index + 1}"),
                    "the column has values but no name in the header.",
                    f"Known columns: {listed(known, most=40)}.",
                )
        elif name not in known:
            close = nearest(name, [each for each in known if each not in sheet.header])
            report.wrong(
                "column-unknown",
                place,
                f"there is no column {shown(name)} in {table.name}.",
                f"Did you mean {close}?" if close else f"Known: {listed(known, most=40)}.",
            )
        elif known[name] in found.values():
            report.wrong(
                "column-twice", place, f"the column {name} stands twice in the header.",
                "Leave one out.",
            )  # fmt: skip
        else:
            found[index] = known[name]
    return found


def _row(line: SheetRow, columns: dict[int, Column], sheet: Sheet, report: Report) -> Row:
    row = Row(Place(sheet.file, line.number))
    for index, cell in enumerate(line.cells):
        if index in columns:
            _cell(row, columns[index], cell, sheet, report)
    extra = line.cells[len(sheet.header) :]
    if not is_blank(extra):
        report.wrong(
            "too-many-cells",
            row.place,
            f"the row has {len(line.cells)} cells, the header {len(sheet.header)} columns; "
            f"{shown(cell_text(next(c for c in extra if not is_blank((c,)))))} has no column.",
            "A text that holds the separator stands between quotation marks.",
        )
    return row


def _cell(row: Row, column: Column, cell: Raw, sheet: Sheet, report: Report) -> None:
    text = cell.strip() if isinstance(cell, str) else cell
    if text == "":
        return
    if text == NONE_SIGN and not column.required:
        row.values[column.name] = column.kind.none
        return
    try:
        value = column.kind.read(cell, comma_is_decimal=sheet.comma_is_decimal)
    except CellError as error:
        row.bad.add(column.name)
        report.wrong(error.name, row.at(column.name), sentence(error), error.hint)
        return
    row.values[column.name] = value


def report_twice(rows: list[Row], key: tuple[str, ...], report: Report) -> None:
    """Report rows that repeat the key of an earlier one."""
    first: dict[tuple[Any, ...], Row] = {}
    for row in rows:
        if row.bad.intersection(key) or not row.get(key[0]):
            continue
        values = tuple(row.get(name) for name in key)
        if values in first:
            earlier = first[values].place.row
            words = ", ".join(
                f"{name} {value}" for name, value in zip(key, values, strict=True) if value
            )
            is_same = row.values == first[values].values and not row.bad | first[values].bad
            report.wrong(
                "row-twice",
                row.at(key[-1]),
                f"the row says the same as row {earlier}."
                if is_same
                else f"{words} stands already in row {earlier}, with other values.",
                "Delete one of the two rows."
                if is_same
                else "Give one of them another code, or delete the one that is not right.",
            )
            row.bad.add(key[-1])
        else:
            first[values] = row
