"""A database file opened beside the farm's own, for as long as it is needed."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from django.db import connections
from django.db.backends.sqlite3.base import DatabaseWrapper
from django.db.migrations.executor import MigrationExecutor

_NUMBERS = itertools.count(1)


@contextmanager
def borrowed(path: Path) -> Iterator[str]:
    """Open an SQLite file and give the name of its connection.

    Nothing is synced to the disk on the way: who keeps the file syncs it once at the end.
    """
    alias = f"borrowed-{next(_NUMBERS)}"
    connections[alias] = DatabaseWrapper(_settings(path), alias)  # of this thread alone
    try:
        yield alias
    finally:
        connections[alias].close()
        del connections[alias]


def _settings(path: Path) -> dict[str, Any]:
    return {
        "ENGINE": "django.db.backends.sqlite3",
        "NAME": str(path),
        "USER": "",
        "PASSWORD": "",
        "HOST": "",
        "PORT": "",
        "TIME_ZONE": None,
        "CONN_MAX_AGE": 0,
        "CONN_HEALTH_CHECKS": False,
        "AUTOCOMMIT": True,
        "ATOMIC_REQUESTS": False,
        "OPTIONS": {
            "transaction_mode": "IMMEDIATE",
            "init_command": "PRAGMA journal_mode=DELETE;PRAGMA synchronous=OFF",
        },
        "TEST": {"CHARSET": None, "COLLATION": None, "MIGRATE": True, "MIRROR": None, "NAME": None},
    }


def bring_up_to_date(using: str) -> None:
    """Apply the database changes this program knows and the database has not seen."""
    executor = MigrationExecutor(connections[using])
    executor.migrate(executor.loader.graph.leaf_nodes())
