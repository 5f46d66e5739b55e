"""Reading and writing many plain rows at once, below the ORM.

The door is the one place where the ORM's cost shows: recording a job has to stay within three
times a bare insert. So it writes each table with one statement, which runs on both databases.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, date, datetime
from typing import Any

from django.db import connections
from django.db.backends.utils import CursorWrapper

MOST_PARAMETERS = 20_000
"""SQLite accepts 32,766 in one statement, PostgreSQL 65,535."""

FEW_ROWS = 12
"""Up to so many rows go in one statement; for more, one short statement prepared once and run for
each row is faster (a day's entries in one list: about twice)."""

Row = tuple[Any, ...]


def insert_rows(
    cursor: CursorWrapper,
    table: str,
    columns: Sequence[str],
    rows: Sequence[Row],
    *,
    after: str = "",
) -> None:
    """Insert rows in order; ``after`` is what follows the values, such as an ON CONFLICT."""
    if not rows:
        return
    one = f"({','.join(['%s'] * len(columns))})"
    start = f"INSERT INTO {table} ({','.join(columns)}) VALUES "  # noqa: S608 - our own names
    if len(rows) > FEW_ROWS:
        cursor.executemany(f"{start}{one} {after}", rows)
        return
    values = [value for row in rows for value in row]
    cursor.execute(f"{start}{','.join([one] * len(rows))} {after}", values)


def select_in(
    cursor: CursorWrapper, select: str, keys: Iterable[Any], *, after: str = ""
) -> Iterator[Row]:
    """Yield rows of ``select ... IN (keys)``, however many keys there are."""
    wanted = list(keys)
    for i in range(0, len(wanted), MOST_PARAMETERS):
        part = wanted[i : i + MOST_PARAMETERS]
        cursor.execute(f"{select} IN ({','.join(['%s'] * len(part))}) {after}", part)
        yield from cursor.fetchall()


def update_in(cursor: CursorWrapper, update: str, keys: Iterable[Any]) -> None:
    """Run ``update ... IN (keys)``, however many keys there are."""
    wanted = list(keys)
    for i in range(0, len(wanted), MOST_PARAMETERS):
        part = wanted[i : i + MOST_PARAMETERS]
        cursor.execute(f"{update} IN ({','.join(['%s'] * len(part))})", part)


def moment(value: datetime, using: str) -> Any:
    """Return a moment as the database's column takes it."""
    return connections[using].ops.adapt_datetimefield_value(value)


def read_moment(stored: datetime) -> datetime:
    """Return a stored moment, which SQLite gives without its zone."""
    return stored if stored.tzinfo else stored.replace(tzinfo=UTC)


def read_document(stored: Any) -> dict[str, Any]:
    """Return what a JSON column holds, which comes as text where nothing has read it."""
    found: dict[str, Any] = json.loads(stored) if isinstance(stored, str) else stored
    return found


def day(value: date, using: str) -> Any:
    """Return a date as the database's column takes it."""
    return connections[using].ops.adapt_datefield_value(value)


def document(value: Any) -> str:
    """Return plain values as the text of a JSON column."""
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"), sort_keys=True)
