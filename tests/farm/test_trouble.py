from __future__ import annotations

import errno
import os

import pytest
from django.db import DatabaseError, IntegrityError, OperationalError

from pinset.farm.trouble import StorageError, in_plain_words, plain_words

# The texts are those of SQLite 3.40 (sqlite3ErrStr), PostgreSQL 15 and the C library.
TEXTS = {
    "database or disk is full": "disk is full",
    'could not extend file "base/16384/16397": No space left on device': "disk is full",
    "attempt to write a readonly database": "read-only",
    "cannot execute INSERT in a read-only transaction": "read-only",
    "database is locked": "Somebody else is writing",
    "database disk image is malformed": "damaged",
    "file is not a database": "damaged",
    "unable to open database file": "cannot be opened",
    "disk I/O error": "disk reports an error",
    "server closed the connection unexpectedly": "does not answer",
}


@pytest.mark.parametrize("text", TEXTS)
def test_each_error_has_its_sentence(text: str) -> None:
    assert TEXTS[text] in in_plain_words(OperationalError(text))


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EROFS, errno.EACCES])
def test_errors_of_the_disk_have_theirs(number: int) -> None:
    with pytest.raises(StorageError, match=r"disk is full|read-only"), plain_words():
        raise OSError(number, os.strerror(number))


def test_the_first_error_is_told_not_the_one_of_cleaning_up() -> None:
    def fails_twice() -> None:
        try:
            raise OperationalError("database or disk is full")
        finally:
            raise DatabaseError("cannot roll back")

    with pytest.raises(StorageError, match="disk is full"), plain_words():
        fails_twice()


def test_an_unknown_error_is_told_as_it_is() -> None:
    said = in_plain_words(OperationalError("the moon is in the way.\nline 2"))
    assert said == "The database refused: the moon is in the way. Nothing was written."
    assert "no reason given" in in_plain_words(OperationalError())


def test_a_fault_of_ours_is_not_dressed_up() -> None:
    with pytest.raises(IntegrityError), plain_words():
        raise IntegrityError("UNIQUE constraint failed")
