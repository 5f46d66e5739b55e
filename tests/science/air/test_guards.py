"""Rows of the air tables whose value came from the same formula: guards against later breakage.

They prove nothing about a formula, and are counted apart from those of test_outside.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from science.air.air_rows import Row, rows
from science.air.reckoned import TABLES

GUARDS = [(name, row) for name in TABLES for row in rows(name) if row.is_guard]


@pytest.mark.parametrize(("table", "row"), GUARDS, ids=lambda each: getattr(each, "id", each))
def test_a_guard(table: str, row: Row) -> None:
    row.check(TABLES[table](row))


def test_the_documentation_counts_them_apart() -> None:
    page = (Path(__file__).parents[3] / "docs" / "methods" / "air.md").read_text(encoding="utf-8")
    said = dict.fromkeys(TABLES, (0, 0))
    for name, outside, guards in re.findall(r"\| `(\w+)\.csv` \| (\d+) \| (\d+) \|", page):
        said[name] = (int(outside), int(guards))
    counted = {name: [row.is_guard for row in rows(name)] for name in TABLES}
    assert said == {name: (all_.count(False), all_.count(True)) for name, all_ in counted.items()}
