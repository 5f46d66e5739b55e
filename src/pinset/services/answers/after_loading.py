"""What is settled when a load is in: the rest of its preparation."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from pinset.chain.register import FarmBook
from pinset.farm import job_store
from pinset.farm.entries import Kind
from pinset.farm.queries.story import Happened
from pinset.services.answers.after_filling import is_answered
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.jobs.state import stored_jobs
from pinset.services.loads.loaded import FEEDS
from pinset.services.loads.uncooked import mix_in, mixes_of
from pinset.services.loads.what_waits import Mix


def settle_preparation(load: PlannedJob, book: FarmBook, now: datetime) -> None:
    """Close preparation for a load which is in as a whole.

    What was not filled cannot go into it any more, and what was needs no filling, whether or not it
    was written down. Where another load of that day still takes the
    same mix, its preparation stays open.

    Parameters
    ----------
    load : PlannedJob
        The loading that is finished.
    book : FarmBook
        The farm, for what the mixes are.
    now : datetime
        The moment.
    """
    others = stored_jobs(
        [
            row
            for row in job_store.open_jobs()
            if row.kind == JobKind.COOK.value and row.day == load.day
        ]
    )
    mixes = _mixes(load.feeds, book) - {
        mix for each in others if each.job.key != load.key for mix in _mixes(each.job.feeds, book)
    }
    for each in stored_jobs([r for r in job_store.open_jobs() if _prepares(r.kind)]):
        if (
            not each.job.follows_a_cook
            and each.job.for_day == load.day
            and mix_in(each.job) in mixes
        ):
            job_store.close(each.row.code, now)


def open_preparation_again(undone: Happened, book: FarmBook) -> None:
    """Open what was settled by a load that is taken back.

    Parameters
    ----------
    undone : Happened
        The entry that was just taken back, of whatever kind.
    book : FarmBook
        The farm, for what the mixes are.
    """
    row = job_store.job_by_code(undone.job) if undone.kind == Kind.COOK.value else None
    if row is None:
        return
    fed = [
        LotAmount("", int(each["units"]), str(each["step"]), str(each["route"]))
        for each in undone.details.get(FEEDS, ())
    ]
    mixes = _mixes(fed, book)
    closed = job_store.closed_since(undone.recorded_at, JobKind.PREPARE.value)
    for each in stored_jobs(closed):
        is_of_it = each.job.for_day == row.day and mix_in(each.job) in mixes
        if is_of_it and not is_answered(each):
            job_store.reopen(each.row.code)


def _prepares(kind: str) -> bool:
    return kind == JobKind.PREPARE.value


def _mixes(feeds: Iterable[LotAmount], book: FarmBook) -> set[Mix]:
    return {mix for feed in feeds for mix in mixes_of(book, feed)}
