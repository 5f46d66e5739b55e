"""From a job and what a person answered to the entry that says what happened."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from pinset.chain.register import FarmBook
from pinset.errors import InputError
from pinset.farm.entries import NewEntry
from pinset.farm.trade import Tap
from pinset.services.book_reader import Reader
from pinset.services.building import laboratory, rooms, selling
from pinset.services.building.task import Answer, Task
from pinset.services.job_records import JobKind, PlannedJob

__all__ = ["Answer", "build_entry"]

MOST_UNITS = 100_000
MOST_GRAMS = 10_000_000

BUILDERS: dict[JobKind, Callable[[Task], NewEntry]] = {
    JobKind.TRANSFER: laboratory.transfer,
    JobKind.PREPARE: laboratory.prepare,
    JobKind.COOK: laboratory.cook,
    JobKind.OPEN: laboratory.prepare,
    JobKind.ORDER: laboratory.order,
    JobKind.RECEIVE: laboratory.receive,
    JobKind.MOVE: rooms.move,
    JobKind.SHAKE: rooms.shake,
    JobKind.LOOK: rooms.look,
    JobKind.ROUND: rooms.walk,
    JobKind.PICK: selling.pick,
    JobKind.PACK: selling.pack,
    JobKind.DELIVER: selling.deliver,
    JobKind.CLEAR: rooms.clear,
    JobKind.DISCARD: rooms.discard,
}
"""How each kind of job is written down."""


def build_entry(
    tap: Tap, job: PlannedJob, answer: Answer, *, left: int, book: FarmBook, today: date
) -> NewEntry:
    """Return the entry for a job that was done, wholly or in part.

    Parameters
    ----------
    tap : Tap
        Who, when, which job.
    job, answer : PlannedJob, Answer
        What was planned and what was said of it.
    left : int
        Units (or kilograms) of the job that were not done before.
    book, today : FarmBook, date
        The farm as it stands.

    Raises
    ------
    InputError, RefusedError
        If a number cannot be, a lot is unknown or of another variety, or there is nothing to take.
    """
    count = left if answer.count is None else answer.count
    if not 0 <= count <= MOST_UNITS:
        raise InputError("count", count, f"a whole number from 0 to {MOST_UNITS}")
    if answer.grams is not None and not 0 < answer.grams <= MOST_GRAMS:
        raise InputError("grams", answer.grams, f"a whole number from 1 to {MOST_GRAMS}")
    details: dict[str, object] = {"count": count, "room_kind": job.room_kind}
    if answer.reason:
        details["reason"] = answer.reason
    task = Task(tap, job, answer, count, Reader(book, today), details)
    return BUILDERS[job.kind](task)
