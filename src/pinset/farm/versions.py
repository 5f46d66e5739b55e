"""Whether the database and this program belong together."""

from __future__ import annotations

from functools import cache

from django.db import DEFAULT_DB_ALIAS, connections
from django.db.migrations.loader import MigrationLoader

from pinset.errors import Finding, Severity

APP = "farm"


@cache
def known_changes() -> tuple[str, ...]:
    """Return the names of the database changes this program brings, the first one first."""
    loader = MigrationLoader(None)
    return tuple(sorted(name for app, name in loader.disk_migrations if app == APP))


def applied_changes(using: str = DEFAULT_DB_ALIAS) -> tuple[str, ...]:
    """Return the names of the changes a database has seen."""
    with connections[using].cursor() as cursor:
        if "django_migrations" not in connections[using].introspection.table_names(cursor):
            return ()
        cursor.execute("SELECT name FROM django_migrations WHERE app = %s", [APP])
        return tuple(sorted(row[0] for row in cursor.fetchall()))


def judge(applied: tuple[str, ...]) -> Finding | None:
    """Return what stands against reading a database that has seen these changes."""
    known = known_changes()
    if unknown := sorted(set(applied) - set(known)):
        return Finding(
            "ledger.newer-version",
            Severity.WRONG,
            "database",
            f"This ledger was written by a newer version of pinset (it knows {unknown[-1]}).",
            "Use that version or a newer one; nothing was changed.",
        )
    if not applied:
        return Finding(
            "ledger.no-ledger",
            Severity.WRONG,
            "database",
            "There is no ledger in this database.",
            "Make a farm first: pinset new, pinset load.",
        )
    if missing := sorted(set(known) - set(applied)):
        return Finding(
            "ledger.older-version",
            Severity.WRONG,
            "database",
            f"This ledger was written by an older version of pinset (it lacks {missing[0]}).",
            "Open the farm once with this version; it brings the ledger up to date.",
        )
    return None
