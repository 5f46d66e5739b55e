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
                f"{_numbers(folder / LOCK, lock)}.",
            ) from None
        os.ftruncate(lock, 0)
        yield lock
    finally:
        os.close(lock)


def name_processes(lock: int, numbers: list[int]) -> None:
    """Write down which processes hold the lock, for whoever is refused it."""
    os.ftruncate(lock, 0)
    os.pwrite(lock, " ".join(map(str, numbers)).encode("ascii"), 0)


def _numbers(path: Path, lock: int) -> str:
    """Return which processes hold the lock: those that have its file open, else as written."""
    words = os.pread(lock, 200, 0).decode("ascii", errors="replace").split()
    written = [int(word) for word in words if word.isdigit()]
    holding = [number for number in _with_open(path) if number != os.getpid()]
    numbers = sorted(holding) or written
    return f" (process {', '.join(map(str, numbers))})" if numbers else ""


def _with_open(path: Path) -> Iterator[int]:
    """Yield the processes that have a file open, as far as the system tells us.

    What a web server starts for itself was given the lock, too, and nobody wrote that down.
    """
    wanted = path.stat()
    for each in Path("/proc").glob("[0-9]*/fd"):
        try:
            found = any(_is_same(file, wanted) for file in each.iterdir())
        except OSError:  # it ended meanwhile, or is another person's
            continue
        if found:
            yield int(each.parent.name)


def _is_same(file: Path, wanted: os.stat_result) -> bool:
    try:
        return os.path.samestat(file.stat(), wanted)
    except OSError:
        return False
