"""Backup and restore: verified, all or nothing, and the present farm is kept aside.

SQLite is copied through its own online backup, page by page, while people go on working; the copy
is one file. From PostgreSQL a dump of JSON lines is written (:mod:`~pinset.farm.dumping`), which
either database takes back. A backup counts only after the copy itself has been checked.
"""

from __future__ import annotations

import hashlib
import os
import re
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import cast

from django.conf import settings
from django.db import DEFAULT_DB_ALIAS, DatabaseError, connections, transaction

from pinset.errors import PinsetError, RefusedError, Severity
from pinset.farm import dumping, versions
from pinset.farm.borrowed import borrowed, bring_up_to_date
from pinset.farm.check import check
from pinset.farm.models import Entry
from pinset.farm.trouble import is_damage, plain_words

SQLITE_MARK = b"SQLite format 3\x00"
MOST_CHECKSUMS = 1_000
"""Signs of a checksum file that are read: a line or two."""

Progress = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Copied:
    """A backup that was written and checked."""

    path: Path
    entries: int
    size: int  # bytes
    sha256: str


@dataclass(frozen=True, slots=True)
class Restored:
    """A backup that took the farm's place."""

    entries: int
    kept: Path | None  # where the farm as it was before is kept; None: there was none


def backup(
    path: Path, *, using: str = DEFAULT_DB_ALIAS, progress: Progress | None = None
) -> Copied:
    """Write the whole farm into a file and check the copy.

    The checksum goes into a file beside it, named with ``.sha256`` at the end. A file of that
    name is replaced only if it is a backup.

    Raises
    ------
    StorageError
        If the disk is full, the folder missing or read-only.
    PinsetError
        If the copy does not check; the sentence names the first thing that is wrong.
    """
    say = progress or (lambda _: None)
    path = path.expanduser().absolute()
    with plain_words():
        _refuse_to_overwrite(path, using)
        with _workfile(path.parent, path.name) as part:
            say("copying")
            if connections[using].vendor == "sqlite":
                _copy_out(using, part)
                say("checking the copy")
                entries = _checked(part)
            else:
                dumping.dump(part, using=using)
                say("checking the copy")
                with _workfile(path.parent, path.name) as trial:
                    entries = _built(part, trial)
            copied = Copied(path, entries, part.stat().st_size, _sha256(part))
            _put_both_in_place(part, copied)
    return copied


def restore(
    path: Path,
    *,
    now: datetime,
    using: str = DEFAULT_DB_ALIAS,
    folder: Path | None = None,
    progress: Progress | None = None,
) -> Restored:
    """Put a backup in the place of the farm; on any trouble the farm stays as it is.

    Parameters
    ----------
    path : Path
        A backup, of either kind.
    now : datetime
        Goes into the name under which the present farm is kept.
    using : str
        Name of the database connection.
    folder : Path, optional
        Where the present farm is kept; the farm's folder if not given.
    progress : callable, optional
        Is told in words what is being done.

    Raises
    ------
    StorageError
        If the disk is full or the folder read-only.
    PinsetError
        If the file is no backup, is cut short, was changed, is of a newer version, or does not
        check.
    """
    say = progress or (lambda _: None)
    path = path.expanduser().absolute()
    folder = folder or Path(settings.FARM_FOLDER)
    if not path.is_file():
        raise RefusedError(f"There is no file {path}.", "Name a backup that pinset wrote.")
    with plain_words():
        say("checking the backup")
        _compare_checksum(path)
        with _workfile(folder, "restoring") as trial:
            entries = _built(path, trial)
            say("keeping the present farm")
            if connections[using].vendor == "sqlite":
                kept = _replace_sqlite(trial, using, folder, now)
            else:
                kept = _replace_rows(trial, using, folder, now)
    return Restored(entries, kept)


# -- the parts ---------------------------------------------------------------------------------


def _refuse_to_overwrite(path: Path, using: str) -> None:
    if not path.parent.is_dir():
        raise RefusedError(f"There is no folder {path.parent}.", "Make it first, or name another.")
    if path.is_dir():
        raise RefusedError(f"{path} is a folder.", "Name the file to write.")
    if not path.exists():
        return
    own = Path(str(connections[using].settings_dict["NAME"]))
    if own.exists() and own.samefile(path):
        raise RefusedError(f"{path} is the farm's own database.", "Name another file.")
    with path.open("rb") as file:
        begins = file.read(len(SQLITE_MARK))
    if begins and begins != SQLITE_MARK and not dumping.is_dump(path):
        raise RefusedError(f"{path} exists and is no backup.", "Name another file.")


@contextmanager
def _workfile(folder: Path, name: str) -> Iterator[Path]:
    """Give a file to work on in a folder; whatever is left of it is removed.

    So is what processes left that ended before they could.
    """
    _remove_left_over(folder)
    path = folder / f".{name}.{os.getpid()}.pinset.part"
    number = 0
    while path.exists():
        number += 1
        path = folder / f".{name}.{os.getpid()}-{number}.pinset.part"
    try:
        path.touch(mode=0o600)  # it holds password hashes
        yield path
    finally:
        for end in ("", "-journal", "-wal", "-shm"):
            with suppress(FileNotFoundError):
                path.with_name(path.name + end).unlink()


_PART = re.compile(r"\..+\.(\d+)(-\d+)?\.pinset\.part(-journal|-wal|-shm)?")


def _remove_left_over(folder: Path) -> None:
    for path in folder.iterdir():
        named = _PART.fullmatch(path.name)
        if named and not _is_alive(int(named[1])):
            path.unlink(missing_ok=True)


def _is_alive(process: int) -> bool:
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except PermissionError:
        return True  # somebody else's
    return True


def _raw(using: str) -> sqlite3.Connection:
    connection = connections[using]
    connection.ensure_connection()
    return cast("sqlite3.Connection", connection.connection)


def _copy_out(using: str, target: Path) -> None:
    with closing(sqlite3.connect(target)) as copy:
        _raw(using).backup(copy)
        copy.execute("PRAGMA journal_mode=DELETE")


def _checked(copy: Path) -> int:
    """Return the number of entries of a copy that checks."""
    with borrowed(copy) as alias:
        wrong = [one for one in check(using=alias) if one.severity is Severity.WRONG]
        if wrong:
            raise PinsetError(
                f"The copy does not check ({len(wrong)} things are wrong; the first: {wrong[0]}) "
                "Nothing was kept of it."
            )
        return Entry.objects.using(alias).count()


def _built(backed_up: Path, trial: Path) -> int:
    """Make an SQLite file of this version from a backup, check it and return its entries."""
    with backed_up.open("rb") as file:
        is_sqlite = file.read(len(SQLITE_MARK)) == SQLITE_MARK
    if is_sqlite:
        shutil.copyfile(backed_up, trial)
        _refuse_unfit(trial, backed_up)
        with borrowed(trial) as alias:
            bring_up_to_date(alias)
    else:
        if not dumping.is_dump(backed_up):
            raise PinsetError(f"{backed_up} is no backup of a pinset ledger.")
        dumping.verify(backed_up)
        with borrowed(trial) as alias:
            bring_up_to_date(alias)
            with transaction.atomic(using=alias):
                dumping.empty(alias)
                dumping.load(backed_up, using=alias)
    return _checked(trial)


def _refuse_unfit(copy: Path, name: Path) -> None:
    """Refuse a file that is cut short or damaged, no ledger, or of a newer version."""
    try:
        with borrowed(copy) as alias:
            with connections[alias].cursor() as cursor:
                cursor.execute("PRAGMA quick_check(1)")
                said = cursor.fetchone()[0]
            judged = versions.judge(versions.applied_changes(alias)) if said == "ok" else None
    except DatabaseError as problem:
        raise PinsetError(
            f"{name} is cut short or damaged ({problem}). Take another backup."
        ) from problem
    if said != "ok":
        raise PinsetError(f"{name} is cut short or damaged. Take another backup.")
    if judged is not None and judged.id != "ledger.older-version":
        raise RefusedError(judged.sentence, judged.hint)


def _replace_sqlite(trial: Path, using: str, folder: Path, now: datetime) -> Path | None:
    """Put the checked file into the farm's database in one transaction of SQLite's own."""
    own = Path(str(connections[using].settings_dict["NAME"]))
    kept = _free_name(folder, now, ".sqlite3")
    try:
        is_sound = bool(versions.applied_changes(using))
        if is_sound:
            with _workfile(folder, kept.name) as part:
                _copy_out(using, part)
                _put_in_place(part, kept)
        with closing(sqlite3.connect(trial)) as source:
            source.backup(_raw(using))
    except (DatabaseError, sqlite3.DatabaseError) as problem:
        if not is_damage(problem):
            raise
        connections[using].close()
        return _replace_file(trial, own, kept)
    return kept if is_sound else None


def _replace_file(trial: Path, own: Path, kept: Path) -> Path:
    """The present file cannot be read as a database: move it aside as it is."""
    shutil.copymode(own, trial)
    _sync(trial)
    for end in ("-wal", "-shm", "-journal"):
        beside = own.with_name(own.name + end)
        if beside.exists():
            beside.rename(kept.with_name(kept.name + end))
    os.link(own, kept)
    trial.replace(own)
    _sync(own.parent)
    return kept


def _replace_rows(trial: Path, using: str, folder: Path, now: datetime) -> Path | None:
    """Put the checked rows into the server's database in one transaction."""
    kept: Path | None = None
    if Entry.objects.using(using).exists():
        kept = _free_name(folder, now, ".jsonl")
        with _workfile(folder, kept.name) as part:
            dumping.dump(part, using=using)
            _put_in_place(part, kept)
    with borrowed(trial) as alias, transaction.atomic(using=using):
        dumping.empty(using)
        dumping.copy_rows(alias, using)
        wrong = [one for one in check(using=using) if one.severity is Severity.WRONG]
        if wrong:
            raise PinsetError(f"The restored farm does not check: {wrong[0]} Nothing was changed.")
    return kept


def _free_name(folder: Path, now: datetime, suffix: str) -> Path:
    stem = f"farm-before-{now:%Y%m%d-%H%M%S}"
    path, number = folder / f"{stem}{suffix}", 1
    while path.exists():
        number += 1
        path = folder / f"{stem}-{number}{suffix}"
    return path


def _put_in_place(part: Path, path: Path) -> None:
    """Rename a finished file to its name, after it is on the disk."""
    _sync(part)
    part.replace(path)
    _sync(path.parent)


def _sync(path: Path) -> None:
    number = os.open(path, os.O_RDONLY)
    try:
        os.fsync(number)
    finally:
        os.close(number)


def _sha256(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _beside(path: Path) -> Path:
    return path.with_name(path.name + ".sha256")


def _put_both_in_place(part: Path, copied: Copied) -> None:
    """Put a backup and its checksum in place of older ones.

    No moment leaves a backup beside a checksum that speaks against it: until the backup is
    replaced the checksum file names both. All of it is on the disk before the first is renamed.
    """
    path, beside = copied.path, _beside(copied.path)
    new = f"{copied.sha256}  {path.name}\n"
    with (
        _workfile(path.parent, beside.name) as last,
        _workfile(path.parent, beside.name) as meanwhile,
    ):
        last.write_text(new, encoding="utf-8")
        meanwhile.write_text(new + _old_lines(path), encoding="utf-8")
        for file in (part, last, meanwhile):
            _sync(file)
        for file, name in ((meanwhile, beside), (part, path), (last, beside)):
            _put_in_place(file, name)


def _old_lines(path: Path) -> str:
    """Return the line of the present backup's checksum file, made if it has none."""
    if not path.exists():
        return ""
    if _beside(path).exists():
        return _beside(path).read_text(encoding="utf-8", errors="replace")[:MOST_CHECKSUMS]
    return f"{_sha256(path)}  {path.name}\n"


def _compare_checksum(path: Path) -> None:
    if not _beside(path).exists():
        return
    lines = _beside(path).read_text(encoding="utf-8", errors="replace").splitlines()
    named = [line.split()[0] for line in lines if line.split()]
    if named and _sha256(path) not in named:
        raise PinsetError(
            f"{path} is not what was written: its checksum differs from the one in "
            f"{_beside(path).name}. Take another backup."
        )
