"""The week: the jobs of the coming days by day and place, and what is only expected."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from pinset.chain.register import CLEANLINESS, FarmBook, RoomKind
from pinset.farm import job_store
from pinset.farm.entries import Kind
from pinset.farm.glance import Glance, glance
from pinset.farm.stamp import Stamp, stamp
from pinset.services.book_reader import Reader
from pinset.services.clock import at_clock, farm_time, now_utc
from pinset.services.cooks.ahead.hold_doubted import with_newer_logs
from pinset.services.cooks.ahead.opened_later import opened_after_hold
from pinset.services.day.day_now import DAYS_LAID
from pinset.services.day.fitting import Fitted, by_clock, clock_of
from pinset.services.day.job_lines import view_of
from pinset.services.day.sections import TITLES
from pinset.services.jobs.parents_left import with_parents_left
from pinset.services.jobs.records import JobKind
from pinset.services.jobs.state import StoredJob, state_of, stored_jobs
from pinset.services.jobs.units_standing import with_units_standing
from pinset.services.loads.carried import with_what_was_done
from pinset.services.loads.loaded import opened_after_loading
from pinset.services.loads.vessels_doubted import doubted_vessels
from pinset.services.memory import remembered
from pinset.services.plans import planning_day
from pinset.services.plans.spawn_on_order import with_deliveries
from pinset.services.promises.picked_today import is_empty, with_what_was_picked
from pinset.services.store.past_in_store import with_past_weight
from pinset.services.views import JobState, JobView
from pinset.services.week.expected import (
    Expected,
    deliveries,
    for_outlets,
    picks,
    work_not_laid,
)
from pinset.services.words import long_day, sentences, short_day

DAYS = 7
"""Today and the six days after it."""

LAID_ON_ITS_MORNING = (
    "What is done every day (the round, looks, shaking, picking, packing, handing over) is laid on "
    "the morning of its day. For days after today it stands under Expected, without a box."
)
NOT_LAID = "Not laid out yet: only what the plan expects. It may change."


@dataclass(frozen=True, slots=True)
class WeekPlace:
    """The jobs of one day in one kind of room, in the order of their hours."""

    title: str
    note: str
    jobs: tuple[JobView, ...]


@dataclass(frozen=True, slots=True)
class WeekDay:
    """One day of the week."""

    day: date
    title: str  # "Thursday 12 March"
    is_laid: bool  # its jobs are laid out; else there is only what the plan expects
    is_day_off: bool
    note: str
    places: tuple[WeekPlace, ...]  # in the order of cleanliness
    expected: tuple[Expected, ...]  # no jobs yet

    @property
    def jobs(self) -> tuple[JobView, ...]:
        """Return the jobs of the day."""
        return tuple(job for place in self.places for job in place.jobs)


@dataclass(frozen=True, slots=True)
class WeekView:
    """The jobs of the coming seven days."""

    farm: str
    time_zone: str
    first: date
    last: date
    made_at: datetime  # by the farm's clock
    days: tuple[WeekDay, ...]
    notes: tuple[str, ...]  # what somebody should know first

    @property
    def jobs(self) -> tuple[JobView, ...]:
        """Return the jobs of all days."""
        return tuple(job for day in self.days for job in day.jobs)


def week_view(now: datetime | None = None) -> WeekView:
    """Return the open jobs of today and the six days after it, as they stand."""
    moment = now or now_utc()
    book, today = planning_day.farm_book(moment)
    made_at = farm_time(moment, book.farm.time_zone)
    days, notes = _week(stamp(), today)
    last = today + timedelta(days=DAYS - 1)
    return WeekView(book.farm.name, book.farm.time_zone, today, last, made_at, days, notes)


@remembered
def _week(_stamp: Stamp, today: date) -> tuple[tuple[WeekDay, ...], tuple[str, ...]]:
    book, _ = planning_day.farm_book(at_clock(today, "12:00", "UTC"))
    newest = planning_day.latest()
    reader = Reader(book, today)
    stored = _open(book, today)
    looks = glance({lot.lot for each in stored for lot in each.job.lots})
    by_day = _by_day(stored, book, today, looks)
    plan = newest.plan if newest else None
    laid_until = plan.start + timedelta(days=DAYS_LAID) if plan else today - timedelta(days=1)
    handed = {(s.job.promise, s.job.day) for s in stored if s.job.kind is JobKind.DELIVER}
    days = []
    for ahead in range(DAYS):
        day = today + timedelta(days=ahead)
        is_laid = day <= laid_until
        expected = list[Expected]()
        if ahead:
            expected += deliveries(reader, day, handed)
            expected += picks(plan, reader, day)
            expected += for_outlets(newest.surplus, reader, day) if newest else ()
        if not is_laid:
            expected += work_not_laid(plan, reader, day)
        days.append(
            WeekDay(
                day=day,
                title=long_day(day),
                is_laid=is_laid,
                is_day_off=not reader.works_on(day),
                note="" if is_laid else NOT_LAID,
                places=tuple(_places(by_day[day])),
                expected=tuple(expected),
            )
        )
    return tuple(days), _notes(newest, today)


def _open(book: FarmBook, today: date) -> tuple[StoredJob, ...]:
    """Return the jobs that are still to be done, with the numbers the steps before them left."""
    rows = job_store.jobs_for(today, at_clock(today, "00:00", book.farm.time_zone))
    ahead = [row for row in job_store.open_jobs() if row.day > today]
    stored = opened_after_hold(opened_after_loading(stored_jobs((*rows, *ahead)), book), book)
    done = with_what_was_picked(with_what_was_done(stored, book), book, today)
    still = [each for each in done if not each.row.is_closed and not is_empty(each)]
    still = list(with_units_standing(still, book))
    there = with_parents_left(with_deliveries(still), book)
    return with_newer_logs(with_past_weight(there, book, today), book)


def _by_day(
    stored: Sequence[StoredJob], book: FarmBook, today: date, looks: dict[str, Glance]
) -> dict[date, list[JobView]]:
    doubted = doubted_vessels(now_utc(), book.farm.time_zone)
    found: dict[date, list[JobView]] = defaultdict(list)
    for each in stored:
        is_now = each.job.day <= today
        view = view_of(
            each, book, today, looks, Fitted({}, {}, ()), doubted=doubted if is_now else None
        )
        found[_day_of(each, view, today)].append(view)
    return found


def _day_of(stored: StoredJob, view: JobView, today: date) -> date:
    """Return the day a job is to be done; one that was put off, the day it was put off to."""
    if state_of(stored, today) is not JobState.NOT_TODAY:
        return view.day
    said = [each.details.get("until") for each in stored.entries if each.kind is Kind.PUT_OFF]
    return max(view.day, date.fromisoformat(str(said[-1])))


def _places(jobs: Iterable[JobView]) -> Iterable[WeekPlace]:
    by_room: dict[RoomKind, list[JobView]] = defaultdict(list)
    for job in jobs:
        by_room[RoomKind(job.room_kind)].append(job)
    for kind in sorted(by_room, key=CLEANLINESS.__getitem__):
        here = sorted(by_room[kind], key=_order)
        yield WeekPlace(*TITLES[kind], tuple(here))


def hour_of_job(job: JobView) -> tuple[str, str]:
    """Return the hour of a job and the word before it: none for its own, ``before``, ``by``.

    Both are empty where no hour is said.
    """
    if job.at:
        return "", job.at
    word, _, hour = job.due.rpartition(" ")
    if clock_of(hour) is None:
        return "", ""
    return word or "by", hour


def _order(job: JobView) -> tuple[tuple[bool, str], int, int, int, str]:
    """Return what jobs are sorted by; the tenth comes after the ninth."""
    word, hour = hour_of_job(job)
    rank = 0 if word in {"before", "by"} else 1 if not word else 2
    return by_clock(hour), rank, -job.late_days, len(job.job), job.job


def _notes(newest: planning_day.Planned | None, today: date) -> tuple[str, ...]:
    if newest is None:
        return ("This farm has not been planned yet: plan it, then print again.",)
    if newest.plan.start == today:
        return (LAID_ON_ITS_MORNING,)
    made = short_day(newest.plan.start)
    stale = sentences([f"The newest plan is of {made}", "Plan again, then print again"])
    return (stale, LAID_ON_ITS_MORNING)
