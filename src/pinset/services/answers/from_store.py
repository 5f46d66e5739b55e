"""The task of handing picked weight over without a job that asked for it."""

from __future__ import annotations

from datetime import date

from pinset.chain.register import FarmBook, RoomKind, Variety
from pinset.farm.trade import Tap
from pinset.services.book_reader import Reader
from pinset.services.building.task import Answer, Task
from pinset.services.clock import farm_day
from pinset.services.jobs.records import JobKind, PlannedJob


def task_from_store(
    tap: Tap,
    variety: Variety,
    grams: int,
    details: dict[str, object],
    book: FarmBook,
    today: date,
) -> Task:
    """Return the task of a weight that leaves the store; ``details`` hold the reason, if any.

    Parameters
    ----------
    tap : Tap
        Who and when.
    variety : Variety
        What leaves.
    grams : int
        Its weight. [g]
    details : dict
        Of the entry; what speaks against it is noted there.
    book, today : FarmBook, date
        The farm as it stands.
    """
    job = PlannedJob(
        "", JobKind.DELIVER, "deliver", today, 0, "kg", "", RoomKind.PACKING.value,
        variety=variety.code, variety_name=variety.name,
    )  # fmt: skip
    answer = Answer(grams=grams, reason=str(details.get("reason", "")))
    day = farm_day(tap.at, book.farm.time_zone)
    return Task(tap, job, answer, 0, Reader(book, today), details, day)
