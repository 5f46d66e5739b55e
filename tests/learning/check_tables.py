"""Reads the check tables of tests/reference/statistics: what is expected, how near, from where."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

FOLDER = Path(__file__).parents[1] / "reference" / "statistics"


@cache
def table(name: str) -> tuple[dict[str, str], ...]:
    """Return the rows of a table, cell by column."""
    with (FOLDER / name).open(newline="", encoding="utf-8") as file:
        return tuple(csv.DictReader(file))


def column(name: str, cell: str) -> list[float]:
    """Return a column of numbers."""
    return [float(row[cell]) for row in table(name)]


def expected(name: str, row_id: str, quantity: str) -> tuple[float, float]:
    """Return a row's value and how far off it may be."""
    for row in table(name):
        if row["id"] == row_id and row.get("quantity", row.get("what")) == quantity:
            return float(row["value"]), float(row["tolerance"])
    raise AssertionError(f"{name} has no row {row_id} {quantity}")


def words(name: str, row_id: str, quantity: str) -> str:
    """Return a row's value as it is written."""
    for row in table(name):
        if row["id"] == row_id and row["quantity"] == quantity:
            return row["value"]
    raise AssertionError(f"{name} has no row {row_id} {quantity}")
