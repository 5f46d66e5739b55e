"""Opening a farm folder: which database, is it there, is it ours, is it new enough."""

from __future__ import annotations

import os
import secrets
from pathlib import Path

import django
from django.apps import apps
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

from pinset.errors import PinsetError, RefusedError
from pinset.farm.trouble import plain_words
from pinset.services.clock import PRETENDED, PRETENDED_IN, hour_is_known

DATABASE = "farm.sqlite3"
"""File in the farm's folder with the ledger, unless a server holds it."""

KEY_FILE = "secret-key"
"""File in the farm's folder with the key that sign-ins are sealed with."""

DEMO_DAY = "demo-today"
"""File in the folder of a demo farm: the date that counts as today there."""


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
    except OSError as problem:
        raise PinsetError(f"{folder} cannot be written: {problem.strerror}.") from problem
    _write_key(folder)
    use_farm(folder)
    bring_up_to_date()


def _write_key(folder: Path) -> None:
    """Write the secret key, unless there is one: whole or not at all.

    An empty one, left behind by a full disk, is replaced.
    """
    key = folder / KEY_FILE
    part = folder / f".{KEY_FILE}.{os.getpid()}"
    try:
        if key.exists() and key.stat().st_size:
            return
        try:
            number = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
            with os.fdopen(number, "w", encoding="ascii") as file:
                file.write(secrets.token_hex(32) + "\n")
                file.flush()
                os.fsync(file.fileno())
            part.replace(key)
        finally:
            part.unlink(missing_ok=True)
    except OSError as problem:
        raise PinsetError(f"{folder} cannot be written: {problem.strerror}.") from problem


def is_farm(folder: Path) -> bool:
    """Say whether the folder holds a farm (or a server database is named for it)."""
    return bool(os.environ.get("PINSET_DATABASE")) or (folder / DATABASE).is_file()


def open_farm(folder: Path) -> None:
    """Set up for an existing farm.

    Raises
    ------
    RefusedError
        If there is no farm in the folder, or it was written by a newer pinset.
    StorageError
        If the database is damaged, or cannot be read or written just now.
    """
    if not is_farm(folder):
        raise RefusedError(
            f"There is no farm in {folder}.",
            "Name its folder with --farm or PINSET_FARM, or make one: pinset new, pinset load.",
        )
    if (folder / KEY_FILE).exists() or (folder / DATABASE).is_file():
        _write_key(folder)
    use_farm(folder)
    refuse_newer()
    bring_up_to_date()
    if not hour_is_known():
        from pinset.services.frame import frame  # needs Django set up

        os.environ[PRETENDED_IN] = frame().time_zone


def refuse_newer() -> None:
    """Refuse a ledger that a newer pinset has written.

    Raises
    ------
    RefusedError
        If the database records changes this program does not know.
    StorageError
        If it cannot be read; a backup is asked for only if it is damaged.
    """
    with plain_words():
        executor = MigrationExecutor(connection)
        known = set(executor.loader.disk_migrations)
        applied = {key for key in executor.loader.applied_migrations if key[0] == "farm"}
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
    StorageError
        If the database cannot be read or written.
    """
    from django.core.management import call_command

    with plain_words():
        executor = MigrationExecutor(connection)
        if not executor.migration_plan(executor.loader.graph.leaf_nodes()):
            return
        try:
            call_command("migrate", verbosity=0, interactive=False)
        except BaseException:
            connection.close()  # whatever was begun is given up
            raise
