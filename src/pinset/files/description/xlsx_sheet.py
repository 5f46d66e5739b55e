"""An XLSX workbook to a sheet; looks the file over before the reader is let loose on it."""

from __future__ import annotations

import io
import re
import zipfile
from datetime import date, datetime, time
from typing import Any

from python_calamine import CalamineWorkbook

from pinset.files.description.place import Place, Report, shown
from pinset.files.description.sheet import (
    MOST_COLUMNS,
    MOST_ROWS,
    Raw,
    Sheet,
    SheetRow,
    column_name,
    is_blank,
    is_comment,
    without_empty_tail,
)
from pinset.files.workbook_archive import DamagedError, TooLargeError, looked_over

_CELL = re.compile(rb'<c\b[^>]{0,200}?\br="([A-Z]{1,4})([0-9]{1,9})"([^>]{0,200})>')
_ROW = re.compile(rb'<row\b[^>]{0,200}?\br="([0-9]{1,9})"')
_SHEET_REFERENCE = re.compile(rb'<sheet\b[^>]*?\br:id="([^"]+)"')
_RELATION = re.compile(rb"<Relationship\b[^>]*>")


def read_xlsx(data: bytes, file: str, report: Report) -> Sheet | None:
    """Return the first sheet of a workbook, or None if it cannot be used."""
    if not _is_sound(data, file, report):
        return None
    try:
        workbook = CalamineWorkbook.from_filelike(io.BytesIO(data))
        names = workbook.sheet_names
        grid = workbook.get_sheet_by_index(0).to_python(skip_empty_area=False) if names else []
    except (KeyboardInterrupt, SystemExit):
        raise
    except BaseException as error:  # noqa: BLE001 - a panic of the reader is no Exception
        _broken(file, report, str(error))
        return None
    if len(names) > 1:
        report.note(
            "more-sheets",
            Place(file),
            f"the workbook has {len(names)} sheets; only the first, {shown(names[0])}, is read.",
        )
    return _sheet(grid, file, report)


def _sheet(grid: list[list[Any]], file: str, report: Report) -> Sheet | None:
    header: tuple[str, ...] = ()
    header_row = 0
    rows: list[SheetRow] = []
    for number, line in enumerate(grid, start=1):
        cells = tuple(_raw(cell) for cell in line)
        if is_blank(cells) or is_comment(cells):
            continue
        if not header_row:
            named = tuple(column_name(cell) for cell in without_empty_tail(cells))
            header, header_row = named, number
        else:
            rows.append(SheetRow(number, cells))
    if not header_row:
        report.wrong(
            "empty-file",
            Place(file),
            "the first sheet of the workbook is empty: it has no header row.",
            "The first row names the columns.",
        )
        return None
    return Sheet(file=file, header_row=header_row, header=header, rows=tuple(rows))


def _raw(cell: Any) -> Raw:
    if isinstance(cell, (str, bool, int, float, datetime, date, time)):
        return cell
    return str(cell)


def _broken(file: str, report: Report, what: str) -> None:
    report.wrong(
        "workbook-broken",
        Place(file),
        f"the workbook cannot be opened: {what or 'it is damaged'}.",
        "Open it in a spreadsheet program and save it again as XLSX, or save it as CSV.",
    )


def _is_sound(data: bytes, file: str, report: Report) -> bool:
    """Look for a broken archive, an absurd size and cells that hold an error."""
    if not data:
        report.wrong("empty-file", Place(file), "the file is empty (0 bytes).")
        return False
    try:
        sheet = looked_over(data, _first_sheet_of)
    except TooLargeError as found:
        report.wrong(
            "too-large",
            Place(file),
            f"the workbook unpacks to {found.megabytes} MB; accepted are {found.accepted} MB.",
            "Is this the right file?",
        )
        return False
    except DamagedError as found:
        _broken(file, report, str(found))
        return False
    return _cells_are_sound(sheet, file, report)


def _first_sheet_of(archive: zipfile.ZipFile) -> bytes:
    found = _first_sheet(archive)
    return archive.read(found) if found else b""


def _first_sheet(archive: zipfile.ZipFile) -> str:
    """Return the name of the part that holds the first sheet."""
    names = set(archive.namelist())
    reference = _SHEET_REFERENCE.search(archive.read("xl/workbook.xml"))
    relations = archive.read("xl/_rels/workbook.xml.rels")
    for relation in _RELATION.findall(relations) if reference else []:
        if b'Id="' + reference.group(1) + b'"' in relation:  # type: ignore[union-attr]
            target = re.search(rb'Target="([^"]+)"', relation)
            if target:
                name = target.group(1).decode("utf-8", "replace").lstrip("/")
                name = name if name.startswith("xl/") else f"xl/{name}"
                return name if name in names else ""
    return ""


def _cells_are_sound(sheet: bytes, file: str, report: Report) -> bool:
    sound = True
    last_row = max((int(row) for row in _ROW.findall(sheet)), default=0)
    last_column = 0
    for letters, row, rest in _CELL.findall(sheet):
        last_row = max(last_row, int(row))
        last_column = max(last_column, _column_number(letters))
        if b't="e"' in rest:
            name = f"{letters.decode()}{row.decode()}"
            report.wrong(
                "cell-error",
                Place(file, int(row)),
                f"cell {name} shows an error such as #REF! instead of a value.",
                "Mend the formula or type the value in.",
            )
            sound = False
    if last_row > MOST_ROWS or last_column > MOST_COLUMNS:
        report.wrong(
            "too-large",
            Place(file, last_row),
            f"the sheet reaches row {last_row} and column {last_column}; "
            f"accepted are {MOST_ROWS} rows and {MOST_COLUMNS} columns.",
            "Delete the rows and columns that are not needed and save again.",
        )
        return False
    return sound


def _column_number(letters: bytes) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + letter - ord("A") + 1
    return number
