"""The column tables of the guide, made from the code; run as a program it renews the page."""

from __future__ import annotations

import re
from pathlib import Path

from pinset.files.description.columns import Table
from pinset.files.description.farm_fields import SECTIONS, Section
from pinset.files.description.tables import TABLES

PAGE = Path(__file__).parents[2] / "docs" / "guide" / "describing-a-farm.md"
_MARKED = re.compile(r"(<!-- columns (\w+) -->\n\n).*?<!-- end -->", re.DOTALL)


def columns_of(part: Table | Section) -> str:
    """Return the columns of a table as Markdown."""
    lines = ["| name | meaning | accepted | if left empty |", "|---|---|---|---|"]
    for column in part.columns:
        empty = "needed" if column.required else column.empty or "none"
        cells = (f"`{column.name}`", column.meaning, column.kind.accepted, empty)
        lines.append("| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |")
    return "\n".join(lines)


def parts() -> dict[str, Table | Section]:
    """Return every table and section by its name."""
    return {part.name: part for part in (*SECTIONS, *TABLES)}


def with_columns(text: str) -> str:
    """Return the page with its column tables as the code has them."""
    known = parts()
    return _MARKED.sub(lambda m: f"{m[1]}{columns_of(known[m[2]])}\n\n<!-- end -->", text)


if __name__ == "__main__":
    PAGE.write_text(with_columns(PAGE.read_text("utf-8")), "utf-8")
