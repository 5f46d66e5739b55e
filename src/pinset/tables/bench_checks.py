"""What is ticked before and after work at a bench, and where settle plates stand.

Common practice, no source; what a farm's own bench and products ask for comes first.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from pinset.errors import InputError
from pinset.tables.cautions import caution
from pinset.tables.loader import packaged_rows

_FILE = "bench_checks.csv"
_COLUMNS = ("key", "list", "words", "caution")


class CheckList(StrEnum):
    """Which list a line stands on."""

    ENTRY = "entry"
    CLEAN_DOWN = "clean-down"
    PLATE = "plate"  # places where settle plates stand


@dataclass(frozen=True, slots=True)
class Check:
    """One line of a list."""

    key: str
    words: str
    caution: str = ""  # key


@cache
def _all() -> Mapping[CheckList, tuple[Check, ...]]:
    found: dict[CheckList, list[Check]] = {each: [] for each in CheckList}
    for row in packaged_rows(_FILE, _COLUMNS):
        if row["list"] not in set(CheckList):
            where = f"{_FILE} {row['key']}"
            raise InputError(where, row["list"], f"one of {', '.join(CheckList)}")
        key = "" if row["caution"] == "-" else caution(row["caution"]).key
        found[CheckList(row["list"])].append(Check(row["key"], row["words"], key))
    return {each: tuple(lines) for each, lines in found.items()}


def checks(which: CheckList) -> tuple[Check, ...]:
    """Return the lines of a list, in their order.

    Raises
    ------
    InputError
        If a row names an unknown list or caution.
    """
    return _all()[which]
