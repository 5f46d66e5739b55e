"""Entries of chores, and why a tube's job is answered on its own page."""

from __future__ import annotations

from pinset.errors import RefusedError
from pinset.farm.entries import NewEntry
from pinset.services.building.task import Task
from pinset.services.upkeep.doing import ChoreTap, chore_of, entry_of


def chore(task: Task) -> NewEntry:
    """Return the entry of a chore that was done and reads nothing off."""
    job = task.job
    if job.reads:
        raise RefusedError(
            f"This chore reads something off, in {job.reads}.",
            f"Write it down on its page, or: pinset upkeep done {job.chore} --reading NUMBER.",
        )
    if job.mends:
        raise RefusedError(
            "Something was found amiss here.",
            f"Say on its page that it was mended, or: pinset upkeep done {job.chore} --changed.",
        )
    said = ChoreTap(job.chore, task.tap.person, task.tap.client_id, why=task.answer.reason)
    return entry_of(task.tap, chore_of(job.chore, task.reader.book), said, task.reader.book)


def tube(task: Task) -> NewEntry:
    """Refuse: what became of a tube is said with its numbers, on its page."""
    lot = task.job.lots[0].lot
    raise RefusedError(
        "What was woken or renewed is said with its numbers.",
        f"Books, Cultures, {lot}; or: pinset cultures woken {lot}, pinset cultures renew {lot}.",
    )
