"""Building the demo farm in a folder: the same day and seed give the same farm to the byte."""

from __future__ import annotations

import os
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from pinset.demo.people import DemoPerson, Progress
from pinset.demo.truth import FILE_NAME, HiddenTruth, planned_truth, write_truth
from pinset.errors import InputError, PinsetError, RefusedError
from pinset.services.farms import opening
from pinset.services.farms.one_at_a_time import only_one

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
    refuse_unfit(folder)
    progress(0.0, "making the farm's folder")
    truth = planned_truth(seed, today)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with only_one(folder):
            write_truth(truth, folder)  # first, so that a build cut short can be begun again
            clear(folder)
            return _built(folder, truth, progress)
    except OSError as problem:
        raise PinsetError(f"{folder} cannot be used: {problem.strerror}.") from problem


def _built(folder: Path, planned: HiddenTruth, progress: Progress) -> DemoResult:
    opening.create_farm(folder)
    from pinset.demo.fill import fill  # Django must be set up before the ledger can be named
    from pinset.services.answers.history import chain_head

    people, truth = fill(planned, progress)
    path = write_truth(truth, folder)
    entries, last_hash = chain_head()
    progress(1.0, f"{entries} entries written")
    return DemoResult(folder, truth.today, truth.seed, entries, last_hash, people, path)


def check_wishes(today: date, seed: int) -> None:
    """Refuse a day or a seed that cannot be."""
    if not FIRST_DAY <= today <= LAST_DAY:
        raise InputError("today", today.isoformat(), f"a date from {FIRST_DAY} to {LAST_DAY}")
    if not 0 <= seed <= MOST_SEED:
        raise InputError("seed", seed, f"a whole number from 0 to {MOST_SEED}")


def refuse_unfit(folder: Path) -> None:
    """Refuse any place but a new folder or that of an earlier demo.

    Raises
    ------
    RefusedError
        If there is something in the folder and it is no earlier demo, or a database server is
        named: a demo is never built into a real farm.
    PinsetError
        If the folder cannot be read.
    """
    if os.environ.get("PINSET_DATABASE"):
        raise RefusedError(
            "PINSET_DATABASE names a database; a demo is built in its own folder only.",
            "Unset it and try again.",
        )
    if folder.exists() and not folder.is_dir():
        raise RefusedError(f"{folder} is a file.", "Name a folder for the demo farm.")
    try:
        is_new = not folder.exists() or not any(folder.iterdir())
    except OSError as problem:
        raise PinsetError(f"{folder} cannot be used: {problem.strerror}.") from problem
    if not is_new and not (folder / FILE_NAME).is_file():
        raise RefusedError(
            f"{folder} is not empty and holds no earlier demo; nothing was changed.",
            "Name a new folder: pinset demo DIR.",
        )


def clear(folder: Path) -> None:
    """Take an earlier demo's database, and the day it lived on, out of its folder."""
    for name in (*DATABASE_FILES, opening.DEMO_DAY):
        (folder / name).unlink(missing_ok=True)
