"""The usual cautions, one sentence for one hazard, and who decides."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from pinset.errors import InputError
from pinset.tables.loader import packaged_rows

_COLUMNS = ("key", "hazard", "sentence", "who_decides", "where_shown")


@dataclass(frozen=True, slots=True)
class Caution:
    """What can hurt, said where the work or the number is shown."""

    key: str
    hazard: str
    sentence: str
    who_decides: str
    where_shown: str

    @property
    def words(self) -> str:
        """The sentence with who decides."""
        return f"{self.sentence} Decided by: {self.who_decides}."


@cache
def cautions() -> Mapping[str, Caution]:
    """Return every caution by its key."""
    return {row["key"]: Caution(**row) for row in packaged_rows("cautions.csv", _COLUMNS)}


def caution(key: str) -> Caution:
    """Return one caution.

    Raises
    ------
    InputError
        If there is none of that key.
    """
    found = cautions().get(key)
    if found is None:
        raise InputError("caution", key, f"one of {', '.join(cautions())}")
    return found
