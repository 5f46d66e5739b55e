"""What goes off the list when an entry is taken back, because it stood on that entry alone."""

from __future__ import annotations

from datetime import datetime

from pinset.chain.register import FarmBook
from pinset.farm import job_store
from pinset.farm.entries import Kind
from pinset.farm.queries import story
from pinset.services.answers.after_filling import open_steps_before
from pinset.services.answers.after_loading import open_preparation_again
from pinset.services.jobs.records import BY_KEY, JobKind
from pinset.services.jobs.to_decide import settle_after
from pinset.services.jobs.to_judge import take_off_with_its_cook, take_off_with_its_opening
from pinset.services.upkeep.in_step import bring_in_step


def take_off_what_followed(entry: str, book: FarmBook, now: datetime) -> None:
    """Take jobs off the list that ask for what an entry led to, once it is taken back.

    Parameters
    ----------
    entry : str
        Client id of the entry that was just taken back, of whatever kind.
    book : FarmBook
        The farm.
    now : datetime
        The moment.
    """
    undone = story.entry(entry)
    if undone is None:
        return
    take_off_with_its_cook(undone, now)
    take_off_with_its_opening(undone, now)
    open_preparation_again(undone, book)
    open_steps_before(undone)
    settle_after(undone, book, now)
    if undone.kind == Kind.CLEAN.value or _answered_by_key(undone.job):
        bring_in_step(book, now)
    if undone.kind == Kind.ORDER.value:
        rows = [row for row in job_store.open_jobs() if row.kind == JobKind.RECEIVE.value]
        job_store.withdraw([row.code for row in rows if row.body.get("order") == entry], now)


def _answered_by_key(job: str) -> bool:
    """Say whether a job is one of a chore or of a lot of tubes."""
    row = job_store.job_by_code(job) if job else None
    return row is not None and row.kind in {kind.value for kind in BY_KEY}
