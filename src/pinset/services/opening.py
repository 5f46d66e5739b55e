"""Opening a farm folder: which database, is it there, is it ours, is it new enough."""

from __future__ import annotations

import os
import secrets
from contextlib import suppress
from pathlib import Path

import django
from django.apps import apps
from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor

from pinset.errors import PinsetError, RefusedError
from pinset.services.clock import PRETENDED

DEMO_DAY = "demo-today"
"""File in the folder of a demo farm of another day: the date that counts as today there."""


def use_farm(folder: Path) -> None:
    """Point this process at a farm folder and set Django up; once per process."""
    os.environ["PINSET_FARM"] = str(folder)
    demo_day = folder / DEMO_DAY
    if demo_day.is_file():
        os.environ.setdefault(PRETENDED, demo_day.read_text(encoding="ascii").strip())
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "pinset.settings")
    if not apps.ready:
        django.setup()


def create_farm(folder: Path) -> None:
    """Make the folder, its secret key and its empty database.

    Raises
    ------
    PinsetError
        If the folder cannot be written.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        key = folder / "secret-key"
        if not key.exists():
            key.touch(mode=0o600)
            key.write_text(secrets.token_hex(32) + "\n", encoding="ascii")
    except OSError as problem:
        raise PinsetError(f"{folder} cannot be written: {problem.strerror}.") from problem
    use_farm(folder)
    bring_up_to_date()


def is_farm(folder: Path) -> bool:
    """Say whether the folder holds a farm (or a server database is named for it)."""
    return bool(os.environ.get("PINSET_DATABASE")) or (folder / "farm.sqlite3").is_file()


def open_farm(folder: Path) -> None:
    """Set up for an existing farm.

    Raises
    ------
    RefusedError
        If there is no farm in the folder, or it was written by a newer pinset.
    """
    if not is_farm(folder):
        raise RefusedError(
            f"There is no farm in {folder}.",
            "Name its folder with --farm or PINSET_FARM, or make one: pinset new, pinset load.",
        )
    use_farm(folder)
    refuse_newer()
    bring_up_to_date()


def refuse_newer() -> None:
    """Refuse a ledger that a newer pinset has written.

    Raises
    ------
    RefusedError
        If the database records changes this program does not know.
    """
    try:
        executor = MigrationExecutor(connection)
        known = set(executor.loader.disk_migrations)
        applied = {key for key in executor.loader.applied_migrations if key[0] == "farm"}
    except DatabaseError as problem:
        raise RefusedError(
            f"The farm's database cannot be read: {problem}.",
            "Restore the last backup beside it: pinset restore FILE.",
        ) from problem
    unknown = sorted(name for app, name in applied if (app, name) not in known)
    if unknown:
        raise RefusedError(
            f"This ledger was written by a newer pinset (it knows {unknown[-1]}).",
            "Use that version or a newer one; nothing was changed.",
        )


def bring_up_to_date() -> None:
    """Apply the database changes this version brings.

    Raises
    ------
    PinsetError
        If the database cannot be written.
    """
    from django.core.management import call_command

    executor = MigrationExecutor(connection)
    if not executor.migration_plan(executor.loader.graph.leaf_nodes()):
        return
    try:
        call_command("migrate", verbosity=0, interactive=False)
    except DatabaseError as problem:
        with suppress(DatabaseError):
            connection.close()
        raise PinsetError(f"The farm's database cannot be written: {problem}.") from problem
