"""The rows of one table file, before anything is known of their meaning."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time
from typing import TypeAlias

Raw: TypeAlias = str | float | int | bool | date | datetime | time
"""What a cell can hold: CSV gives text only, a workbook also numbers, dates and yes/no."""

MOST_ROWS = 100_000
MOST_COLUMNS = 200


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One row that is neither blank nor a comment, by its number in the file."""

    number: int
    cells: tuple[Raw, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A header and the rows below it."""

    file: str
    header_row: int
    header: tuple[str, ...]
    rows: tuple[SheetRow, ...]
    comma_is_decimal: bool = False  # the file parts its columns by semicolons
    cut_off: int | None = None  # number of a last row that breaks off


def is_blank(cells: tuple[Raw, ...]) -> bool:
    """Return True if no cell holds anything."""
    return all(isinstance(cell, str) and not cell.strip() for cell in cells)


def is_comment(cells: tuple[Raw, ...]) -> bool:
    """Return True if the first cell starts with the comment sign."""
    return bool(cells) and isinstance(cells[0], str) and cells[0].lstrip().startswith("#")


def column_name(cell: Raw) -> str:
    """Return a header cell in the form of our column names: ``Made on`` is ``made_on``."""
    words = str(cell).strip().casefold().replace("-", " ").replace("_", " ").split()
    return "_".join(words)


def without_empty_tail(cells: tuple[Raw, ...]) -> tuple[Raw, ...]:
    """Return the cells without the empty ones at the end."""
    last = len(cells)
    while last:
        cell = cells[last - 1]
        if not isinstance(cell, str) or cell.strip():
            break
        last -= 1
    return cells[:last]
