"""What the table knows of ingredients, in words and numbers."""

from __future__ import annotations

from dataclasses import dataclass

from pinset.services.mixing.words import percent
from pinset.tables.ingredients import ingredients, known_from
from pinset.tables.loader import Value


@dataclass(frozen=True, slots=True)
class KnownIngredient:
    """One ingredient as it is listed."""

    key: str
    name: str
    group: str
    moisture: str  # % of wet mass
    carbon: str  # % of dry mass
    nitrogen: str  # % of dry mass, with its range
    known: str  # where nitrogen comes from
    values: tuple[Value, ...]


def known_ingredients() -> tuple[KnownIngredient, ...]:
    """Return every ingredient of the table."""
    return tuple(
        KnownIngredient(
            each.key,
            each.name,
            each.group.value,
            percent(each.moisture.value, 1),
            percent(each.carbon.value, 1),
            _ranged(each.nitrogen),
            known_from(each.nitrogen),
            each.values,
        )
        for each in ingredients().values()
    )


def _ranged(value: Value) -> str:
    middle = percent(value.value)
    if value.low is None or value.high is None:
        return middle
    return f"{middle} ({percent(value.low)} to {percent(value.high)})"
