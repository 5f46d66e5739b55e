"""The guide page says what the code accepts, for every table and every name."""

from __future__ import annotations

import re

from files.guide_tables import PAGE, parts, with_columns


def test_the_column_tables_are_those_of_the_code() -> None:
    text = PAGE.read_text("utf-8")
    assert with_columns(text) == text, "run: python tests/files/guide_tables.py"


def test_every_table_and_section_is_on_the_page() -> None:
    marked = set(re.findall(r"<!-- columns (\w+) -->", PAGE.read_text("utf-8")))
    assert marked == set(parts())
