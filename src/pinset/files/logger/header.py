"""Which row of a file names its columns, and the units in the row below it."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from dataclasses import dataclass

from pinset.errors import InputError
from pinset.files.description.place import shown
from pinset.files.logger.places import is_of_log
from pinset.files.logger.records import Guess, Sure
from pinset.files.logger.report import LogReport
from pinset.files.logger.rows import Grid, Kind, kind_of, sampled, signature, weight
from pinset.files.logger.words import is_event, is_unit

HEAD_ROWS = 3  # above the readings that may hold names and units


@dataclass(frozen=True, slots=True)
class Header:
    """Names of columns as in the file, and the same with the unit from a row below them."""

    row: Guess[int]  # from 1; 0: there is none
    names: tuple[str, ...] = ()
    heads: tuple[str, ...] = ()


def find_header(grid: Grid, held: Guess[int], first: int, width: int, report: LogReport) -> Header:
    """Return the names of the columns.

    Parameters
    ----------
    grid : Grid
        Rows of the file.
    held : Guess of int
        Row of the names if said by hand.
    first : int
        Index of the first row of readings.
    width : int
        Columns that readings have.
    report : LogReport
        Where findings go.

    Raises
    ------
    InputError
        If there is no such row, or commas stand both between columns and before decimals.
    """
    if held.sure is Sure.GIVEN:
        return _said(grid, held)
    widest = max(len(grid.rows[first + index]) for index in sampled(len(grid.rows) - first))
    above = range(max(0, first - HEAD_ROWS), first)
    rows = [(grid.numbers[index], grid.rows[index]) for index in above]
    rows = [(number, row) for number, row in rows if _could_name(row, width)]
    in_place = [each for each in rows if len(_without_events(each[1], widest)) <= widest]
    if rows and not in_place and _say_shifted(*rows[-1], widest, report):
        in_place = rows[-1:]
    rows = in_place
    if not rows:
        return _from_comment(grid, first, width)
    while len(rows) > 1 and weight(signature(rows[-1][1])) > 0 and _is_named_above(rows):
        rows.pop()  # a reading too damaged to be one
    number, row = rows.pop()
    units: list[str] = []
    if rows and _is_units(row):
        units = row
        number, row = rows.pop()
    _refuse_commas_for_both(grid, first, row, width, report.file)
    names = tuple(" ".join(cell.split()) for cell in row)
    heads = tuple(_with_unit(name, units, index) for index, name in enumerate(names))
    return Header(
        Guess(number, Sure.LIKELY, "the last row of words above the readings"), names, heads
    )


def header_without_readings(grid: Grid) -> Header | None:
    """Return the last row that names columns of a log, or None."""
    rows = [(number, row) for number, row in zip(grid.numbers, grid.rows, strict=True)]
    commented = [(number, _of_comment(line, grid)) for number, line in grid.comments.items()]
    for number, row in sorted((*rows, *commented), reverse=True):
        names = tuple(" ".join(cell.split()) for cell in _without_tail(row))
        if len(names) > 1 and sum(map(is_of_log, names)) > 1:
            why = "the only row that names columns of a log"
            return Header(Guess(number, Sure.LIKELY, why), names, names)
    return None


def _without_tail(row: Sequence[str]) -> list[str]:
    cells = list(row)
    while cells and not cells[-1].strip():
        cells.pop()
    return cells


def _without_events(row: Sequence[str], widest: int) -> list[str]:
    """Return a row of names without those of events that no reading has a cell for."""
    cells = _without_tail(row)
    while len(cells) > widest and is_event(cells[-1]):
        cells.pop()
    return cells


def _with_unit(name: str, units: Sequence[str], index: int) -> str:
    unit = units[index].strip(" []()") if index < len(units) else ""
    return f"{name} [{unit}]" if unit else name


def _said(grid: Grid, held: Guess[int]) -> Header:
    row = held.value
    if row == 0:
        return Header(held)
    if row in grid.numbers:
        cells = grid.rows[grid.numbers.index(row)]
    elif row in grid.comments:
        cells = _of_comment(grid.comments[row], grid)
    else:
        raise InputError("header_row", row, "a row of the file that is not blank, or 0 for none")
    names = tuple(" ".join(cell.split()) for cell in cells)
    return Header(held, names, names)


def _could_name(row: Sequence[str], width: int) -> bool:
    """Return True for a row that reaches about as far as the readings and holds words."""
    filled = [index for index, cell in enumerate(row) if cell.strip()]
    if not filled or 2 * len(filled) < min(width, len(row)):
        return False
    if any(kind_of(cell) is Kind.TIME for cell in row):
        return False
    if filled[-1] > width and not any(map(is_of_log, row)):
        return False
    return len(filled) > 1 or width == 1 or is_of_log(row[filled[0]])


def _say_shifted(number: int, row: Sequence[str], widest: int, report: LogReport) -> bool:
    """Report names that outnumber the cells of every reading; False if they cannot be used."""
    names = _without_tail(row)
    is_parted = any(map(is_unit, names))
    report.wrong(
        "names-shifted",
        f"The row of names has {len(names)} cells and no reading has more than {widest}; "
        + ("it was not used." if is_parted else "names may stand over the wrong columns."),
        "Put names with a comma into quotation marks, or say what each column is.",
        row=number,
    )
    return not is_parted


def _is_named_above(rows: Sequence[tuple[int, Sequence[str]]]) -> bool:
    return any(is_of_log(cell) for _, row in rows[:-1] for cell in row)


def _is_units(row: Sequence[str]) -> bool:
    """Return True if a row holds nothing but units."""
    cells = [cell.strip() for cell in row if cell.strip()]
    return bool(cells) and all(map(is_unit, cells))


def _from_comment(grid: Grid, first: int, width: int) -> Header:
    """Return the names from the last comment line above the readings that fits them."""
    before = grid.numbers[first]
    for number in sorted((each for each in grid.comments if each < before), reverse=True):
        names = tuple(_of_comment(grid.comments[number], grid))
        if len(names) == width and 2 * sum(map(is_of_log, names)) >= width:
            return Header(
                Guess(number, Sure.LIKELY, "a comment line with as many names"), names, names
            )
    return Header(Guess(0, Sure.LIKELY, "no row above the readings names the columns"))


def _of_comment(line: str, grid: Grid) -> list[str]:
    cells = next(csv.reader([line], delimiter=grid.separator or "\t", skipinitialspace=True), [""])
    if cells[0].strip() not in {"#", "%", "!"}:
        cells[0] = cells[0].lstrip("#/%! ")
    return [" ".join(cell.split()) for cell in _without_tail(cells)]


def _refuse_commas_for_both(
    grid: Grid, first: int, header: Sequence[str], width: int, file: str
) -> None:
    """Refuse decimal commas in a file that also parts its columns by commas."""
    names = len(_without_tail(header))
    row = grid.rows[first]
    if grid.separator == "," and 1 < names < width <= 2 * names and "." not in "".join(row):
        raise InputError(
            file,
            f"{names} names above {width} cells, as in {shown(','.join(row))}",
            "a comma either between columns or before decimals",
            "Export it with semicolons or tabs between the columns.",
        )
