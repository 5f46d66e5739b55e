"""Where the readings of a file begin, and the cells of each column below."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy import bool_, int64
from numpy.typing import NDArray

from pinset.errors import InputError
from pinset.files.logger.header import Header, find_header, header_without_readings
from pinset.files.logger.lines import fits, fitting_lines
from pinset.files.logger.records import Guess, LogLayout, LogLimits, Sure
from pinset.files.logger.report import LogReport
from pinset.files.logger.rows import SEPARATORS, Grid, Kind, best_shape, sampled, signature, weight

FEWEST_LONG = 6  # rows with as many words as readings, to be a log


@dataclass(frozen=True, slots=True)
class Block:
    """The readings of a file as columns of cells of n rows each."""

    columns: list[list[str]]
    numbers: list[int]  # of each reading's row in the file
    kinds: str  # of each column, one letter each
    names: tuple[str, ...]  # as in the file
    heads: tuple[str, ...]  # the same with the unit from a row below
    preamble: tuple[str, ...]  # lines above the readings, and comments
    header_row: Guess[int]
    first_row: Guess[int]
    own: tuple[NDArray[bool_] | None, ...] = ()
    """Which rows are a column's own, shape (n,), where probes were read at times of their own."""
    is_by_probe: bool = False  # the whole of one probe's readings stands before the next one's

    def own_of(self, index: int) -> NDArray[int64]:
        """Return the rows that are a column's own: all, unless its probe has times of its own."""
        own = self.own[index] if self.own else None
        return np.arange(len(self.numbers)) if own is None else np.flatnonzero(own)


def find_block(grid: Grid, layout: LogLayout, limits: LogLimits, report: LogReport) -> Block:
    """Return the readings of a file; lines that do not fit go to the report.

    Parameters
    ----------
    grid : Grid
        Rows of the file.
    layout : LogLayout
        What is held of the file by hand.
    limits : LogLimits
        Most columns.
    report : LogReport
        Where findings go.

    Raises
    ------
    InputError
        If no row holds readings and none names columns of a log.
    """
    some = [grid.rows[index] for index in sampled(len(grid.rows))]
    kinds = best_shape(some)[0]
    if weight(kinds) <= 0:
        kinds = _with_words(some)
    if not kinds:
        return _without_readings(grid, report.file)
    first = _first(grid, layout, kinds)
    header = find_header(grid, layout.header_row, first, len(kinds), report)
    width = max(len(kinds), len(header.names))
    if width > limits.most_columns:
        report.wrong(
            "too-large",
            f"The file has {width} columns; the first {limits.most_columns} were read.",
            "Is this the right file?",
        )
        width = limits.most_columns
    kinds = kinds[:width].ljust(width, Kind.BLANK.value)
    rows, numbers = fitting_lines(grid, first, kinds, header.names, report)
    columns = [list(column) for column in zip(*rows, strict=True)] or [[] for _ in range(width)]
    sure = Sure.GIVEN if layout.first_row.sure is Sure.GIVEN else Sure.LIKELY
    return Block(
        columns=columns,
        numbers=numbers,
        kinds=kinds,
        names=_padded(header.names, width),
        heads=_padded(header.heads, width),
        preamble=(*(" ".join(row) for row in grid.rows[:first]), *grid.comments.values()),
        header_row=header.row,
        first_row=Guess(grid.numbers[first], sure, "from here on rows have the shape of most"),
    )


def _with_words(rows: Sequence[Sequence[str]]) -> str:
    """Return the kinds of rows of one reading each, of which words say the probe and the unit."""
    counts = Counter(signature(row) for row in rows)
    kinds, count = counts.most_common(1)[0] if counts else ("", 0)
    is_reading = Kind.TIME in kinds and Kind.NUMBER in kinds
    return kinds if is_reading and count >= max(FEWEST_LONG, len(rows) / 2) else ""


def _padded(names: tuple[str, ...], width: int) -> tuple[str, ...]:
    return (*names, *[""] * (width - len(names)))[:width]


def _first(grid: Grid, layout: LogLayout, kinds: str) -> int:
    """Return the index of the first row of readings."""
    if layout.first_row.sure is Sure.GIVEN:
        for index, number in enumerate(grid.numbers):
            if number >= layout.first_row.value:
                return index
        raise InputError("first_row", layout.first_row.value, f"up to {grid.numbers[-1]}")
    return next((index for index, row in enumerate(grid.rows) if fits(row, kinds)), 0)


def _without_readings(grid: Grid, file: str) -> Block:
    """Return a block of no rows if a row names columns of a log."""
    header: Header | None = header_without_readings(grid)
    if header is None:
        raise InputError(
            file,
            f"{len(grid.rows)} rows without a table of readings" if grid.rows else "no rows",
            "a table with a column of times and columns of temperatures "
            f"(XLSX, or text parted by {', '.join(SEPARATORS.values())})",
            "Export the log from the logger's program as CSV or XLSX.",
        )
    return Block(
        columns=[[] for _ in header.names],
        numbers=[],
        kinds=Kind.BLANK.value * len(header.names),
        names=header.names,
        heads=header.heads,
        preamble=(),
        header_row=header.row,
        first_row=Guess(0, Sure.LIKELY, "there is no reading"),
    )
