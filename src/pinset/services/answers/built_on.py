"""Preparation that later work stands on is not taken back before that work."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from pinset.chain.register import FarmBook
from pinset.errors import RefusedError
from pinset.farm import job_store
from pinset.farm.queries import story
from pinset.farm.queries.story import Happened
from pinset.services.clock import at_clock, farm_day
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.jobs.state import StoredJob, done_count, stored_jobs
from pinset.services.loads.loaded import loaded_feeds, loaded_since
from pinset.services.loads.soaking import is_prepared_before
from pinset.services.loads.uncooked import cooked_mixes, mix_in, mixes_of, waiting_for_a_cook
from pinset.services.loads.what_waits import LONGEST_KEEPS_DAYS

KEEPS = timedelta(days=LONGEST_KEEPS_DAYS)
LOOKED_BACK = timedelta(days=10)
"""Work on one cook lies within so many days; common practice, no source."""


@dataclass(frozen=True, slots=True)
class _Later:
    """A record of work that what was prepared went on into."""

    task: str
    units: int
    entry: Happened


def refuse_if_built_on(entry: str, book: FarmBook) -> None:
    """Refuse to take preparation back that was filled, or loaded, since.

    What was written down before it does not stand on it, nor does what enough is left for.

    Parameters
    ----------
    entry : str
        Client id of the entry that is to be taken back, of whatever kind.
    book : FarmBook
        The farm, for what the mixes are.

    Raises
    ------
    RefusedError
        If something stands on it; the sentence names the last that does.
    """
    undone = story.entry(entry)
    row = job_store.job_by_code(undone.job) if undone is not None and undone.job else None
    if undone is None or row is None or row.kind != JobKind.PREPARE.value:
        return
    [stored] = stored_jobs([row])
    if stored.job.for_day is None or stored.job.follows_a_cook:
        return
    units = int(undone.details.get("count", 0))
    later = [
        each
        for each in (*_steps_after(stored, units, book), *_loads_after(stored, units, book))
        if each.entry.number > undone.number
    ]
    if not later:
        return
    last = max(later, key=lambda each: each.entry.number)
    day = farm_day(last.entry.happened_at, book.farm.time_zone)
    raise RefusedError(
        f"This {stored.job.task} cannot be taken back: {last.task} was written down after it, for "
        f"{last.units} on {day}.",
        f"Take back that entry first; it is number {last.entry.number}, of job {last.entry.job}.",
    )


def _steps_after(stored: StoredJob, units: int, book: FarmBook) -> Iterable[_Later]:
    """Return the later steps of the same vessels that need these units."""
    job, day = stored.job, stored.job.for_day or date.max
    since = at_clock(day - LOOKED_BACK, "00:00", book.farm.time_zone)
    rows = [
        *job_store.closed_since(since, JobKind.PREPARE.value),
        *(row for row in job_store.open_jobs() if row.kind == JobKind.PREPARE.value),
    ]
    same = [each for each in stored_jobs(rows) if _is_alike(each.job, job)]
    left = sum(done_count(each.entries) for each in same if each.job.task == job.task) - units
    done: dict[str, int] = {}
    for each in same:
        if is_prepared_before(job, each.job):
            done[each.job.task] = done.get(each.job.task, 0) + done_count(each.entries)
    needing = [each for each in same if done.get(each.job.task, 0) > left]
    answers = story.answers(each.row.code for each in needing)
    for each in needing:
        for entry in answers.get(each.row.code, ()):
            if count := int(entry.details.get("count", 0)):
                yield _Later(each.job.task, count, entry)


def _is_alike(job: PlannedJob, other: PlannedJob) -> bool:
    return job.for_day == other.for_day and mix_in(job) == mix_in(other)


def _loads_after(stored: StoredJob, units: int, book: FarmBook) -> Iterable[_Later]:
    """Return the loads of such vessels, if fewer than these units wait for one."""
    job, mix = stored.job, mix_in(stored.job)
    if job.for_day is None or mix not in cooked_mixes(book):
        return
    zone = book.farm.time_zone
    waiting = waiting_for_a_cook(book, job.for_day, loaded_since(job.for_day - KEEPS, zone))
    still = sum(
        waits
        for (own, task, day), waits in waiting.units.items()
        if (own, task) == (mix, job.task) and day <= job.for_day
    )
    if still >= units:
        return
    loads = stored_jobs(job_store.laid_since(job.for_day - LOOKED_BACK, JobKind.COOK.value))
    answers = story.answers(each.row.code for each in loads)
    for each in loads:
        entries = {entry.client_id: entry for entry in answers.get(each.row.code, ())}
        for said in each.entries:
            loaded = sum(
                feed.units
                for feed in loaded_feeds(each.job, said)
                if mix in mixes_of(book, feed) and said.client_id in entries
            )
            on = farm_day(said.happened_at, zone)
            if loaded and job.for_day <= on <= job.for_day + KEEPS:
                yield _Later("load", loaded, entries[said.client_id])
