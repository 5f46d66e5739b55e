"""Walking the lineage in the database: everything above or below some lots."""

from __future__ import annotations

import json
from collections.abc import Iterable

from django.db import DEFAULT_DB_ALIAS, connections
from django.db.backends.utils import CursorWrapper

_WALK = (
    "WITH RECURSIVE walk(lot) AS ({seed} UNION "
    "SELECT l.{to} FROM walk JOIN farm_link l ON l.{on} = walk.lot AND NOT l.is_cancelled) "
    "SELECT lot FROM walk"
)


def _walk(cursor: CursorWrapper, vendor: str, lots: Iterable[int], *, on: str, to: str) -> set[int]:
    wanted = list(lots)
    if not wanted:
        return set()
    if vendor == "sqlite":
        seed, parameter = "SELECT value FROM json_each(%s)", json.dumps(wanted)
    else:
        seed, parameter = "SELECT unnest(%s::bigint[])", wanted  # type: ignore[assignment]
    cursor.execute(_WALK.format(seed=seed, on=on, to=to), [parameter])
    return {row[0] for row in cursor.fetchall()}


def below(lots: Iterable[int], *, using: str = DEFAULT_DB_ALIAS) -> set[int]:
    """Return the lots and everything made from them, by their numbers."""
    connection = connections[using]
    with connection.cursor() as cursor:
        return _walk(cursor, connection.vendor, lots, on="parent_id", to="child_id")


def above(lots: Iterable[int], *, using: str = DEFAULT_DB_ALIAS) -> set[int]:
    """Return the lots and everything they came from, by their numbers."""
    connection = connections[using]
    with connection.cursor() as cursor:
        return _walk(cursor, connection.vendor, lots, on="child_id", to="parent_id")
