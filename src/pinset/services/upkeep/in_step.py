"""Keeps the day's list in step with what is due, between one plan and the next."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime

from pinset.chain.plain import from_plain, to_plain
from pinset.chain.register import FarmBook
from pinset.farm import job_store
from pinset.farm.entries import Kind
from pinset.farm.job_store import JobRow, JobToLay
from pinset.services.book_reader import Reader
from pinset.services.clock import farm_day
from pinset.services.jobs.records import BY_KEY, PlannedJob
from pinset.services.upkeep.jobs import due_jobs

AWAY = frozenset({Kind.PUT_OFF, Kind.DROP})


def open_job(key: str) -> JobRow | None:
    """Return the open job of a chore or of a lot of tubes; None if none is on the list."""
    kind = "chore" if key.startswith("chore:") else "culture"
    rows = [row for row in job_store.jobs_by_key(kind, key) if not row.is_closed]
    return rows[-1] if rows else None


def bring_in_step(book: FarmBook, now: datetime) -> None:
    """Lay the jobs of what has fallen due, and take off those of what is not due any more.

    A job that somebody answered is closed; one that nobody did is taken off. On a day on which
    nobody works nothing is laid: it waits for the next plan.
    """
    reader = Reader(book, farm_day(now, book.farm.time_zone))
    wanted = {job.key: job for job in due_jobs(reader)}
    rows = [row for row in job_store.open_jobs() if row.kind in {kind.value for kind in BY_KEY}]
    here: set[str] = set()
    for row in rows:
        key = str(row.body["key"])
        if key in wanted:
            here.add(key)
            _bring_up_to_date(row, wanted[key], reader.today)
        elif any(entry.kind not in AWAY for entry in job_store.entries_of([row.code])):
            job_store.close(row.code, now)
        else:
            job_store.withdraw([row.code], now)
    if reader.works_on(reader.today):
        new = [_to_lay(job) for key, job in wanted.items() if key not in here]
        if new:
            job_store.add(new)


def _bring_up_to_date(row: JobRow, job: PlannedJob, today: date) -> None:
    if from_plain(PlannedJob, row.body) != replace(job, day=row.day):
        job_store.move(row.code, today, to_plain(job))


def _to_lay(job: PlannedJob) -> JobToLay:
    return JobToLay(
        "",
        job.day,
        job.kind.value,
        to_plain(job),
        job.variety,
        job.step,
        job.count,
        job.room_kind,
    )
