"""One process serves a farm, and nothing replaces the farm's database while it does."""

from __future__ import annotations

import fcntl
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from pinset.errors import PinsetError, RefusedError

LOCK = "serving.lock"


@contextmanager
def only_one(folder: Path) -> Iterator[None]:
    """Hold the folder's lock.

    Raises
    ------
    RefusedError
        If another process serves the farm.
    PinsetError
        If the folder cannot be written.
    """
    try:
        lock = (folder / LOCK).open("w")
    except OSError as problem:
        raise PinsetError(f"{folder} cannot be written: {problem.strerror}.") from problem
    with lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            raise RefusedError(
                f"The farm in {folder} is being served.", "Stop pinset serve first."
            ) from None
        yield
