"""What a delivery must know of the store as it is now: how much of it is past its days."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from pinset.chain.register import FarmBook
from pinset.services.book_reader import Reader
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.jobs.state import StoredJob
from pinset.services.store.days import (
    OnStore,
    is_worth_saying,
    keeping_days,
    on_store,
    past_words,
)


def with_past_weight(
    stored: Sequence[StoredJob], book: FarmBook, today: date
) -> tuple[StoredJob, ...]:
    """Return stored jobs, open deliveries with what of their variety is past its days."""
    if not any(_is_meant(each) for each in stored):
        return tuple(stored)
    store, reader = on_store(book, today), Reader(book, today)
    return tuple(
        replace(each, job=_said(each.job, store, reader)) if _is_meant(each) else each
        for each in stored
    )


def _is_meant(stored: StoredJob) -> bool:
    return stored.job.kind is JobKind.DELIVER and stored.job.grams > 0 and not stored.row.is_closed


def _said(job: PlannedJob, store: OnStore, reader: Reader) -> PlannedJob:
    past = [each for each in store.past if each.variety == job.variety]
    grams = sum(each.grams for each in past)
    if not is_worth_saying(grams):
        return job
    keeps = keeping_days(reader.book).get(job.variety, 0)
    when = past_words([each.picked_on for each in past], keeps)
    words = f"leave {reader.said(grams)} in the store: past its days ({when}), not for a buyer"
    return replace(
        job,
        detail=f"{job.detail}; {words}" if job.detail else words,
        cautions=tuple(dict.fromkeys((*job.cautions, "food"))),
    )
