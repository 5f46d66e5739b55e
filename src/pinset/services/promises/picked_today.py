"""Once the picking of a day is done, only what was picked is packed and promised that day.

A plan lays packing and deliveries by what it expects to be picked. Where a pick is finished with
less or more, they are told anew from what lies in the store, without waiting for the next plan.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from datetime import date, timedelta

from pinset.chain.register import FarmBook
from pinset.farm import job_store
from pinset.farm.job_store import JobRow
from pinset.services.answers.parts_by_weight import grams_left
from pinset.services.book_reader import Reader
from pinset.services.clock import at_clock
from pinset.services.jobs.of_selling import handing_over, packing
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.jobs.state import StoredJob, done_count, stored_jobs
from pinset.services.plans.stock_now import delivered_on, store_now
from pinset.services.promises.allotment import GRAM, Allotment, allot
from pinset.services.promises.due_deliveries import DueDelivery, due_on

PACKED_AHEAD_DAYS = 7
"""Deliveries are packed at most this many days before."""


def pick_key(variety: str, day: date) -> str:
    """Return the key of the picking of a variety on a day."""
    return f"pick:{variety}:{day}"


def with_what_was_picked(
    stored: Sequence[StoredJob], book: FarmBook, today: date
) -> tuple[StoredJob, ...]:
    """Return the jobs, packing and deliveries with what there is where picking is over.

    Packing of which nothing is there has no weights and a count of 0.
    """
    if not any(_is_meant(each, today) for each in stored):
        return tuple(stored)
    rows = _picks(book, today)
    over = _varieties([row for row in rows if row.is_closed], today) - _varieties(
        [row for row in rows if not row.is_closed], today
    )
    if not over:
        return tuple(stored)
    told = _told(rows, book, today)
    return tuple(_as_it_is(each, over, told) if _is_meant(each, today) else each for each in stored)


def is_empty(stored: StoredJob) -> bool:
    """Say whether a job is packing of which nothing is there and nothing was done."""
    return stored.job.kind is JobKind.PACK and not stored.job.count and not stored.entries


def _is_meant(stored: StoredJob, today: date) -> bool:
    job = stored.job
    if stored.row.is_closed or job.day > today or job.outlet:
        return False
    is_packing = job.kind is JobKind.PACK and job.day == today and bool(job.weights)
    return is_packing or (job.kind is JobKind.DELIVER and job.grams > 0)


def _picks(book: FarmBook, today: date) -> tuple[JobRow, ...]:
    begin = at_clock(today, "00:00", book.farm.time_zone)
    kind = JobKind.PICK.value
    return (
        *job_store.closed_since(begin, kind),
        *(row for row in job_store.open_jobs() if row.kind == kind),
    )


def _varieties(rows: Sequence[JobRow], today: date) -> frozenset[str]:
    keys = {str(row.body.get("key", "")): str(row.body.get("variety", "")) for row in rows}
    return frozenset(v for key, v in keys.items() if key == pick_key(v, today))


def _told(picks: Sequence[JobRow], book: FarmBook, today: date) -> dict[str, PlannedJob]:
    """Return packing and deliveries as they would be laid now, by their keys."""
    reader, last = Reader(book, today), today + timedelta(days=PACKED_AHEAD_DAYS)
    delivered = delivered_on(today, last, book.farm.time_zone)
    due = [
        each
        for ahead in range(PACKED_AHEAD_DAYS + 1)
        for each in due_on(book.promises, today + timedelta(days=ahead), delivered)
    ]
    due += late_still_asked(book, today)
    expected: dict[str, float] = {}
    for each in stored_jobs([row for row in picks if not row.is_closed]):
        if each.job.key == pick_key(each.job.variety, today):
            expected[each.job.variety] = float(grams_left(each.job, each.entries))
    allotted: Allotment = allot(due, store_now(book, today), expected, reader)
    weights = [each for each in due if each.promise.measure == GRAM]
    jobs = (*packing(weights, reader, allotted), *handing_over(weights, reader, allotted, {}))
    return {job.key: job for job in jobs}


def late_still_asked(book: FarmBook, today: date) -> list[DueDelivery]:
    """Return the deliveries of earlier days whose jobs still stand open."""
    promises = {promise.code: promise for promise in book.promises}
    rows = [row for row in job_store.open_jobs() if row.kind == JobKind.DELIVER.value]
    return [
        DueDelivery(promises[job.promise], job.day, promises[job.promise].amount - job.grams)
        for job in (each.job for each in stored_jobs(rows))
        if job.day < today and job.promise in promises
    ]


def _as_it_is(stored: StoredJob, over: Collection[str], told: dict[str, PlannedJob]) -> StoredJob:
    job, now = stored.job, told.get(stored.job.key)
    if job.kind is JobKind.DELIVER:
        if now is None or job.variety not in over:
            return stored
        return replace(stored, job=replace(job, detail=now.detail))
    if not {each.variety for each in job.weights} & set(over):
        return stored
    if now is None:
        done = done_count(stored.entries)
        nothing = replace(job, count=done, grams=0, weights=(), what="kg to pack: nothing is there")
        return replace(stored, job=nothing)
    if now.grams == job.grams:
        return stored
    return replace(
        stored,
        job=replace(
            job,
            count=max(now.count, min(job.count, now.count + done_count(stored.entries))),
            grams=now.grams,
            weights=now.weights,
            what=now.what,
            detail=now.detail,
            minutes=now.minutes,
            stake=now.stake,
        ),
    )
