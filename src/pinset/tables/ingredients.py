"""Ingredients of mixes as published: what is in them; `ingredients.csv`, `ingredient_names.csv`.

Carbon and nitrogen stand there, never a ratio of the two: printed ratios are averages over other
samples than the nitrogen beside them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from pinset.errors import InputError
from pinset.tables.loader import Quality, Value, packaged_rows, sources, table

_FILE = "ingredients.csv"
_COLUMNS = ("key", "name", "group")


class Group(StrEnum):
    """What an ingredient is for."""

    BASE = "base"  # the bulk of it, poor in nitrogen
    SUPPLEMENT = "supplement"  # rich in nitrogen
    GRAIN = "grain"  # spawn grain; in a block a supplement
    SUGAR = "sugar"
    MINERAL = "mineral"  # no food: for pH or structure


@dataclass(frozen=True, slots=True)
class Published:
    """An ingredient with its published values, each with its source."""

    key: str
    name: str
    group: Group
    moisture: Value  # of wet mass, as it usually comes
    carbon: Value  # of dry mass
    nitrogen: Value  # of dry mass
    ash: Value  # of dry mass
    bulk: Value  # kg/m3, poured loosely
    dose: Value | None  # usual share of dry mass; of minerals only

    @property
    def values(self) -> tuple[Value, ...]:
        """All of them."""
        own = (self.moisture, self.carbon, self.nitrogen, self.ash, self.bulk)
        return own if self.dose is None else (*own, self.dose)


@cache
def ingredients() -> Mapping[str, Published]:
    """Return every ingredient by its key, in the order in which they are offered."""
    values = table(_FILE)
    found = {}
    for row in packaged_rows("ingredient_names.csv", _COLUMNS):
        key = row["key"]
        found[key] = Published(
            key,
            row["name"],
            Group(row["group"]),
            values.one(key, "moisture"),
            values.one(key, "carbon"),
            values.one(key, "nitrogen"),
            values.one(key, "ash"),
            values.one(key, "bulk"),
            values.get(key, "dose"),
        )
    return found


def ingredient(key: str) -> Published:
    """Return an ingredient.

    Raises
    ------
    InputError
        If the table has none of that key.
    """
    found = ingredients().get(key)
    if found is None:
        raise InputError("ingredient", key, f"one of {', '.join(ingredients())}")
    return found


def mix_value(key: str, name: str) -> Value:
    """Return a value about mixes: an aim for nitrogen or C:N, what steam adds.

    Raises
    ------
    InputError
        If the table has none.
    """
    return table(_FILE).one(key, name)


def known_from(value: Value) -> str:
    """Return where a value comes from: its source in words, and how well it is known."""
    source = sources()[value.source]
    if value.quality is Quality.COMPUTED:
        return f"formula: {value.place}"
    if not source.is_publication:
        return source.title
    title = source.title.removeprefix("subject: ")
    said = ", ".join(each for each in (source.authors, source.year, title) if each != "-")
    return f"{said} (from memory)" if value.quality is Quality.MEMORY else said
