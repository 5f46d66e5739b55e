"""The one loader of the packaged tables; it refuses nonsense.

A table of values is in long form, one value a row. ``source`` points into `sources.csv`; where two
publications disagree both rows stand, and ``preferred`` picks one.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from importlib import resources

from pinset.errors import InputError

COLUMNS = (
    "key",
    "name",
    "value",
    "unit",
    "low",
    "high",
    "basis",
    "source",
    "place",
    "quality",
    "preferred",
    "note",
)
SOURCE_COLUMNS = (
    "key",
    "authors",
    "year",
    "title",
    "publisher",
    "doi_or_address",
    "licence",
    "seen",
    "checked_on",
)
UNITS_KNOWN = frozenset(
    {
        "d",
        "h",
        "min",
        "degC",
        "fraction",
        "units",
        "places",
        "generations",
        "transfers",
        "cups",
        "x",
        "g",
        "mL",
        "ppm",
        "L",
        "s",
        "K",
        "log10 min",
        "psi",
        "W/(m K)",
        "W/(m K2)",
        "W/(m K3)",
        "W/(m2 K)",
        "kg/m3",
        "kg/(m3 K)",
        "kg/(m3 K2)",
        "kJ/(kg K)",
        "kJ/(kg K2)",
        "kJ/(kg K3)",
        "MJ/(m3 K)",
        "m2/s",
        "1/min",
        "m/s",
        "m2",
        "Pa",
        "g/(kg h)",
        "J/mg",
        "mg/(kg h)",
        "mJ/cm2",
        "uW/cm2",
    }
)
"""Units a row may have; ``x`` is a plain ratio, ``fraction`` lies from 0 up, ``psi`` is gauge."""

_MAY_BE_NEGATIVE = frozenset(
    {
        "degC",
        "log10 min",
        "W/(m K2)",
        "W/(m K3)",
        "kg/(m3 K)",
        "kg/(m3 K2)",
        "kJ/(kg K2)",
        "kJ/(kg K3)",
    }
)
"""Temperatures, logarithms, and terms of a sum: by themselves they are no quantities."""

_MAY_BE_BLANK = frozenset({"low", "high", "note"})


class Quality(StrEnum):
    """How well a value is known."""

    READ = "read"  # seen in the named source
    MEASURED = "measured"  # our own fit to published data
    COMPUTED = "computed"  # arithmetic on values of the named source
    MEMORY = "memory"  # recalled, not read again
    COMMON_PRACTICE = "common-practice"  # what growers do; no source


@dataclass(frozen=True, slots=True)
class Source:
    """A publication, or the plain statement that there is none."""

    key: str
    authors: str
    year: str
    title: str
    publisher: str
    doi_or_address: str
    licence: str
    seen: str  # what of it was seen
    checked_on: str

    @property
    def is_publication(self) -> bool:
        """Whether something can be cited: not common practice, own sums or sellers' pages."""
        return self.key not in {
            "common-practice",
            "own-arithmetic",
            "own-estimate",
            "grower-pages",
        }


@dataclass(frozen=True, slots=True)
class Value:
    """One published value."""

    key: str  # the thing: "lentinula-edodes.ripening"
    name: str  # the quantity: "days"
    value: float
    unit: str
    low: float | None
    high: float | None
    basis: str
    source: str
    place: str
    quality: Quality
    preferred: bool
    note: str


@dataclass(frozen=True, slots=True)
class Table:
    """Values by key and name."""

    file: str
    rows: tuple[Value, ...]
    _preferred: Mapping[tuple[str, str], Value]

    def get(self, key: str, name: str, source: str = "") -> Value | None:
        """Return the preferred value (or that of one source), or None if there is none."""
        if source:
            found = [r for r in self.rows if (r.key, r.name, r.source) == (key, name, source)]
            return found[0] if found else None
        return self._preferred.get((key, name))

    def one(self, key: str, name: str, source: str = "") -> Value:
        """Return the preferred value, or that of one source.

        Raises
        ------
        InputError
            If the table has none.
        """
        found = self.get(key, name, source)
        if found is None:
            near = sorted({row.name for row in self.rows if row.key == key})
            accepted = f"a value of {self.file}"
            raise InputError(
                "key and name", (key, name), f"{accepted}: {', '.join(near)}" if near else accepted
            )
        return found


def _lines(file: str) -> list[str]:
    path = resources.files("pinset.tables") / file
    return path.read_text(encoding="utf-8").splitlines()


def read_rows(
    lines: Iterable[str], columns: tuple[str, ...], file: str
) -> list[tuple[int, dict[str, str]]]:
    """Return the rows of a table as text with their row numbers, all cells present and stripped.

    Raises
    ------
    InputError
        If the heading is not the expected one, or a row has too few or too many cells.
    """
    reader = csv.reader(lines)
    heading = tuple(next(reader, []))
    if heading != columns:
        raise InputError(f"{file} heading", ",".join(heading), ",".join(columns))
    rows = []
    for number, cells in enumerate(reader, start=2):
        if len(cells) != len(columns):
            raise InputError(f"{file} row {number}", len(cells), f"{len(columns)} cells")
        rows.append((number, dict(zip(columns, (cell.strip() for cell in cells), strict=True))))
    return rows


def _refuse_blanks(row: Mapping[str, str], may_be_blank: frozenset[str], where: str) -> None:
    for column, cell in row.items():
        if not cell and column not in may_be_blank:
            raise InputError(f"{where} column {column}", cell, "something in the cell")


def _refuse_repeats(keys: Iterable[tuple[int, tuple[str, ...]]], file: str) -> None:
    seen: dict[tuple[str, ...], int] = {}
    for number, key in keys:
        first = seen.setdefault(key, number)
        if first != number:
            raise InputError(
                f"{file} row {number} column key", " / ".join(key), f"a new key: row {first} has it"
            )


def read_sources(lines: Iterable[str], file: str = "sources.csv") -> dict[str, Source]:
    """Return the sources of a table of sources.

    Raises
    ------
    InputError
        If a cell is blank or a key is repeated.
    """
    rows = read_rows(lines, SOURCE_COLUMNS, file)
    for number, row in rows:
        _refuse_blanks(row, frozenset(), f"{file} row {number}")
    _refuse_repeats(((number, (row["key"],)) for number, row in rows), file)
    return {row["key"]: Source(**row) for _, row in rows}


def _number(cell: str, where: str) -> float:
    try:
        number = float(cell)
    except ValueError:
        number = math.nan
    if not math.isfinite(number):
        raise InputError(where, cell, "a number")
    return number


def _choice(cell: str, choices: Iterable[str], where: str, hint: str = "") -> str:
    accepted = sorted(choices)
    if cell not in accepted:
        raise InputError(where, cell, f"one of {', '.join(accepted)}", hint)
    return cell


def _value(row: Mapping[str, str], sources: Mapping[str, Source], where: str) -> Value:
    _refuse_blanks(row, _MAY_BE_BLANK, where)
    if bool(row["low"]) != bool(row["high"]):
        raise InputError(f"{where} columns low, high", (row["low"], row["high"]), "both or neither")
    value = _number(row["value"], f"{where} column value")
    low = _number(row["low"], f"{where} column low") if row["low"] else None
    high = _number(row["high"], f"{where} column high") if row["high"] else None
    if low is not None and high is not None and not low <= value <= high:
        raise InputError(f"{where} column value", value, f"a number from {low:g} to {high:g}")
    unit = _choice(row["unit"], UNITS_KNOWN, f"{where} column unit")
    if unit not in _MAY_BE_NEGATIVE and min(value, value if low is None else low) < 0.0:
        raise InputError(f"{where} column value", value, f"0 or more, in {unit}")
    quality = Quality(_choice(row["quality"], Quality, f"{where} column quality"))
    source = _choice(
        row["source"], sources, f"{where} column source", "Add the source to sources.csv first."
    )
    if quality in {Quality.READ, Quality.MEASURED} and not sources[source].is_publication:
        raise InputError(f"{where} column quality", quality.value, "read only of a publication")
    return Value(
        key=row["key"],
        name=row["name"],
        value=value,
        unit=unit,
        low=low,
        high=high,
        basis=row["basis"],
        source=source,
        place=row["place"],
        quality=quality,
        preferred=_choice(row["preferred"], ("yes", "no"), f"{where} column preferred") == "yes",
        note=row["note"],
    )


def read_table(lines: Iterable[str], sources: Mapping[str, Source], file: str) -> Table:
    """Return a table of values, each checked.

    Parameters
    ----------
    lines : iterable of str
        The CSV, heading first.
    sources : mapping
        Known sources by key.
    file : str
        Its name, for messages.

    Returns
    -------
    Table
        Every value with unit, bounds, source and quality.

    Raises
    ------
    InputError
        If a unit or source is unknown, a needed cell blank, a value outside low to high, a key
        repeated, or not exactly one of several rows preferred. The field names file, row, column.
    """
    rows = read_rows(lines, COLUMNS, file)
    values = [_value(row, sources, f"{file} row {number}") for number, row in rows]
    _refuse_repeats(
        ((n, (v.key, v.name, v.source)) for (n, _), v in zip(rows, values, strict=True)), file
    )
    preferred: dict[tuple[str, str], Value] = {}
    for value in values:
        if value.preferred:
            before = preferred.setdefault((value.key, value.name), value)
            if before is not value:
                given = f"{value.key} {value.name}: {before.source} and {value.source}"
                raise InputError(f"{file} column preferred", given, "yes in one row of several")
    for value in values:
        if (value.key, value.name) not in preferred:
            raise InputError(
                f"{file} column preferred", f"{value.key} {value.name}: none", "yes in one row"
            )
    return Table(file, tuple(values), preferred)


@cache
def sources() -> Mapping[str, Source]:
    """Return every source the tables name."""
    return read_sources(_lines("sources.csv"))


@cache
def table(file: str) -> Table:
    """Return a packaged table of values, checked once.

    Raises
    ------
    InputError
        If it breaks a rule of :func:`read_table`.
    """
    return read_table(_lines(file), sources(), file)


def packaged_rows(file: str, columns: tuple[str, ...]) -> list[dict[str, str]]:
    """Return the rows of a packaged table of words; no cell blank, no key repeated.

    Raises
    ------
    InputError
        If a cell is blank or a key is repeated.
    """
    rows = read_rows(_lines(file), columns, file)
    for number, row in rows:
        _refuse_blanks(row, frozenset(), f"{file} row {number}")
    _refuse_repeats(((number, (row[columns[0]],)) for number, row in rows), file)
    return [row for _, row in rows]
