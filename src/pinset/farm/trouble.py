"""The database's own errors, said so that a grower knows what to do."""

from __future__ import annotations

import errno
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from django.db import DatabaseError, IntegrityError

from pinset.errors import PinsetError


class StorageError(PinsetError):
    """The database or the disk would not do it. Nothing was half-written."""


_FULL = "The disk is full; nothing was written. Make room on it and do the same again."
_READ_ONLY = (
    "The farm's folder or database is read-only; nothing was written. "
    "Give this user the right to write there."
)
_LOCKED = "Somebody else is writing for longer than we wait; nothing was written. Do it again."
_DAMAGED = (
    "The farm's database is damaged or is no database. "
    "Keep the file, then take the last backup: pinset restore FILE."
)
_CLOSED = (
    "The farm's database cannot be opened; nothing was written. "
    "Is the folder right, and may this user read and write there?"
)
_FAILING = (
    "The disk reports an error or has no room; nothing was written. Make room on it; "
    "if it comes again, copy the farm's folder to another disk."
)
_NO_SERVER = "The database server does not answer; nothing was written. Start it and do it again."

_SENTENCES = (
    (("disk is full", "no space left", "disk full", "file too large"), _FULL),
    (("readonly database", "read-only", "permission denied"), _READ_ONLY),
    (("is locked", "lock timeout"), _LOCKED),
    (("not a database", "malformed", "database corruption"), _DAMAGED),
    (("unable to open", "no such file"), _CLOSED),
    (("disk i/o error", "input/output error"), _FAILING),
    (("connection", "server closed"), _NO_SERVER),
)
"""Marks in the text of an error (SQLite, PostgreSQL or the system), and what to say then."""


def in_plain_words(problem: Exception) -> str:
    """Return one sentence or two for an error of the database or the disk.

    Cleaning up after an error may raise another; the one that came first is the one that is told.
    """
    one: BaseException | None = problem
    while one is not None:
        text = str(one).lower()
        for marks, sentence in _SENTENCES:
            if any(mark in text for mark in marks):
                return sentence
        one = one.__cause__ or one.__context__
    said = (str(problem).strip() or "no reason given").splitlines()[0].rstrip(".")
    return f"The database refused: {said}. Nothing was written."


_FILE_TROUBLE = frozenset(
    {
        *(errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO),
        *(errno.EROFS, errno.EACCES, errno.EPERM),
    }
)


def trouble_of(problem: BaseException) -> StorageError | None:
    """Return what to say for an error of the database or the disk; None for any other.

    For whole requests and commands, where errors of every kind arrive.
    """
    if isinstance(problem, StorageError):
        return problem
    if isinstance(problem, IntegrityError | sqlite3.IntegrityError):
        return None  # a fault of ours, not of the farm's computer
    if isinstance(problem, DatabaseError | sqlite3.Error):
        return StorageError(in_plain_words(problem))
    if isinstance(problem, OSError) and problem.errno in _FILE_TROUBLE:
        if problem.errno in {errno.EROFS, errno.EACCES, errno.EPERM} and problem.filename:
            return StorageError(f"{problem.filename}: {problem.strerror}. Nothing was written.")
        return StorageError(in_plain_words(problem))
    return None


def is_damage(problem: BaseException) -> bool:
    """Say whether the database file itself is damaged, so that only a backup helps."""
    marks = next(marks for marks, sentence in _SENTENCES if sentence is _DAMAGED)
    return any(mark in str(problem).lower() for mark in marks)


@contextmanager
def plain_words() -> Iterator[None]:
    """Turn errors of the database and the disk into a :class:`StorageError`."""
    try:
        yield
    except IntegrityError:
        raise  # a fault of ours, not of the farm's computer
    except (DatabaseError, sqlite3.Error, OSError) as problem:
        raise StorageError(in_plain_words(problem)) from problem
