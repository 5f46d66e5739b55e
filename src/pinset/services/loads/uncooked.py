"""Vessels that were prepared for a cook and are still waiting for one.

Where a cook slipped, what was soaked, mixed or filled for it is not asked for again: it goes into
the next cook, as long as it keeps.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from pinset.chain.register import FarmBook
from pinset.chain.step_nouns import step_noun
from pinset.farm import job_store
from pinset.services.clock import at_clock, farm_time, hour_is_known
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.jobs.state import StoredJob, done_count, stored_jobs
from pinset.services.loads.loaded import Loaded
from pinset.services.loads.what_waits import (
    LONGEST_KEEPS_DAYS,
    UNCOOKED_KEEPS_DAYS,
    Mix,
    Waiting,
    in_turn,
    is_lost,
    mix_of,
    step_of,
    steps_of,
)

THROW_OUT = "throw out"
"""Task of preparation that takes away what was prepared; its jobs are for no cook's day."""


def mix_in(job: PlannedJob) -> Mix:
    """Return what the vessels of a preparation are prepared as."""
    return (job.mix, job.moisture)


def cooked_mixes(book: FarmBook) -> frozenset[Mix]:
    """Return what vessels are prepared as before a cook; others are inoculated as they are."""
    return frozenset(mix_of(step) for route in book.routes for step in route.steps if step.cook)


def waiting_for_a_cook(
    book: FarmBook,
    today: date,
    loaded: Iterable[Loaded],
    keeps_days: int = UNCOOKED_KEEPS_DAYS,
) -> Waiting:
    """Return what was prepared and neither cooked nor thrown out since, and still keeps."""
    first = today - timedelta(days=max(keeps_days, LONGEST_KEEPS_DAYS))
    waiting = Waiting(steps={mix: s for mix in cooked_mixes(book) if (s := step_of(book, mix))})
    stored = _preparation(book, first)
    for job, units, began in _prepared(stored, book, first):
        day = job.for_day or today
        waiting.add(mix_in(job), job.task, day, units)
        if hour_is_known():
            key = (mix_in(job), job.task, day)
            waiting.began[key] = max(began, waiting.began.get(key, began))
    _take_out_lost(waiting, stored, book)
    zone = book.farm.time_zone
    gone: list[Loaded | _ThrownOut] = [*loaded]
    gone += [_ThrownOut(job, units, farm_time(at, zone)) for job, units, at in _thrown_out(stored)]
    for each in sorted(gone, key=lambda one: one.at):
        if isinstance(each, _ThrownOut):
            _throw_out(each, waiting)
            continue
        for feed in each.feeds:
            for mix in mixes_of(book, feed):
                waiting.cooked(mix, each.at.date(), feed.units)
    return waiting.kept_on(today - timedelta(days=keeps_days - 1))


@dataclass(frozen=True, slots=True)
class _ThrownOut:
    """What was thrown out, and when, by the farm's clock."""

    job: PlannedJob
    units: int
    at: datetime


def _throw_out(thrown: _ThrownOut, waiting: Waiting) -> None:
    job, day = thrown.job, _thrown_of(thrown.job)
    if job.undoes:
        waiting.gone(mix_in(job), job.undoes, day, thrown.units)
    else:
        waiting.cooked(mix_in(job), day, thrown.units)


def _take_out_lost(waiting: Waiting, stored: Iterable[StoredJob], book: FarmBook) -> None:
    """Take out what is not there any more: a few that a later task was done with less, and is over.

    Grain is lost in boiling and filling; what is more than a small part was left out and stands.
    """
    still_open = {
        (mix_in(each.job), each.job.task, each.job.for_day)
        for each in stored
        if not each.row.is_closed
    }
    for mix, day in {(mix, day) for mix, _, day in waiting.units}:
        for later, earlier in in_turn(book, mix):
            done = waiting.units.get((mix, later, day), 0)
            before = waiting.units.get((mix, earlier, day), 0)
            if done and (mix, later, day) not in still_open and is_lost(before - done, before):
                waiting.add(mix, earlier, day, done - before)


def mixes_of(book: FarmBook, feed: LotAmount) -> tuple[Mix, ...]:
    """Return the mix of what a load holds for a step; none if the farm has no such step."""
    return tuple(
        mix_of(step)
        for route in book.routes
        for step in route.steps
        if (route.code, step.code) == (feed.route, feed.step)
    )


def _preparation(book: FarmBook, first: date) -> tuple[StoredJob, ...]:
    """Return the preparation that may have been done for cooks from a day on."""
    begin = at_clock(first - timedelta(days=7), "00:00", book.farm.time_zone)
    rows = [
        *job_store.closed_since(begin, JobKind.PREPARE.value),
        *(row for row in job_store.open_jobs() if row.kind == JobKind.PREPARE.value),
    ]
    return stored_jobs(rows)


def _thrown_out(stored: Iterable[StoredJob]) -> Iterable[tuple[PlannedJob, int, datetime]]:
    """Return what was thrown out of it, with its units, and when."""
    for each in stored:
        units = done_count(each.entries)
        if each.job.task == THROW_OUT and units:
            yield each.job, units, max(entry.happened_at for entry in each.entries)


def wet_key(mix: Mix, for_day: date) -> str:
    """Return what the job of throwing out what was prepared for a day is known by."""
    return f"wet:{mix[0]}:{mix[1]}:{for_day}"


def _thrown_of(job: PlannedJob) -> date:
    """Return the day for whose cook that was prepared which a job throws out."""
    found = re.search(r":(\d{4}-\d\d-\d\d)(?::|$)", job.key)
    return date.fromisoformat(found[1]) if found else date.max  # not so known: by an older pinset


def _prepared(
    stored: Iterable[StoredJob], book: FarmBook, first: date
) -> Iterable[tuple[PlannedJob, int, datetime]]:
    """Return the preparation of cooks from a day on, the units it was done for, and its begin."""
    cooked, zone = cooked_mixes(book), book.farm.time_zone
    for each in stored:
        job = each.job
        if job.for_day is None or job.for_day < first or job.follows_a_cook:
            continue
        if mix_in(job) in cooked:
            units = done_count(each.entries)
            if units:
                done = farm_time(max(e.happened_at for e in each.entries), zone)
                yield job, units, done.replace(tzinfo=None) - timedelta(minutes=job.minutes)


def waiting_in_words(book: FarmBook, mix: Mix, units: int) -> str:
    """Return prepared units by what they may become: ``3 blocks``, ``3 blocks or grain jars``."""
    nouns = dict.fromkeys(step_noun(step, units) for step in steps_of(book, mix))
    return f"{units} {' or '.join(nouns) or 'units'}"
