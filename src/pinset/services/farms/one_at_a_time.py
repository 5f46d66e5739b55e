"""One process serves a farm, and nothing replaces the farm's database while it does."""

from __future__ import annotations

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from pinset.errors import PinsetError, RefusedError

LOCK = "serving.lock"


@contextmanager
def only_one(folder: Path) -> Iterator[int]:
    """Hold the folder's lock and give its file number, to be handed on to child processes.

    The lock belongs to the open file, not to the process: it stands until the last process that
    was given the number has ended, however the first one ends.

    Raises
    ------
    RefusedError
        If another process serves the farm.
    PinsetError
        If the folder cannot be written.
    """
    try:
        lock = os.open(folder / LOCK, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)
    except OSError as problem:
        raise PinsetError(f"{folder} cannot be written: {problem.strerror}.") from problem
    try:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            raise RefusedError(
                f"The farm in {folder} is being served.",
                "Stop pinset serve first; if it was killed, end what is left of it too"
                f"{_numbers(lock)}.",
            ) from None
        os.ftruncate(lock, 0)
        yield lock
    finally:
        os.close(lock)


def name_processes(lock: int, numbers: list[int]) -> None:
    """Write down which processes hold the lock, for whoever is refused it."""
    os.ftruncate(lock, 0)
    os.pwrite(lock, " ".join(map(str, numbers)).encode("ascii"), 0)


def _numbers(lock: int) -> str:
    words = os.pread(lock, 200, 0).decode("ascii", errors="replace").split()
    numbers = [word for word in words if word.isdigit()]
    return f" (process {', '.join(numbers)})" if numbers else ""
