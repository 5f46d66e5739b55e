"""Air as published: what people shed, filters keep, substrates breathe, lamps need; `air.csv`."""

from __future__ import annotations

from functools import cache

from pinset.tables.loader import Value, table


@cache
def air_value(key: str, name: str) -> Value:
    """Return a value with its unit, bounds, source and quality.

    Raises
    ------
    InputError
        If the table has none of that key and name.
    """
    return table("air.csv").one(key, name)


def air_keys(name: str) -> tuple[str, ...]:
    """Return what the table has a quantity of, in its order."""
    return tuple(dict.fromkeys(row.key for row in table("air.csv").rows if row.name == name))


@cache
def air_rows(key: str) -> tuple[Value, ...]:
    """Return every value of a key; none if it is not known."""
    return tuple(row for row in table("air.csv").rows if row.key == key)
