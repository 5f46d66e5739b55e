"""What loads are made of, as published: values by key and name from `heat_materials.csv`."""

from __future__ import annotations

from functools import cache

from pinset.tables.loader import Value, table


@cache
def material(key: str, name: str) -> Value:
    """Return a value with its unit, bounds, source and quality.

    Raises
    ------
    InputError
        If the table has none of that key and name.
    """
    return table("heat_materials.csv").one(key, name)


def amount(key: str, name: str) -> float:
    """Return a value in the unit of the table; errors as :func:`material`."""
    return material(key, name).value
