"""What was loaded into the sterilisers in the last days, as the entries of cook jobs say."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from pinset.chain.register import FarmBook
from pinset.farm import job_store
from pinset.farm.entries import Kind
from pinset.farm.job_store import JobEntry
from pinset.services.clock import at_clock, farm_time, hour_is_known, now_utc
from pinset.services.day.fitting import NEXT_DAY, clock_of, is_next_day
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.jobs.state import StoredJob, stored_jobs
from pinset.services.loads.opening_hour import opening_of_cook

FEEDS = "feeds"
"""Where the entry of a load keeps what was in it: units, step and route of each sort."""

AFTER = "after "

LOADED_BEFORE_DAYS = 3
"""A cook is loaded so many days before it is opened, at most; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Loaded:
    """One recorded loading."""

    job: PlannedJob
    at: datetime  # by the farm's clock
    units: int
    is_finished: bool  # the whole load is in
    feeds: tuple[LotAmount, ...]  # what was in it, by the step it is for


def loaded_feeds(job: PlannedJob, entry: JobEntry) -> tuple[LotAmount, ...]:
    """Return what an entry put into a steriliser, by the step it is for.

    Entries that do not say it are taken to hold what was planned, in proportion.
    """
    said = entry.details.get(FEEDS)
    if said is not None:
        return tuple(LotAmount("", int(e["units"]), e["step"], e["route"]) for e in said)
    whole = sum(feed.units for feed in job.feeds)
    if not whole:
        return ()
    return tuple(replace(feed, units=round(entry.count * feed.units / whole)) for feed in job.feeds)


def feeds_left(job: PlannedJob, entries: Iterable[JobEntry]) -> tuple[LotAmount, ...]:
    """Return what is still to be loaded of a job, by the step it is for; none is left out.

    What was loaded before the last plan is no longer among what that plan laid.
    """
    passed = job.count - sum(feed.units for feed in job.feeds)
    left = {(feed.route, feed.step): feed.units for feed in job.feeds}
    for entry in entries:
        if entry.kind is not Kind.COOK:
            continue
        if passed > 0:
            passed -= entry.count
            continue
        for feed in loaded_feeds(job, entry):
            key = (feed.route, feed.step)
            left[key] = max(0, left.get(key, 0) - feed.units)
    return tuple(replace(feed, units=left[feed.route, feed.step]) for feed in job.feeds)


def loaded_since(first: date, time_zone: str) -> tuple[Loaded, ...]:
    """Return every standing loading from a day on, in the order in which they happened."""
    begin = at_clock(first, "00:00", time_zone)
    rows = [
        *job_store.closed_since(begin, JobKind.COOK.value),
        *(row for row in job_store.open_jobs() if row.kind == JobKind.COOK.value),
    ]
    found = [
        Loaded(
            each.job,
            farm_time(entry.happened_at, time_zone),
            entry.count,
            each.row.is_closed,
            loaded_feeds(each.job, entry),
        )
        for each in stored_jobs(rows)
        for entry in each.entries
        if entry.kind is Kind.COOK and entry.happened_at >= begin - timedelta(days=1)
    ]
    return tuple(sorted((each for each in found if each.at.date() >= first), key=lambda x: x.at))


def opened_after_loading(stored: Sequence[StoredJob], book: FarmBook) -> tuple[StoredJob, ...]:
    """Return the jobs, each opening so long after its load was in as its cook takes.

    Where the hour of the day is not known, openings stay as they were planned.
    """
    if not hour_is_known():
        return tuple(stored)
    now = farm_time(now_utc(), book.farm.time_zone).replace(tzinfo=None)
    hours = {(s.code, kind.code): kind.hours for s in book.sterilisers for kind in s.cooks}
    begun = {
        each.job.key: farm_time(entry.happened_at, book.farm.time_zone)
        for each in stored
        for entry in each.entries
        if entry.kind is Kind.COOK
    }
    begun = {**_begun_before(stored, begun, book), **begun}
    return tuple(_after(each, begun.get(_cook_of(each.job)), hours, now, book) for each in stored)


def _begun_before(
    stored: Sequence[StoredJob], known: Collection[str], book: FarmBook
) -> dict[str, datetime]:
    """Return when cooks were loaded, by key, whose loading is not among the jobs themselves."""
    days = [
        each.job.first_day or each.job.day
        for each in stored
        if each.job.kind is JobKind.OPEN
        and not each.row.is_closed
        and _cook_of(each.job) not in known
    ]
    if not days:
        return {}
    first = min(days) - timedelta(days=LOADED_BEFORE_DAYS)
    return {each.job.key: each.at for each in loaded_since(first, book.farm.time_zone)}


def _cook_of(job: PlannedJob) -> str:
    return job.key.replace("open:", "cook:", 1) if job.kind is JobKind.OPEN else ""


def _after(
    stored: StoredJob,
    begun: datetime | None,
    hours: dict[tuple[str, str], float],
    now: datetime,
    book: FarmBook,
) -> StoredJob:
    job = stored.job
    said = job.fixed_at or (job.due.removeprefix(AFTER) if job.due.startswith(AFTER) else "")
    planned = clock_of(said.removesuffix(NEXT_DAY))
    length = hours.get((job.steriliser, job.cook_kind))
    if begun is None or length is None or stored.row.is_closed:
        return stored
    ended = (begun + timedelta(hours=length)).replace(tzinfo=None)
    found = opening_of_cook(book, job.steriliser, begun.date(), ended)
    opening = found.at
    if planned is None and opening <= now:
        return stored
    if planned is not None:
        at = datetime.combine(job.day, planned) + timedelta(days=is_next_day(said))
        is_of_another_day = opening < at and opening.date() < job.day  # put off, or carried over
        if is_of_another_day:
            return stored
        if opening == at:
            return replace(stored, job=found.told_by(job))
    told = found.given_to(job, max(job.day, now.date()))
    is_fixed = bool(job.fixed_at) or opening > now  # an hour that has passed is none to fit in at
    return replace(stored, job=told if is_fixed else replace(told, fixed_at=""))
