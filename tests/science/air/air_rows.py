"""Check rows of tests/reference/air: what is given, what is expected, how near, from where."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from pathlib import Path

FOLDER = Path(__file__).parents[2] / "reference" / "air"
NUMBER = r"[-+]?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?"


@dataclass(frozen=True)
class Row:
    """One row of a check table."""

    id: str
    topic: str
    inputs: str
    quantity: str
    unit: str
    expected: float
    tolerance: float
    is_relative: bool
    source: str
    how: str
    is_guard: bool  # the expected value came from the same formula

    def __getitem__(self, name: str) -> float:
        """Return a number given as ``name=number`` or ``name number``."""
        found = re.search(rf"(?:^|[;,( ]){re.escape(name)}[= ]({NUMBER})", self.inputs)
        assert found, f"{self.id}: no {name} in {self.inputs}"
        return float(found[1])

    @property
    def numbers(self) -> list[float]:
        """Every number of the inputs, in order."""
        return [float(each) for each in re.findall(rf"(?<![\w.]){NUMBER}", self.inputs)]

    def check(self, value: float) -> None:
        """Fail unless a value is as near as the row asks, naming the source."""
        scale = abs(self.expected) if self.is_relative else 1.0
        near = abs(value - self.expected) <= self.tolerance * scale
        assert near, f"{self.id}: {value}, not {self.expected} {self.unit} ({self.source})"


def rows(table: str) -> list[Row]:
    """Return the rows of a table."""
    with (FOLDER / f"{table}.csv").open(newline="", encoding="utf-8") as file:
        return [
            Row(
                each["id"],
                each["topic"],
                each["inputs"],
                each["quantity"],
                each["unit"],
                float(each["expected"]),
                float(each["tolerance"]),
                each["tol_kind"] == "rel",
                each["source"],
                each["how"],
                each["agrees"] == "self",
            )
            for each in csv.DictReader(file)
        ]
