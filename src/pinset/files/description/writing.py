"""Writes a farm's folder: the same files that are read, all of them or none."""

from __future__ import annotations

import csv
import io
import os
import shutil
import tempfile
from collections.abc import Callable
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path

import xlsxwriter

from pinset.chain.register import FarmBook
from pinset.errors import RefusedError
from pinset.files.description.columns import Table
from pinset.files.description.example import example_book
from pinset.files.description.farm_fields import FARM_FILE
from pinset.files.description.farm_file_out import farm_toml
from pinset.files.description.number_cells import Fraction, Number
from pinset.files.description.sheet import Raw
from pinset.files.description.table_rows import Cells, rows_of, shown_cell
from pinset.files.description.tables import TABLES
from pinset.files.numbers import as_decimal

_FIRST_SPREADSHEET_DAY = date(1900, 3, 1)
_MADE = datetime(2000, 1, 1)  # noqa: DTZ001 - a fixed stamp, so that the same book gives the same bytes


def write_folder(
    book: FarmBook,
    path: Path,
    *,
    as_xlsx: bool = False,
    explain: bool = False,
    replace: bool = False,
) -> tuple[Path, ...]:
    """Write a book as `farm.toml` and tables.

    Parameters
    ----------
    book : FarmBook
        What is written.
    path : Path
        The folder; made if it is not there.
    as_xlsx : bool
        Tables as workbooks instead of CSV.
    explain : bool
        Put comment rows above each header that explain its columns.
    replace : bool
        Take the place of files that are there.

    Returns
    -------
    tuple of Path
        The files written.

    Raises
    ------
    RefusedError
        If files are there and ``replace`` is false, or the folder cannot be written.
    """
    ending = "xlsx" if as_xlsx else "csv"
    make = _workbook if as_xlsx else _csv_bytes
    rows = rows_of(book)
    contents = {FARM_FILE: farm_toml(book).encode("utf-8")}
    for table in TABLES:
        contents[f"{table.name}.{ending}"] = make(table, rows[table.name], explain)
    place_files(contents, path, replace=replace, also_old=_other_names())
    return tuple(path / name for name in contents)


def _other_names() -> tuple[str, ...]:
    return (FARM_FILE, *(f"{table.name}.{end}" for table in TABLES for end in ("csv", "xlsx")))


def place_files(
    contents: dict[str, bytes], path: Path, *, replace: bool, also_old: tuple[str, ...] = ()
) -> None:
    """Put files into a folder, all or none; what they replace is kept until all are in place.

    Raises
    ------
    RefusedError
        If a file is there that must not be replaced, or the disk says no.
    """
    names = {*contents, *also_old}
    try:
        there = sorted(item.name for item in path.iterdir() if item.name.casefold() in names)
    except FileNotFoundError:
        there = []
    except OSError as error:
        raise _refused(path, error) from error
    if there and not replace:
        raise RefusedError(
            f"{path} already holds {', '.join(there)}; nothing was written.",
            "Choose another folder, or let them be replaced: --replace.",
        )
    made = not path.exists()
    try:
        path.mkdir(parents=True, exist_ok=True)
        work = Path(tempfile.mkdtemp(prefix=".pinset-", dir=path))
    except OSError as error:
        raise _refused(path, error) from error
    try:
        _move_in(contents, path, work, there)
    except OSError as error:
        raise _refused(path, error) from error
    finally:
        shutil.rmtree(work, ignore_errors=True)
        if made and not any(path.iterdir()):
            path.rmdir()


def _move_in(contents: dict[str, bytes], path: Path, work: Path, there: list[str]) -> None:
    new, old = work / "new", work / "old"
    new.mkdir()
    old.mkdir()
    for name, data in contents.items():
        with (new / name).open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
    undo: list[Callable[[], object]] = []
    try:
        for name in there:
            (path / name).rename(old / name)
            undo.append(lambda name=name: (old / name).rename(path / name))  # type: ignore[misc]
        for name in contents:
            (new / name).rename(path / name)
            undo.append((path / name).unlink)
    except OSError:
        for step in reversed(undo):
            step()
        raise


def _refused(path: Path, error: OSError) -> RefusedError:
    return RefusedError(
        f"{path} cannot be written: {error.strerror or error}; nothing was written.",
        "Choose a folder that may be written, on a disk with room.",
    )


def _explanation(table: Table) -> list[str]:
    lines = [f"# {table.title}"]
    for column in table.columns:
        need = "needed" if column.required else f"empty: {column.empty or 'none'}"
        lines.append(f"# {column.name}: {column.meaning}. {column.kind.accepted} ({need})")
    lines.append("# Rows that begin with # are not read.")
    return lines


def _grid(table: Table, rows: list[Cells]) -> list[list[Raw]]:
    return [[shown_cell(c, cells.get(c.name)) for c in table.columns] for cells in rows]


def _csv_bytes(table: Table, rows: list[Cells], explain: bool) -> bytes:  # noqa: FBT001
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    if explain:
        out.writelines(f"{line}\n" for line in _explanation(table))
    writer.writerow(table.names)
    for line in _grid(table, rows):
        writer.writerow([c.isoformat() if isinstance(c, date) else c for c in line])
    return out.getvalue().encode("utf-8-sig")


def _workbook(table: Table, rows: list[Cells], explain: bool) -> bytes:  # noqa: FBT001
    out = io.BytesIO()
    with xlsxwriter.Workbook(out, {"in_memory": True}) as workbook:
        workbook.set_properties({"created": _MADE})
        sheet = workbook.add_worksheet(table.name)
        bold = workbook.add_format({"bold": True})
        day = workbook.add_format({"num_format": "yyyy-mm-dd"})
        grey = workbook.add_format({"italic": True, "font_color": "#666666"})
        top = 0
        for text in _explanation(table) if explain else ():
            sheet.write_string(top, 0, text, grey)
            top += 1
        for index, column in enumerate(table.columns):
            sheet.write_string(top, index, column.name, bold)
            sheet.set_column(index, index, max(10, len(column.name) + 2))
        sheet.freeze_panes(top + 1, 0)
        for number, line in enumerate(_grid(table, rows), start=top + 1):
            for index, cell in enumerate(line):
                if isinstance(cell, date):
                    _write_day(sheet, number, index, cell, day)
                elif isinstance(cell, str) and _is_number(table, index) and _is_exact(cell):
                    sheet.write_number(number, index, float(cell))
                elif cell != "":
                    sheet.write_string(number, index, str(cell))
    return out.getvalue()


def _write_day(sheet: object, row: int, column: int, day: date, form: object) -> None:
    if day < _FIRST_SPREADSHEET_DAY:  # earlier days are counted differently by programs
        sheet.write_string(row, column, day.isoformat())  # type: ignore[attr-defined]
    else:
        sheet.write_datetime(row, column, day, form)  # type: ignore[attr-defined]


def _is_number(table: Table, index: int) -> bool:
    return isinstance(table.columns[index].kind, (Number, Fraction))


def _is_exact(cell: str) -> bool:
    """Return True if a workbook, which keeps 16 digits, gives the number back unchanged."""
    if not cell:
        return False
    number = float(cell)
    return float(f"{number:.16G}") == number and as_decimal(number) == Decimal(cell)


def write_templates(
    path: Path, *, today: date, as_xlsx: bool = False, replace: bool = False
) -> tuple[Path, ...]:
    """Write commented templates that hold a tiny invented farm and load as they are.

    Raises
    ------
    RefusedError
        As :func:`write_folder`.
    """
    return write_folder(example_book(today), path, as_xlsx=as_xlsx, explain=True, replace=replace)
