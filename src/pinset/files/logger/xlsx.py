"""A workbook with a log to rows of cells; looked over before the reader is let loose on it."""

from __future__ import annotations

import io
import re
import zipfile
from datetime import date, datetime, time, timedelta
from typing import Any

from python_calamine import CalamineWorkbook

from pinset.errors import InputError
from pinset.files.description.place import listed
from pinset.files.logger.records import Guess, LogLimits, Sure
from pinset.files.logger.report import LogReport
from pinset.files.logger.rows import COMMENTS, Grid, best_shape, sampled
from pinset.files.workbook_archive import DamagedError, TooLargeError, looked_over

MOST_CELLS = 20_000_000
MOST_SHEETS = 20

_SHEET_PART = re.compile(r"xl/worksheets/[^/]+\.xml")
_ROW = re.compile(rb'<row\b[^>]{0,200}?\br="([0-9]{1,9})"')
_FAR_CELL = re.compile(rb'<c\b[^>]{0,200}?\br="([A-Z]{2,4})[0-9]')
_ACCEPTED = "a workbook (XLSX) or a table of text (CSV)"
_SAVE_AGAIN = "Open it in a spreadsheet program and save it again, or save it as CSV."


def is_workbook(data: bytes) -> bool:
    """Return True if a file begins as a workbook does."""
    return data.startswith(b"PK\x03\x04")


def read_workbook(
    data: bytes, held: str, limits: LogLimits, report: LogReport
) -> tuple[Grid, Guess[str]]:
    """Return the rows of the sheet that holds the log, and its name.

    ``held`` is the sheet said by hand, or empty.

    Raises
    ------
    InputError
        If the workbook is damaged, absurdly large, or has no such sheet.
    """
    _look_over(data, report.file)
    try:
        workbook = CalamineWorkbook.from_filelike(io.BytesIO(data))
        names = list(workbook.sheet_names)[:MOST_SHEETS]
        wanted = [name for name in names if not held or name == held]
        grids = {
            name: workbook.get_sheet_by_name(name).to_python(skip_empty_area=False)
            for name in wanted
        }
    except (KeyboardInterrupt, SystemExit):
        raise
    except BaseException as error:  # noqa: BLE001  (a panic of the reader is no Exception)
        raise _broken(report.file, str(error)) from None
    if held and not grids:
        raise InputError("sheet", held, listed(names) or "a sheet of the workbook")
    found = {name: _grid(rows, limits, report) for name, rows in grids.items()}
    fits = {name: _fit(grid) for name, grid in found.items()}
    best = max(fits, key=lambda name: fits[name], default="")
    if not best:
        raise InputError(report.file, "a workbook without sheets", _ACCEPTED)
    if held:
        return found[best], Guess(best, Sure.GIVEN, "said by hand")
    if len(names) > 1:
        report.note(
            "more-sheets",
            f"The workbook has {len(names)} sheets ({listed(names)}); {best} was read, "
            "which looks most like a log.",
        )
    sure = Sure.LIKELY if sum(fit > 0 for fit in fits.values()) <= 1 else Sure.UNSURE
    return found[best], Guess(best, sure, "it has the most readings")


def _fit(grid: Grid) -> int:
    return best_shape([grid.rows[index] for index in sampled(len(grid.rows))])[1] * len(grid.rows)


def _grid(rows: list[list[Any]], limits: LogLimits, report: LogReport) -> Grid:
    if len(rows) > limits.most_rows:
        report.wrong(
            "too-large",
            f"A sheet has {len(rows)} rows; only the first {limits.most_rows} were read.",
            "Is this the right file? Cut it, or have the logger read less often.",
        )
        rows = rows[: limits.most_rows]
    kept: list[list[str]] = []
    numbers: list[int] = []
    comments: dict[int, str] = {}
    for number, row in enumerate(rows, start=1):
        cells = [_text(cell) for cell in row]
        if not any(cells):
            continue
        if cells[0].lstrip().startswith(COMMENTS):
            comments[number] = "\t".join(cells)
            continue
        kept.append(cells)
        numbers.append(number)
    return Grid(kept, numbers, comments)


def _text(cell: Any) -> str:
    """Return a cell as text that reads back to the same value."""
    if isinstance(cell, str):
        return cell
    if isinstance(cell, (float, int)):
        return repr(cell)
    if isinstance(cell, datetime):
        return _to_millisecond(cell).isoformat(" ")
    if isinstance(cell, (date, time)):
        return cell.isoformat()
    if isinstance(cell, timedelta):
        return _hours(cell)
    return str(cell)


def _to_millisecond(moment: datetime) -> datetime:
    """Undo what a count of days as a binary number does to a moment."""
    return moment + timedelta(microseconds=500 - (moment.microsecond + 500) % 1000)


def _hours(span: timedelta) -> str:
    milliseconds = round(span / timedelta(milliseconds=1))
    sign, milliseconds = ("-" if milliseconds < 0 else ""), abs(milliseconds)
    minutes, rest = divmod(milliseconds, 60_000)
    return f"{sign}{minutes // 60}:{minutes % 60:02d}:{rest / 1000:06.3f}"


def _broken(file: str, what: str) -> InputError:
    return InputError(
        file,
        f"a workbook that cannot be opened ({what or 'it is damaged'})",
        _ACCEPTED,
        _SAVE_AGAIN,
    )


def _look_over(data: bytes, file: str) -> None:
    """Refuse a broken archive, and one that would fill the memory."""
    try:
        sheets = looked_over(data, _sheets_of)
    except TooLargeError as found:
        raise InputError(
            file,
            f"a workbook of {found.megabytes} MB unpacked",
            f"up to {found.accepted} MB",
            "Is this the right file?",
        ) from None
    except DamagedError as found:
        raise _broken(file, str(found)) from None
    for sheet in sheets:
        _look_at_size(sheet, file)


def _sheets_of(archive: zipfile.ZipFile) -> list[bytes]:
    return [archive.read(name) for name in archive.namelist() if _SHEET_PART.fullmatch(name)]


def _look_at_size(sheet: bytes, file: str) -> None:
    rows = max((int(row) for row in _ROW.findall(sheet)), default=0)
    far = set(_FAR_CELL.findall(sheet))
    columns = max((_column_number(letters) for letters in far), default=26)
    if rows * columns > MOST_CELLS:
        raise InputError(
            file,
            f"a sheet that reaches row {rows} and column {columns}",
            f"up to {MOST_CELLS // 1_000_000} million cells",
            "Delete the rows and columns that are not needed and save it again.",
        )


def _column_number(letters: bytes) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + letter - ord("A") + 1
    return number
