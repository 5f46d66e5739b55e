from __future__ import annotations

import errno
import os

import pytest
from django.db import DatabaseError, IntegrityError, OperationalError

from pinset.errors import RefusedError
from pinset.farm.trouble import (
    StorageError,
    in_plain_words,
    is_damage,
    plain_words,
    trouble_of,
)

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


def test_a_backup_is_asked_for_only_if_the_file_is_damaged() -> None:
    asked = {text for text in TEXTS if "pinset restore" in in_plain_words(OperationalError(text))}
    assert asked == {"database disk image is malformed", "file is not a database"}
    assert asked == {text for text in TEXTS if is_damage(OperationalError(text))}
    for text in TEXTS.keys() - asked:
        assert "nothing was written" in in_plain_words(OperationalError(text))


def test_of_whole_requests_only_trouble_of_disk_and_database_is_said() -> None:
    assert "Somebody else is writing" in str(trouble_of(OperationalError("database is locked")))
    assert "disk is full" in str(trouble_of(OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))))
    said = StorageError("The disk is full.")
    assert trouble_of(said) is said
    named = trouble_of(PermissionError(errno.EACCES, "Permission denied", "/farm/list.csv"))
    assert str(named) == "/farm/list.csv: Permission denied. Nothing was written."
    for other in (
        IntegrityError("UNIQUE constraint failed"),
        FileNotFoundError(errno.ENOENT, "No such file or directory"),
        BrokenPipeError(errno.EPIPE, "Broken pipe"),
        RefusedError("No."),
        KeyError("disk is full"),
    ):
        assert trouble_of(other) is None
