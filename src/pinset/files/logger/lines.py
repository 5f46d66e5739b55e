"""Which lines below the first reading are readings; the others are passed over and said."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from pinset.files.description.place import shown
from pinset.files.logger.numbers import decimals
from pinset.files.logger.report import LogReport
from pinset.files.logger.rows import Grid, Kind, kind_of, sampled, signature

MANY = 3  # rows named one by one; more are counted


def fits(row: Sequence[str], kinds: str) -> bool:
    """Return True if a row can be one of readings: its time is there, and not words only."""
    times = [index for index, kind in enumerate(kinds) if kind == Kind.TIME]
    numbers = [index for index, kind in enumerate(kinds) if kind == Kind.NUMBER]
    leading = times or numbers[:1]
    if not leading or len(row) <= leading[-1]:
        return False
    wanted = Kind.TIME if times else Kind.NUMBER
    if any(kind_of(row[index]) is not wanted for index in leading):
        return False
    rest = [index for index in numbers if index not in leading]
    found = [kind_of(row[index]) for index in rest if index < len(row)]
    return not rest or (bool(found) and found.count(Kind.WORDS) < len(found))


def fitting_lines(
    grid: Grid, first: int, kinds: str, names: Sequence[str], report: LogReport
) -> tuple[list[list[str]], list[int]]:
    """Return the rows of readings, each as wide as ``kinds``, and their numbers in the file.

    Parameters
    ----------
    grid : Grid
        Rows of the file.
    first : int
        Index of the first row of readings.
    kinds : str
        What the columns hold, one letter each.
    names : sequence of str
        Of the columns.
    report : LogReport
        Where findings go.
    """
    width = len(kinds)
    lead = next(index for index, kind in enumerate(kinds) if kind != Kind.BLANK)
    header = _header(grid, names)
    usual = _usual_decimals(grid, first, width)
    rows: list[list[str]] = []
    numbers: list[int] = []
    short: list[int] = []
    long: list[int] = []
    others: list[int] = []
    last = len(grid.rows) - 1
    for index in range(first, len(grid.rows)):
        row, number = grid.rows[index], grid.numbers[index]
        if len(row) == width and index != last and row[lead].lstrip()[:1].isdigit():
            rows.append(row)
            numbers.append(number)
            continue
        if not fits(row, kinds) or row == header:
            others.append(index)
            continue
        if Kind.NUMBER in signature(row)[width:]:
            long.append(number)
            continue
        if len(row) < width and any(kind != Kind.BLANK for kind in kinds[len(row) :]):
            row = _without_cut_end(row, usual)
            if index != last or grid.is_ended:
                short.append(number)
        rows.append([*row[:width], *[""] * (width - len(row))])
        numbers.append(number)
    if _is_cut_off(grid, usual, kinds, is_other=bool(others) and others[-1] == last):
        _say_cut_off(grid, report)
        rows, numbers, others = _without_last(rows, numbers, others, grid)
    _say_lengths(short, "fewer", "what they lack is missing", width, report)
    _say_lengths(long, "more", "they were left out", width, report)
    _say_others(grid, others, header, report)
    return rows, numbers


def _header(grid: Grid, names: Sequence[str]) -> list[str]:
    """Return the row of names as it was parted, to know it where it stands again."""
    if not names:
        return []
    for row in grid.rows:
        if [" ".join(cell.split()) for cell in row] == list(names):
            return row
    return []


def _usual_decimals(grid: Grid, first: int, width: int) -> list[int]:
    """Return how many digits follow the decimal sign in each column; 0 where that varies."""
    usual = []
    sample = [grid.rows[first + index] for index in sampled(len(grid.rows) - first)][:-1]
    for column in range(width):
        cells = [row[column] for row in sample if column < len(row) and row[column].strip()]
        counts = Counter(_digits(cell) for cell in cells)
        usual.append(next(iter(counts)) if len(counts) == 1 else 0)
    return usual


def _digits(cell: str) -> int:
    return max(decimals(cell, "."), decimals(cell, ","))


def _without_cut_end(row: list[str], usual: Sequence[int]) -> list[str]:
    """Leave out the last cell of a short row if the line may have been cut inside it."""
    return row[:-1] if _digits(row[-1]) < usual[len(row) - 1] else row


def _is_cut_off(grid: Grid, usual: Sequence[int], kinds: str, *, is_other: bool) -> bool:
    """Return True if the last line breaks off, also inside its last number."""
    if grid.is_ended or not grid.separator or len(grid.rows) < 2:  # noqa: PLR2004  (header, row)
        return False
    row = grid.rows[-1]
    filled = len(kinds.rstrip(Kind.BLANK.value))
    if len(row) < filled or (is_other and len(row) < len(kinds)):
        return True
    at = filled - 1
    if not row[at].strip():
        return len(row) == filled
    return len(row) <= len(kinds) and _digits(row[at]) < usual[at]


def _say_cut_off(grid: Grid, report: LogReport) -> None:
    number = grid.numbers[-1]
    report.warn(
        "cut-off",
        f"The file breaks off in the middle of row {number}, "
        f"{shown(grid.separator.join(grid.rows[-1]))}; that row was left out.",
        "Take the file from the logger once more; the end of the cook may be missing.",
        row=number,
    )


def _without_last(
    rows: list[list[str]], numbers: list[int], others: list[int], grid: Grid
) -> tuple[list[list[str]], list[int], list[int]]:
    last = len(grid.rows) - 1
    if numbers and numbers[-1] == grid.numbers[last]:
        rows, numbers = rows[:-1], numbers[:-1]
    return rows, numbers, [index for index in others if index != last]


def _say_lengths(rows: Sequence[int], what: str, done: str, width: int, report: LogReport) -> None:
    if rows:
        report.warn(
            "row-length",
            f"{_named(rows)} {what} than {width} cells; {done}.",
            "Look at the signs between the columns, and for decimal commas.",
            row=rows[0],
        )


def _named(rows: Sequence[int]) -> str:
    if len(rows) == 1:
        return f"Row {rows[0]} has"
    if len(rows) <= MANY:
        return f"Rows {', '.join(map(str, rows))} have"
    return f"{len(rows)} rows, the first of them row {rows[0]}, have"


def _say_others(
    grid: Grid, others: Sequence[int], header: Sequence[str], report: LogReport
) -> None:
    again = [index for index in others if grid.rows[index] == header]
    for index in others:
        if grid.rows[index] != header:
            report.note(
                "line-passed-over",
                f"{shown((grid.separator or ' ').join(grid.rows[index]).strip())} is no reading.",
                row=grid.numbers[index],
            )
    if again:
        report.note(
            "header-again",
            f"The names of the columns stand in the file {len(again)} times more: "
            "logs were joined in it.",
            "Were they of one cook?",
            row=grid.numbers[again[0]],
        )
