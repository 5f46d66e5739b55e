"""A farm described as a grower would: `farm.toml` with tables beside it, as text."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from textwrap import dedent

PLACES = """
    [[rooms]]
    code = "lab"
    name = "Laboratory"
    kind = "laboratory"
    temperature_c = 21
    shelves = [{code = "lab-1", holds = 60}]

    [[rooms]]
    code = "fridge"
    name = "Fridge"
    kind = "cold"
    temperature_c = 4
    shelves = [{code = "fridge-1", holds = 80}]

    [[rooms]]
    code = "cooking"
    name = "Steriliser bay"
    kind = "steriliser"
    temperature_c = 22

    [[rooms]]
    code = "mixing"
    name = "Mixing bay"
    kind = "preparation"
    temperature_c = 18

    [[rooms]]
    code = "warm"
    name = "Incubation"
    kind = "incubation"
    temperature_c = 22
    shelves = [{code = "warm-1", holds = 260}]

    [[rooms]]
    code = "grow"
    name = "Grow room"
    kind = "growing"
    temperature_c = 15
    climates = ["cool", "mild", "warm"]
    shelves = [{code = "grow-1", holds = 160}]

    [[rooms]]
    code = "packing"
    name = "Packing"
    kind = "packing"
    temperature_c = 4
"""
"""Rooms that all these farms have; what one does not use stands empty."""

BENCH = """
    [[benches]]
    code = "bench"
    name = "Clean bench"
    room = "lab"
    minutes_per_day = 240
"""


@dataclass(frozen=True)
class Described:
    """One invented farm: what stands in its files."""

    code: str
    place: str  # the [farm] part of farm.toml, its sterilisers and people
    tables: Mapping[str, str] = field(default_factory=dict)

    def write(self, folder: Path) -> Path:
        """Write the files into a new folder."""
        folder.mkdir()
        text = dedent(self.place) + dedent(PLACES) + dedent(BENCH)
        (folder / "farm.toml").write_text(text, encoding="utf-8")
        for name, rows in self.tables.items():
            text = re.sub(r"\\\n *", "", dedent(rows).lstrip())  # a row may go on below
            (folder / f"{name}.csv").write_text(text, encoding="utf-8")
        return folder
