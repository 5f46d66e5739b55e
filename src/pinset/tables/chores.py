"""Chores that are proposed to a farm, each with how its figures are known."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from pinset.errors import InputError
from pinset.tables.cautions import caution
from pinset.tables.loader import Quality, packaged_rows, sources

_FILE = "chores.csv"
_COLUMNS = (
    "key",
    "kind",
    "at",
    "of",
    "name",
    "every_days",
    "every_uses",
    "reads",
    "limit",
    "limit_times",
    "minutes",
    "cautions",
    "source",
    "place",
    "quality",
    "note",
)
NONE = "-"


@dataclass(frozen=True, slots=True)
class ProposedChore:
    """One row: a chore for everything of a kind that a farm has."""

    key: str
    kind: str  # as the register knows it
    at: str  # room, bench, steriliser, instrument, farm
    of: str  # kind of room or instrument; of a steriliser ``pressure``; empty: all of them
    name: str
    every_days: int | None
    every_uses: int | None
    reads: str  # unit; empty: nothing
    limit: float | None
    limit_times: float | None
    minutes: int
    cautions: tuple[str, ...]
    source: str  # key
    known_from: str  # how the figures are known, in words
    note: str


@cache
def proposed_chores() -> tuple[ProposedChore, ...]:
    """Return every chore that is proposed, in the order of the table.

    Raises
    ------
    InputError
        If a number, source, quality or caution of a row is not accepted.
    """
    return tuple(_read(row) for row in packaged_rows(_FILE, _COLUMNS))


def _read(row: Mapping[str, str]) -> ProposedChore:
    where = f"{_FILE} {row['key']}"
    keys = () if row["cautions"] == NONE else tuple(row["cautions"].split())
    return ProposedChore(
        key=row["key"],
        kind=row["kind"],
        at=row["at"],
        of="" if row["of"] == NONE else row["of"],
        name=row["name"],
        every_days=_whole(row["every_days"], f"{where} column every_days"),
        every_uses=_whole(row["every_uses"], f"{where} column every_uses"),
        reads="" if row["reads"] == NONE else row["reads"],
        limit=_number(row["limit"], f"{where} column limit"),
        limit_times=_number(row["limit_times"], f"{where} column limit_times"),
        minutes=_whole(row["minutes"], f"{where} column minutes") or 0,
        cautions=tuple(caution(key).key for key in keys),
        source=row["source"],
        known_from=_known_from(row, where),
        note=row["note"],
    )


def _known_from(row: Mapping[str, str], where: str) -> str:
    source = sources().get(row["source"])
    if source is None:
        raise InputError(f"{where} column source", row["source"], "a key of sources.csv")
    if row["quality"] not in set(Quality):
        raise InputError(f"{where} column quality", row["quality"], f"one of {', '.join(Quality)}")
    quality = Quality(row["quality"])
    if quality is Quality.READ and not source.is_publication:
        raise InputError(f"{where} column quality", quality.value, "read only of a publication")
    if not source.is_publication or quality is Quality.COMMON_PRACTICE:
        return "common practice, no source"
    place = "" if row["place"] == NONE else f", {row['place']}"
    return f"{source.doi_or_address}{place}; {source.seen}"


def _whole(cell: str, where: str) -> int | None:
    number = _number(cell, where)
    if number is not None and number != int(number):
        raise InputError(where, cell, "a whole number")
    return None if number is None else int(number)


def _number(cell: str, where: str) -> float | None:
    if cell == NONE:
        return None
    try:
        number = float(cell)
    except ValueError:
        raise InputError(where, cell, "a number, or -") from None
    if not 0 < number < 1e6:  # noqa: PLR2004 - also refuses what is no number
        raise InputError(where, cell, "a number above 0")
    return number
