"""Reads check rows of tests/reference/heat: what is given, what is expected, how near."""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

FOLDER = Path(__file__).parents[1] / "reference" / "heat"
NUMBER = r"[-+]?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?"


@dataclass(frozen=True)
class Row:
    """One row of a check table."""

    id: str
    quantity: str
    inputs: str
    expected: float
    tolerance: float
    is_relative: bool

    def __getitem__(self, name: str) -> float:
        """Return a number given as ``name=number``."""
        found = re.search(rf"(?:^|[;( ]){re.escape(name)}=({NUMBER})", self.inputs)
        assert found, f"{self.id}: no {name} in {self.inputs}"
        return float(found[1])

    def edges(self) -> list[float]:
        """Return edges given as ``edges=0.1x0.2x0.3`` or ``edges 0.1x0.2x0.3``. [m]"""
        found = re.search(rf"edges[= ]({NUMBER})x({NUMBER})x({NUMBER})", self.inputs)
        assert found
        return [float(each) for each in found.groups()]

    def holds(self, value: float) -> bool:
        """Whether a value is as near as the row asks."""
        scale = abs(self.expected) if self.is_relative else 1.0
        return bool(abs(value - self.expected) <= self.tolerance * scale)


def rows(table: str) -> list[Row]:
    """Return the rows that are numbers to test."""
    with (FOLDER / table).open(newline="", encoding="utf-8") as file:
        return [
            Row(
                each["id"],
                each["quantity"],
                each["inputs"],
                float(each["expected"]),
                float(each["tolerance"]),
                each["tol_kind"] == "rel",
            )
            for each in csv.DictReader(file)
            if each["tol_kind"] in {"abs", "rel"}
        ]


@dataclass(frozen=True)
class Property:
    """One row of properties.csv: one value, or several with one tolerance."""

    id: str
    quantity: str
    inputs: str
    expected: tuple[float, ...]
    tolerance: float
    is_relative: bool

    def __getitem__(self, name: str) -> float:
        """Return a number given as ``name=number``."""
        found = re.search(rf"(?:^|[;( ]){re.escape(name)}=({NUMBER})", self.inputs)
        assert found, f"{self.id}: no {name} in {self.inputs}"
        return float(found[1])

    def check(self, values: Sequence[float]) -> None:
        """Fail unless each value is as near as the row asks."""
        for value, expected in zip(values, self.expected, strict=True):
            scale = abs(expected) if self.is_relative else 1.0
            assert abs(value - expected) <= self.tolerance * scale, f"{value}, not {expected}"


def properties() -> list[Property]:
    """Return the rows of properties.csv that are numbers to test."""
    with (FOLDER / "properties.csv").open(newline="", encoding="utf-8") as file:
        return [
            Property(
                each["id"],
                each["quantity"],
                each["inputs"],
                tuple(float(value) for value in each["expected"].split(";")),
                float(each["tolerance"]),
                each["tol_kind"] == "rel",
            )
            for each in csv.DictReader(file)
            if each["tol_kind"] in {"abs", "rel"}
        ]


def chamber_curve() -> tuple[np.ndarray, np.ndarray]:
    """Return the chamber curve of the solver rows every minute: s, degC."""
    with (FOLDER / "chamber_curve.csv").open(newline="", encoding="utf-8") as file:
        points = [(float(each["t_min"]), float(each["T_degC"])) for each in csv.DictReader(file)]
    minutes, degrees = zip(*points, strict=True)
    each_minute = np.arange(minutes[-1] + 1)
    return 60.0 * each_minute, np.interp(each_minute, minutes, degrees)
