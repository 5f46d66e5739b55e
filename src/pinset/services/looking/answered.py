"""Which open job of looking over a look answers, and how much of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from pinset.farm import job_store
from pinset.services.answers.claims import in_hand_of
from pinset.services.jobs.records import JobKind, units_by_lot
from pinset.services.jobs.state import StoredJob, done_by_lot, done_count, stored_jobs


@dataclass(frozen=True, slots=True)
class AnsweredLook:
    """The part of a job that a look of one lot answers."""

    job: str
    units: int
    finishes: bool
    room_kind: str
    of_others: tuple[str, ...] = ()  # what is said where somebody else has claimed it


def open_looks(day: date) -> tuple[StoredJob, ...]:
    """Return the open jobs of looking over that are due by a day, oldest first."""
    rows = [
        row for row in job_store.open_jobs() if row.kind == JobKind.LOOK.value and row.day <= day
    ]
    return stored_jobs(rows)


def units_left(stored: StoredJob) -> dict[str, int]:
    """Return the units of each lot of a job that were not looked over by it."""
    done = done_by_lot(stored)
    left = units_by_lot(stored.job.lots)
    return {lot: max(0, units - done.get(lot, 0)) for lot, units in left.items()}


def job_of_look(lot: str, day: date) -> str:
    """Return the code of the job that a look at a lot answers on a day; empty if there is none."""
    found = (each for each in open_looks(day) if units_left(each).get(lot, 0) > 0)
    first = next(found, None)
    return first.row.code if first else ""


def answered_look(lot: str, units: int, day: date, person: str) -> AnsweredLook | None:
    """Return the job that a look of some units of a lot on a day answers; None if there is none."""
    for stored in open_looks(day):
        left = units_left(stored).get(lot, 0)
        if left <= 0:
            continue
        part = min(units, left)
        whole = done_count(stored.entries) + part >= stored.job.count
        said = in_hand_of(stored.row, person)
        return AnsweredLook(stored.row.code, part, whole, stored.job.room_kind, said)
    return None


def close_if_finished(answered: AnsweredLook | None, now: datetime) -> None:
    """Close the job that was answered as a whole; one that is begun stays open."""
    if answered is None:
        return
    if answered.finishes:
        job_store.close(answered.job, now)
    else:
        job_store.reopen(answered.job)
