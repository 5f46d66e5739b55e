"""Building the demo farm in a folder: the same day and seed give the same farm to the byte."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from pinset.demo.people import DemoPerson, Progress
from pinset.demo.truth import FILE_NAME, planned_truth, write_truth
from pinset.errors import InputError, PinsetError, RefusedError
from pinset.services import opening

FIRST_DAY = date(2001, 1, 1)
LAST_DAY = date(2100, 1, 1)
MOST_SEED = 2**32 - 1
DATABASE_FILES = ("farm.sqlite3", "farm.sqlite3-wal", "farm.sqlite3-shm")


@dataclass(frozen=True, slots=True)
class DemoResult:
    """What was built."""

    folder: Path
    today: date
    seed: int
    entries: int
    last_hash: str  # of the ledger's chain
    people: tuple[DemoPerson, ...]
    truth: Path


def build(folder: Path, today: date, seed: int, progress: Progress) -> DemoResult:
    """Build the invented farm in a new folder, or anew in the folder of an earlier demo.

    Passwords are made from the seed and returned, to be shown: the demo is served on 127.0.0.1
    only.

    Raises
    ------
    InputError
        If the day or the seed is out of range.
    RefusedError
        If the folder holds anything else than an earlier demo.
    PinsetError
        If the folder cannot be written.
    """
    check_wishes(today, seed)
    make_room(folder)
    progress(0.0, "making the farm's folder")
    opening.create_farm(folder)
    truth = planned_truth(seed, today)
    write_truth(truth, folder)  # first, so that a build cut short can be begun again
    from pinset.demo.fill import fill  # Django must be set up before the ledger can be named
    from pinset.services.history import chain_head

    people, truth = fill(truth, progress)
    path = write_truth(truth, folder)
    entries, last_hash = chain_head()
    progress(1.0, f"{entries} entries written")
    return DemoResult(folder, today, seed, entries, last_hash, people, path)


def check_wishes(today: date, seed: int) -> None:
    """Refuse a day or a seed that cannot be."""
    if not FIRST_DAY <= today <= LAST_DAY:
        raise InputError("today", today.isoformat(), f"a date from {FIRST_DAY} to {LAST_DAY}")
    if not 0 <= seed <= MOST_SEED:
        raise InputError("seed", seed, f"a whole number from 0 to {MOST_SEED}")


def make_room(folder: Path) -> None:
    """Clear an earlier demo out of a folder; refuse to touch anything else.

    Raises
    ------
    RefusedError
        If there is something in the folder and it is no earlier demo.
    PinsetError
        If the folder cannot be read or cleared.
    """
    try:
        if folder.exists() and not folder.is_dir():
            raise RefusedError(f"{folder} is a file.", "Name a folder for the demo farm.")
        if not folder.exists() or not any(folder.iterdir()):
            return
        if not (folder / FILE_NAME).is_file():
            raise RefusedError(
                f"{folder} is not empty and holds no earlier demo; nothing was changed.",
                "Name a new folder: pinset demo DIR.",
            )
        for name in (*DATABASE_FILES, FILE_NAME):
            (folder / name).unlink(missing_ok=True)
    except OSError as problem:
        raise PinsetError(f"{folder} cannot be used: {problem.strerror}.") from problem
