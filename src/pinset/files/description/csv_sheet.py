"""CSV text to a sheet: finds the separator, skips blank and comment lines, sees a broken end."""

from __future__ import annotations

import csv
import io
from collections.abc import Collection, Iterator

from pinset.files.description.place import Place, Report, shown
from pinset.files.description.sheet import (
    MOST_COLUMNS,
    MOST_ROWS,
    Sheet,
    SheetRow,
    column_name,
    is_blank,
    is_comment,
    without_empty_tail,
)

MOST_BROKEN = 20
"""Rows with open quotation marks after which the rest of a file is left unread."""

SEPARATORS = {",": "comma", ";": "semicolon", "\t": "tab"}


def read_csv(text: str, file: str, known: Collection[str], report: Report) -> Sheet | None:
    """Return the sheet, or None if there is none; what is wrong goes to the report.

    ``known`` are the column names the table may have: the separator is the one under which the
    header shows most of them.
    """
    lines = _split_lines(text)
    separator, first = _separator(lines, known)
    if separator is None:
        report.wrong(
            "empty-file",
            Place(file),
            "the file is empty: it has no header row.",
            f"The first row names the columns, for example {', '.join(list(known)[:3])}.",
        )
        return None
    header: tuple[str, ...] = ()
    header_row = 0
    rows: list[SheetRow] = []
    for number, cells in _records(lines, separator, first, file, report):
        if cells is None:
            if not header_row:
                return None  # which column is which is not known
            continue
        if is_comment(cells) or is_blank(cells):
            continue
        if len(cells) > MOST_COLUMNS or len(rows) >= MOST_ROWS:
            report.wrong(
                "too-large",
                Place(file, number),
                f"more than {MOST_ROWS} rows or {MOST_COLUMNS} columns are not read.",
                "Is this the right file?",
            )
            return None
        if not header_row:
            header, header_row = tuple(column_name(cell) for cell in cells), number
        else:
            rows.append(SheetRow(number, cells))
    if not header_row:
        return None
    header = tuple(str(name) for name in without_empty_tail(header))
    return Sheet(
        file=file,
        header_row=header_row,
        header=header,
        rows=tuple(rows),
        comma_is_decimal=separator == ";",
        cut_off=_cut_off(rows, header, lines),
    )


def _split_lines(text: str) -> list[str]:
    """Split at line ends only; str.splitlines also splits at rarer signs a note may hold."""
    return list(io.StringIO(text.replace("\r\n", "\n").replace("\r", "\n")))


def _separator(lines: list[str], known: Collection[str]) -> tuple[str | None, int]:
    """Return the separator and the index of the line to start at."""
    for index, line in enumerate(lines):
        stripped = line.strip()
        if not stripped or stripped.startswith(("#", '"#')):
            continue
        if index == 0 and stripped.casefold().startswith("sep=") and len(stripped) <= len("sep=;"):
            sign = line.strip("\r\n")[4:5]
            if sign in SEPARATORS:
                return sign, 1
        best = max(SEPARATORS, key=lambda sign: _header_score(line, sign, known))
        return best, 0
    return None, 0


def _header_score(line: str, separator: str, known: Collection[str]) -> tuple[int, int]:
    names = [column_name(cell.strip().strip('"')) for cell in line.split(separator)]
    return sum(name in known for name in names), len(names)


def _records(
    lines: list[str], separator: str, first: int, file: str, report: Report
) -> Iterator[tuple[int, tuple[str, ...] | None]]:
    """Yield each record with the number of the line it starts on; None for one that is broken."""
    source = _Lines(lines, first)
    reader = csv.reader(source, delimiter=separator, strict=True)
    broken = 0
    while True:
        source.at_start = True
        source.start = 0
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            _report_broken(source, str(error), file, report)
            broken += 1
            yield source.start, None
            if not source.start or broken > MOST_BROKEN:
                return
            source.index = source.start  # go on with the line after the broken one
            reader = csv.reader(source, delimiter=separator, strict=True)
            continue
        yield source.start, tuple(cells)


class _Lines:
    """Lines handed to the CSV reader one by one, comment lines left out between records."""

    def __init__(self, lines: list[str], first: int) -> None:
        self.lines = lines
        self.index = first
        self.at_start = True
        self.start = 0

    def __iter__(self) -> _Lines:
        return self

    def __next__(self) -> str:
        while self.index < len(self.lines):
            line = self.lines[self.index]
            self.index += 1
            if self.at_start and line.lstrip().startswith("#"):
                continue
            if self.at_start:
                self.start = self.index
                self.at_start = False
            return line
        raise StopIteration


def _report_broken(source: _Lines, error: str, file: str, report: Report) -> None:
    place = Place(file, source.start or source.index)
    line = source.lines[(source.start or source.index) - 1].strip()
    if "unexpected end of data" in error:
        report.wrong(
            "quote-open",
            place,
            f"a quotation mark is opened and never closed; the row begins {shown(line)}.",
            "Close the quotation mark; if the file ends here, half of it is missing.",
        )
    elif "field larger" in error:
        report.wrong(
            "too-large", place, "one cell holds more than 131072 signs.", "Is this the right file?"
        )
    else:
        report.wrong(
            "quote-inside",
            place,
            f"the quotation marks of this row do not pair; it begins {shown(line)}.",
            "A quotation mark inside a quoted cell is written twice.",
        )


def _cut_off(rows: list[SheetRow], header: tuple[str, ...], lines: list[str]) -> int | None:
    """Return the number of the last row if it breaks off without a line end."""
    if not rows or not lines or lines[-1].endswith(("\n", "\r")):
        return None
    last = rows[-1]
    return last.number if len(last.cells) < len(header) else None
