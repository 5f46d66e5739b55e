"""Today: what to do now, in which order, with what and why."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, time

from pinset.chain.register import FarmBook, RoomKind
from pinset.chain.who_is_here import here_on, hours_on
from pinset.errors import RefusedError
from pinset.farm import job_store
from pinset.farm.glance import glance
from pinset.farm.queries.story import last_entry_number
from pinset.farm.stamp import Stamp, stamp
from pinset.services.book_reader import Reader
from pinset.services.clock import at_clock, farm_time, hour_is_known, now_utc
from pinset.services.cooks.ahead.hold_doubted import with_newer_logs
from pinset.services.cooks.ahead.opened_later import opened_after_hold
from pinset.services.day.as_it_was_done import shelves_reached, with_lots_done
from pinset.services.day.fallen_behind import (
    as_missed,
    behind_since,
    missed_loads,
    step_of_the_clock,
)
from pinset.services.day.fitting import Fitted, by_clock, clock_of, fit_jobs, is_next_day
from pinset.services.day.fixed_hours import fixed_hours
from pinset.services.day.job_lines import view_of
from pinset.services.day.out_of_use import out_notes
from pinset.services.day.put_off import without_put_off
from pinset.services.day.sections import by_room, next_day, passed_on
from pinset.services.day.spores import WARNING, was_in_grow_rooms
from pinset.services.jobs.parents_left import with_parents_left
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.jobs.seen_contaminated import bad_of
from pinset.services.jobs.state import StoredJob, done_count, stored_jobs
from pinset.services.jobs.units_standing import with_units_standing
from pinset.services.loads.carried import with_what_was_done
from pinset.services.loads.load_put_off import is_held, without_what_waits
from pinset.services.loads.loaded import opened_after_loading
from pinset.services.loads.loads_after_filling import Moved, fitted_with_loads
from pinset.services.loads.lost_loads import with_lost_openings
from pinset.services.loads.mixed_loads import mixes_asked
from pinset.services.loads.soaking import soaked_until
from pinset.services.loads.standing_wet import wet_notes
from pinset.services.loads.vessels import standing_vessels
from pinset.services.loads.vessels_cool import cool_from
from pinset.services.loads.vessels_doubted import doubted_vessels
from pinset.services.memory import remembered
from pinset.services.plans import planning_day
from pinset.services.plans.spawn_on_order import with_deliveries
from pinset.services.promises.closed_notes import closed_notes
from pinset.services.promises.picked_today import is_empty, with_what_was_picked
from pinset.services.promises.room_notes import room_notes
from pinset.services.promises.short_notes import short_soon
from pinset.services.store.past_in_store import with_past_weight
from pinset.services.store.unserved import unserved
from pinset.services.store.unserved_words import unserved_notes, with_what_serves_nobody
from pinset.services.upkeep.instructions import kind_of_job, unread_notes
from pinset.services.upkeep.jobs import soon_notes
from pinset.services.views import DayView, JobState, JobView
from pinset.services.words import (
    joined,
    long_day,
    minutes_in_words,
    near_day,
    plural,
    sentences,
)

"""What is short within this many days is said on Today; Promises shows the rest."""


def day_view(person: str | None = None, now: datetime | None = None) -> DayView:
    """Return the farm's day as it stands, for anybody or for one person."""
    moment = now or now_utc()
    _, today = planning_day.farm_book(moment)
    return _day(stamp(), today, person or "", step_of_the_clock())


@remembered
def _day(_stamp: Stamp, today: date, person: str, _clock: int) -> DayView:
    book, _ = planning_day.farm_book(at_clock(today, "12:00", "UTC"))
    zone = book.farm.time_zone
    day_begins = at_clock(today, "00:00", zone)
    stored = stored_jobs(job_store.jobs_for(today, day_begins))
    newest = planning_day.latest()
    since = clock_of(newest.laid_from) if newest and newest.plan.start == today else None
    stored = with_what_was_done(opened_after_hold(opened_after_loading(stored, book), book), book)
    stored = with_lost_openings(stored, book, today)
    stored = with_what_was_picked(stored, book, today)
    stored = tuple(each for each in stored if not is_empty(each))
    stored = with_units_standing(without_what_waits(stored, today), book)
    to_lay = [each for each in stored if not is_held(each, stored, today)]
    still_open = [_open_part(each) for each in to_lay if not each.row.is_closed]
    still_open = without_put_off(still_open, stored, today)
    now = now_utc() if hour_is_known() else at_clock(today, here_on(book, today).begins_at, zone)
    cool = cool_from(standing_vessels(), book, now)
    soaked = soaked_until(stored, book, today)

    def laid(first: time | None) -> Moved:
        return fitted_with_loads(
            still_open, lambda jobs: fit_jobs(jobs, book, today, first, cool, soaked), book, today
        )

    moved = laid(since)
    behind = behind_since(still_open, moved.fitted.at, book, today)
    missed: frozenset[str] = frozenset()
    if behind is not None:
        missed = missed_loads(stored, book, today, behind)
        stored = tuple(as_missed(each) if each.row.code in missed else each for each in stored)
        still_open = [each for each in still_open if each[0] not in missed]
        since, moved = behind, laid(behind)
    fitted = moved.fitted
    stored = tuple(replace(each, job=moved.jobs.get(each.row.code, each.job)) for each in stored)
    stored = with_past_weight(with_parents_left(with_deliveries(stored), book), book, today)
    stored = with_lots_done(with_newer_logs(stored, book))
    is_of_today = newest is not None and newest.plan.start == today
    surplus = newest.surplus if newest and is_of_today else None
    shorts = newest.plan.short if newest and is_of_today else ()
    idle = unserved(stored, book, today, surplus, since)
    stored = with_what_serves_nobody(stored, idle, Reader(book, today))
    looks = glance({lot.lot for each in stored for lot in each.job.lots})
    doubted, reached = doubted_vessels(now_utc(), zone), shelves_reached(stored)
    bad = bad_of(stored)
    jobs = [
        view_of(each, book, today, looks, fitted, since, doubted, reached, bad) for each in stored
    ]
    jobs.sort(key=lambda job: (by_clock(job.at), -job.late_days, job.job))
    later = tuple(job for job in jobs if _starts_tomorrow(job, stored, today))
    no_hours = {*fitted.unplaced, *missed} if since is not None else set()
    passing = [job for job in jobs if job.job in no_hours]
    later = tuple(job for job in later if job not in passing)
    sections = tuple(by_room([job for job in jobs if job not in later and job not in passing]))
    sections += passed_on(passing, Reader(book, today))
    return DayView(
        day=today,
        title=long_day(today),
        summary=_summary(jobs, book, today, passing),
        fixed=fixed_hours(jobs, stored, book, today),
        sections=sections,
        later=later,
        changes=newest.changes if newest and newest.plan.start == today else (),
        notes=(
            *out_notes(book, stored, today),
            *wet_notes(book, today),
            *closed_notes(stored, Reader(book, today)),
            *unserved_notes(idle, Reader(book, today), shorts),
            *_notes(newest, book, today),
            *soon_notes(Reader(book, today)),
            *unread_notes(person, {kind_of_job(each.job) for each in stored}, book, today),
        ),
        short=short_soon(newest.plan, Reader(book, today)) if newest else (),
        warnings=(*fitted.warnings, *moved.notes),
        grow_room_warning=_grow_room_warning(person, jobs, book, day_begins),
        plan_age=_plan_age(newest, today, zone),
    )


def job_view(code: str, now: datetime | None = None) -> JobView:
    """Return one job.

    Raises
    ------
    RefusedError
        If there is no such job.
    """
    row = job_store.job_by_code(code)
    if row is None:
        raise RefusedError(f"There is no job {code}.", "Today lists the jobs there are.")
    book, today = planning_day.farm_book(now)
    [stored] = opened_after_hold(opened_after_loading(stored_jobs((row,)), book), book)
    asked = with_lost_openings(with_what_was_done((stored,), book), book, today)
    asked = with_units_standing(with_what_was_picked(asked, book, today), book)
    asked = with_parents_left(with_deliveries(asked), book)
    [stored] = with_lots_done(with_newer_logs(with_past_weight(asked, book, today), book))
    zone = book.farm.time_zone
    looks = glance({lot.lot for lot in stored.job.lots})
    view = view_of(
        stored,
        book,
        today,
        looks,
        Fitted({}, {}, ()),
        doubted=doubted_vessels(now_utc(), zone),
        reached=shelves_reached([stored]),
        bad=bad_of([stored]),
    )
    view = replace(view, mixes=mixes_asked(stored, book))
    is_told_by_its_day = stored.job.kind in {JobKind.COOK, JobKind.OPEN, JobKind.PICK}
    return _as_on_its_day(view, now) if is_told_by_its_day and not stored.row.is_closed else view


def _as_on_its_day(view: JobView, now: datetime | None) -> JobView:
    """Return a load, an opening or a picking with what its day says of it, if it is today's."""
    day = day_view(now=now)
    jobs = [job for section in day.sections for job in section.jobs]
    shown = next((job for job in jobs if job.job == view.job), None)
    if shown is None:
        return view
    return replace(view, at=shown.at, fixed=shown.fixed, due=shown.due, detail=shown.detail)


def _open_part(stored: StoredJob) -> tuple[str, PlannedJob, int]:
    """Return code, content and the minutes that are left of a job."""
    count = max(1, stored.job.count)
    left = max(0, count - done_count(stored.entries))
    return stored.row.code, stored.job, round(stored.job.minutes * left / count)


def _starts_tomorrow(view: JobView, stored: Sequence[StoredJob], today: date) -> bool:
    if view.kind not in {JobKind.PREPARE.value, JobKind.PACK.value}:
        return False
    job = next(each.job for each in stored if each.row.code == view.job)
    return job.for_day is not None and job.for_day > today and not job.follows_a_cook


def _summary(
    jobs: Sequence[JobView], book: FarmBook, today: date, passing: Sequence[JobView]
) -> str:
    waiting = [job for job in jobs if job.state in {JobState.OPEN, JobState.PART}]
    open_jobs = [job for job in waiting if job not in passing]
    finished = sum(job.state is JobState.DONE for job in jobs)
    minutes = sum(job.minutes_left for job in open_jobs if not is_next_day(job.at))
    here = [worker.name for worker in book.workers if hours_on(book, worker, today) > 0]
    on = f"{plural(len(passing), 'job')} for {next_day(Reader(book, today))}" if passing else ""
    if not open_jobs:
        nothing = "Nothing more can be done today" if passing else "Nothing left to do"
        said = f"{nothing}; {plural(finished, 'job')} done" if finished else nothing
        return sentences([said if passing or finished else "Nothing to do today", on])
    hands = f" for {joined(here)}" if here else ""
    return sentences(
        [
            f"{plural(len(open_jobs), 'job')}, about {minutes_in_words(minutes)}{hands}",
            f"{finished} done" if finished else "",
            on,
        ]
    )


def _notes(newest: planning_day.Planned | None, book: FarmBook, today: date) -> tuple[str, ...]:
    if newest is None:
        return ("This farm has not been planned yet.",)
    if newest.plan.start != today:
        return ("The newest plan is of an earlier day; a new one is being made.",)
    return (*newest.late, *newest.no_place, *room_notes(newest.plan, Reader(book, today)))


def _grow_room_warning(
    person: str | None, jobs: Sequence[JobView], book: FarmBook, day_begins: datetime
) -> str:
    if not person:
        return ""
    waiting = [
        job
        for job in jobs
        if job.room_kind == RoomKind.LABORATORY.value
        and job.state in {JobState.OPEN, JobState.PART}
    ]
    if not waiting or not was_in_grow_rooms(person, book, day_begins):
        return ""
    return WARNING


def _plan_age(newest: planning_day.Planned | None, today: date, zone: str) -> str:
    if newest is None:
        return "No plan yet."
    made = farm_time(newest.made_at, zone)
    day = near_day(newest.plan.start, today)
    since_then = last_entry_number() - newest.last_entry
    return sentences(
        [
            f"Planned {day} at {made:%H:%M}, gap {newest.plan.gap:.1%}",
            f"{plural(since_then, 'entry', 'entries')} written since" if since_then > 0 else "",
        ]
    )
