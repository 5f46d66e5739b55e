"""Rows of the air tables that meet a value from outside: a standard, a page, another library."""

from __future__ import annotations

import pytest

from science.air.air_rows import Row, rows
from science.air.reckoned import TABLES

OUTSIDE = [(name, row) for name in TABLES for row in rows(name) if not row.is_guard]


@pytest.mark.parametrize(("table", "row"), OUTSIDE, ids=lambda each: getattr(each, "id", each))
def test_a_value_from_outside(table: str, row: Row) -> None:
    assert row.source
    row.check(TABLES[table](row))
