"""Loads that are cool enough only when their time is over, and what is said of them in time.

Vessels keep so long after their cook as its kind says: straw, which is only pasteurised, a day.
Loaded so late that nobody is here to open them that evening, they may be cool when nobody works any
more in that time. They are not called lost for certain: somebody may come for them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta

from pinset.chain.day_hours import WHOLE_DAY, clock_minute
from pinset.chain.in_use import loaded_on
from pinset.chain.register import CookKind, FarmBook, Steriliser
from pinset.farm import job_store
from pinset.planning.building.prepared_keeps import prepared_days
from pinset.planning.model.cook_times import cooling_hours, is_for_laboratory, pouring_minutes
from pinset.planning.model.staffed import Staffed
from pinset.services.book_reader import Reader
from pinset.services.clock import farm_time, hour_is_known, now_utc
from pinset.services.day.fitting import DAY_IN_KEY, NEXT_DAY, clock_of, is_next_day
from pinset.services.day.hours_left import STEP_MINUTES
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.jobs.state import StoredJob, done_count, stored_jobs
from pinset.services.loads.loaded import LOADED_BEFORE_DAYS
from pinset.services.loads.opening_hour import will_open
from pinset.services.words import near_day, plural

COOLS = "open, unload and set out to cool"
"""What the job of an opening says of vessels that are to be inoculated."""

GIVEN_UP = "open and unload, nobody inoculates them in their time"


@dataclass(frozen=True, slots=True)
class Lost:
    """Vessels that nobody who works then can inoculate in their time."""

    cool: datetime  # when they are cool enough, by the farm's clock
    until: date  # the last day on which they may be inoculated

    def words(self, today: date) -> str:
        """Return what becomes of them, to follow when they are cool enough."""
        until = near_day(self.until, today)
        if self.until < today:
            return f"they kept until {until}"
        if self.cool.date() > self.until:
            return f"they keep only until {until}"
        return f"nobody is here for that then, and they keep only until {until}"


def lost_if_opened(
    job: PlannedJob, opened: datetime, loaded: date, book: FarmBook, cooling: float
) -> Lost | None:
    """Return what is lost of a load that is opened at a moment; None: it can be inoculated.

    Parameters
    ----------
    job : PlannedJob
        The loading or the opening.
    opened : datetime
        By the farm's clock.
    loaded : date
        Day of the load.
    book : FarmBook
        The farm.
    cooling : float
        What its vessels take to cool after the opening. [h]
    """
    kind = _kind_of(job, book)
    if kind is None:
        return None
    until = loaded + timedelta(days=prepared_days(book, kind.code))
    is_clean = is_for_laboratory(book, kind.code)
    usable = Staffed(book).usable_on(opened, cooling, 0.0, in_laboratory=is_clean)
    if usable is not None and usable <= until:
        return None
    return Lost(opened + timedelta(hours=cooling), until)


def lost_if_loaded(job: PlannedJob, at: datetime, book: FarmBook) -> Lost | None:
    """Return what is lost of a load that goes in at a moment of the farm's clock; None: nothing.

    Of vessels that something is poured into when they come out nothing is said: whether it has set
    is seen at the opening.
    """
    machine, kind = _machine_of(job, book), _kind_of(job, book)
    if machine is None or kind is None or pouring_minutes(book, kind):
        return None
    own = loaded_on(book, machine, at.date()) or machine
    opened = Staffed(book).opened(own, at + timedelta(hours=kind.hours))
    if opened is None:
        return None
    reader = Reader(book, at.date())
    steps = [
        reader.routes[feed.route].step(feed.step)
        for feed in job.feeds
        if feed.route in reader.routes
    ]
    return lost_if_opened(job, opened, at.date(), book, cooling_hours(steps, kind.hours))


@dataclass(frozen=True, slots=True)
class Deadline:
    """Until when a load may go in today."""

    clock: str  # 11:00; empty: it is too late
    lost: Lost  # what becomes of what goes in later


def deadline_of(job: PlannedJob, book: FarmBook, today: date) -> Deadline | None:
    """Return until when a load of today may go in; None: it can at any hour of the day.

    To five minutes, from now on; where the hour is not known, from its own hour on. That it is laid
    at a later hour makes it no later now: what waits for it may be hurried.
    """
    midnight = datetime.combine(today, time(0))
    machine = _machine_of(job, book)
    if job.day > today or machine is None:
        return None
    last = lost_if_loaded(job, midnight + timedelta(minutes=WHOLE_DAY - STEP_MINUTES), book)
    if last is None:
        return None
    own = clock_minute(job.fixed_at if clock_of(job.fixed_at) else machine.load_at)
    if hour_is_known():
        own = round((_now(book) - midnight).total_seconds() / 60)
    for minute in range(own, WHOLE_DAY, STEP_MINUTES):
        lost = lost_if_loaded(job, midnight + timedelta(minutes=minute), book)
        if lost is not None:
            before = midnight + timedelta(minutes=minute - STEP_MINUTES)
            return Deadline(f"{before:%H:%M}" if minute > own else "", lost)
    return Deadline("", last)


@dataclass(frozen=True, slots=True)
class LoadingWords:
    """What is said of a load that may not go in at any hour; empty where there is nothing."""

    by: str = ""  # in its soft line
    if_left: str = ""
    too_late: str = ""


def loading_words(job: PlannedJob, book: FarmBook, today: date) -> LoadingWords:
    """Return what is said of a load by how late it may go in today."""
    found = deadline_of(job, book, today)
    if found is None:
        return LoadingWords()
    cool = f"{found.lost.cool:%H:%M} {near_day(found.lost.cool.date(), today)}"
    cool = f"cool enough about {cool}; {found.lost.words(today)}"
    if not found.clock:
        return LoadingWords(too_late=f"too late for today: loaded now they are {cool}")
    return LoadingWords(
        f"in by {found.clock}, or they are lost", f"Loaded after {found.clock} they are {cool}."
    )


def loaded_words(job: PlannedJob, at: datetime, book: FarmBook) -> str:
    """Return what is to be said to somebody who has just loaded vessels too late; else nothing."""
    loaded = farm_time(at, book.farm.time_zone).replace(tzinfo=None)
    lost = lost_if_loaded(job, loaded, book)
    if lost is None:
        return ""
    today = loaded.date()
    return (
        f"Loaded at {loaded:%H:%M} they are cool enough about {lost.cool:%H:%M} "
        f"{near_day(lost.cool.date(), today)}; {lost.words(today)}. They are lost unless somebody "
        "comes to inoculate them in that time."
    )


def lost_opening(
    stored: StoredJob, book: FarmBook, today: date, opened: datetime | None = None
) -> Lost | None:
    """Return what is lost of a load by when it is, or was, opened; None: nothing.

    ``opened`` is when that is, by the farm's clock; if not given, when somebody is here to do it
    next.
    """
    job = stored.job
    at = opened or _opened_next(job, book, today)
    if at is None:
        return None
    sooner = _planned_day(job) - timedelta(days=LOADED_BEFORE_DAYS)
    if lost_if_opened(job, at, sooner, book, job.cool_hours) is None:
        return None
    return lost_if_opened(job, at, _loaded_day(job, book), book, job.cool_hours)


def late_opening_words(stored: StoredJob, late_days: int, book: FarmBook, today: date) -> str:
    """Return what it costs that an opening is late, if its vessels are lost by it."""
    lost = lost_opening(stored, book, today) if late_days else None
    if lost is None:
        return ""
    cool = f"{lost.cool:%H:%M} {near_day(lost.cool.date(), today)}"
    late = plural(late_days, "day")
    return f"{late} late: its vessels are cool enough about {cool}; {lost.words(today)}"


def put_off_words(stored: StoredJob, again: date, book: FarmBook, today: date) -> str:
    """Return what putting off an opening costs; nothing if its vessels keep so long."""
    if stored.job.kind is not JobKind.OPEN:
        return ""
    opened = will_open(book, stored.job.steriliser, datetime.combine(again, time(0)))
    lost = lost_opening(stored, book, today, opened)
    if lost is None:
        return ""
    cool = f"{lost.cool:%H:%M} {near_day(lost.cool.date(), today)}"
    return f"Opened then, its vessels are cool enough about {cool}; {lost.words(today)}."


def with_lost_openings(
    stored: Sequence[StoredJob], book: FarmBook, today: date
) -> tuple[StoredJob, ...]:
    """Return the jobs; vessels that nobody inoculates in time are taken out, and not set out."""
    return tuple(_given_up(each, book, today) for each in stored)


def _given_up(stored: StoredJob, book: FarmBook, today: date) -> StoredJob:
    job, kind = stored.job, _kind_of(stored.job, book)
    is_open = job.kind is JobKind.OPEN and not stored.row.is_closed
    if not is_open or kind is None or COOLS not in job.what or job.day > today:
        return stored
    if done_count(stored.entries) or lost_opening(stored, book, today) is None:
        return stored
    what, minutes = job.what.replace(COOLS, GIVEN_UP), max(5, round(kind.hands_minutes / 3))
    return replace(stored, job=replace(job, what=what, minutes=min(job.minutes, minutes)))


def _opened_next(job: PlannedJob, book: FarmBook, today: date) -> datetime | None:
    hour = clock_of(job.fixed_at.removesuffix(NEXT_DAY))
    now = _now(book) if hour_is_known() else datetime.combine(today, time(0))
    if hour is None:
        return will_open(book, job.steriliser, now)
    planned = datetime.combine(job.day, hour) + timedelta(days=is_next_day(job.fixed_at))
    return will_open(book, job.steriliser, max(planned, now))


def _loaded_day(job: PlannedJob, book: FarmBook) -> date:
    """Return the day of a load: on which it went in, else that it is planned for."""
    key = job.key.replace("open:", "cook:", 1)
    loads = stored_jobs(job_store.jobs_by_key(JobKind.COOK.value, key))
    happened = [entry.happened_at for each in loads for entry in each.entries if entry.count]
    if happened:
        return farm_time(min(happened), book.farm.time_zone).date()
    return _planned_day(job)


def _planned_day(job: PlannedJob) -> date:
    parts = job.key.split(":")
    return date.fromisoformat(parts[DAY_IN_KEY]) if len(parts) > DAY_IN_KEY else job.day


def _now(book: FarmBook) -> datetime:
    return farm_time(now_utc(), book.farm.time_zone).replace(tzinfo=None)


def _machine_of(job: PlannedJob, book: FarmBook) -> Steriliser | None:
    return next((each for each in book.sterilisers if each.code == job.steriliser), None)


def _kind_of(job: PlannedJob, book: FarmBook) -> CookKind | None:
    machine = _machine_of(job, book)
    kinds = machine.cooks if machine is not None else ()
    return next((kind for kind in kinds if kind.code == job.cook_kind), None)
