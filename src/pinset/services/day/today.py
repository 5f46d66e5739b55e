"""Today: what to do now, in which order, with what and why."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, time, timedelta

from pinset.chain.in_use import hours_on
from pinset.chain.register import CLEANLINESS, FarmBook, RoomKind
from pinset.chain.stages import noun_of
from pinset.errors import RefusedError
from pinset.farm import job_store
from pinset.farm.glance import Glance, glance
from pinset.farm.queries.story import last_entry_number
from pinset.farm.stamp import Stamp, stamp
from pinset.services import cautions
from pinset.services.book_reader import Reader
from pinset.services.building.task import without
from pinset.services.clock import at_clock, farm_time, hour_is_known, now_utc
from pinset.services.cooks.ahead.hold_doubted import with_newer_logs
from pinset.services.cooks.ahead.opened_later import opened_after_hold
from pinset.services.cultures.due import shelf_notes
from pinset.services.day.fallen_behind import behind_since, step_of_the_clock
from pinset.services.day.fitting import Fitted, by_clock, clock_of, fit_jobs, is_next_day
from pinset.services.day.fixed_hours import fixed_hours
from pinset.services.day.hanging_on import NAMING, with_what_hangs
from pinset.services.day.lateness import late_cost, unplaced_cost
from pinset.services.day.out_of_use import out_notes
from pinset.services.day.spores import WARNING, was_in_grow_rooms
from pinset.services.day.weights_said import counted
from pinset.services.jobs.parents_left import with_parents_left
from pinset.services.jobs.records import ACTS, ON_ITS_LOTS, JobKind, LotAmount, PlannedJob
from pinset.services.jobs.state import StoredJob, done_by_lot, done_count, state_of, stored_jobs
from pinset.services.jobs.units_standing import with_units_standing
from pinset.services.loads.carried import with_what_was_done
from pinset.services.loads.cooling import with_cooling
from pinset.services.loads.load_put_off import is_held, without_what_waits
from pinset.services.loads.loaded import opened_after_loading
from pinset.services.loads.loads_after_filling import Moved, fitted_with_loads
from pinset.services.loads.mixed_loads import mixes_asked
from pinset.services.loads.soaking import soaked_until
from pinset.services.loads.standing_wet import wet_notes
from pinset.services.loads.vessels import standing_vessels
from pinset.services.loads.vessels_cool import cool_from
from pinset.services.loads.vessels_doubted import doubted_vessels, stop_words
from pinset.services.memory import remembered
from pinset.services.plans import planning_day
from pinset.services.plans.spawn_on_order import with_deliveries
from pinset.services.promises.picked_today import is_empty, with_what_was_picked
from pinset.services.promises.short_notes import short_notes
from pinset.services.store.past_in_store import with_past_weight
from pinset.services.views import DayView, JobState, JobView, LotUse, Section
from pinset.services.words import (
    joined,
    long_day,
    minutes_in_words,
    near_day,
    plural,
    sentences,
)

SOON_DAYS = 21
"""What is short within this many days is said on Today; Promises shows the rest."""

TITLES = {
    RoomKind.LABORATORY: ("Laboratory", "first, before any other room"),
    RoomKind.INCUBATION: ("Shelves", ""),
    RoomKind.COLD: ("Cold store", ""),
    RoomKind.STERILISER: ("Steriliser", ""),
    RoomKind.PREPARATION: ("Preparation", ""),
    RoomKind.PACKING: ("Packing", ""),
    RoomKind.GROWING: ("Grow rooms", "last; not back to the laboratory after this"),
}


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
    stored = with_what_was_picked(stored, book, today)
    stored = tuple(each for each in stored if not is_empty(each))
    stored = with_units_standing(without_what_waits(stored, today))
    to_lay = [each for each in stored if not is_held(each, stored, today)]
    still_open = [_open_part(each) for each in to_lay if not each.row.is_closed]
    now = now_utc() if hour_is_known() else at_clock(today, book.farm.day_starts, zone)
    cool = cool_from(standing_vessels(), book, now)
    soaked = soaked_until(stored, book, today)

    def laid(first: time | None) -> Moved:
        return fitted_with_loads(
            still_open, lambda jobs: fit_jobs(jobs, book, today, first, cool, soaked), book, today
        )

    moved = laid(since)
    behind = behind_since(still_open, moved.fitted.at, book.farm.day_starts, zone, today)
    if behind is not None:
        since, moved = behind, laid(behind)
    fitted = moved.fitted
    stored = tuple(replace(each, job=moved.jobs.get(each.row.code, each.job)) for each in stored)
    stored = with_past_weight(with_parents_left(with_deliveries(stored), book), book, today)
    stored = with_newer_logs(stored, book)
    looks = glance({lot.lot for each in stored for lot in each.job.lots})
    doubted = doubted_vessels(now_utc(), zone)
    jobs = [view_of(each, book, today, looks, fitted, since, doubted) for each in stored]
    jobs.sort(key=lambda job: (by_clock(job.at), -job.late_days, job.job))
    later = tuple(job for job in jobs if _starts_tomorrow(job, stored, today))
    sections = tuple(_sections([job for job in jobs if job not in later]))
    return DayView(
        day=today,
        title=long_day(today),
        summary=_summary(jobs, book, today),
        fixed=fixed_hours(jobs, stored, book, today),
        sections=sections,
        later=later,
        changes=newest.changes if newest and newest.plan.start == today else (),
        notes=(
            *out_notes(book, stored, today),
            *wet_notes(book, today),
            *_notes(newest, book, today),
            *shelf_notes(Reader(book, today)),
        ),
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
    asked = with_what_was_done((stored,), book)
    asked = with_units_standing(with_what_was_picked(asked, book, today))
    asked = with_parents_left(with_deliveries(asked), book)
    [stored] = with_newer_logs(with_past_weight(asked, book, today), book)
    zone = book.farm.time_zone
    looks = glance({lot.lot for lot in stored.job.lots})
    view = view_of(
        stored, book, today, looks, Fitted({}, {}, ()), doubted=doubted_vessels(now_utc(), zone)
    )
    return replace(view, mixes=mixes_asked(stored, book))


def _open_part(stored: StoredJob) -> tuple[str, PlannedJob, int]:
    """Return code, content and the minutes that are left of a job."""
    count = max(1, stored.job.count)
    left = max(0, count - done_count(stored.entries))
    return stored.row.code, stored.job, round(stored.job.minutes * left / count)


def view_of(
    stored: StoredJob,
    book: FarmBook,
    today: date,
    looks: dict[str, Glance],
    fitted: Fitted,
    since: time | None = None,
    doubted: Mapping[str, str] | None = None,
) -> JobView:
    """Return a job as people and programs see it.

    Parameters
    ----------
    looks : dict of lot code to Glance
        Of the lots it names.
    fitted : Fitted
        Hours and people by job; may be empty.
    since : datetime.time, optional
        The hour from which today's work was laid.
    doubted : mapping of lot code to words, optional
        Vessels that are not to be used without a reason.
    """
    job, row = stored.job, stored.row
    late = max(0, (today - (job.first_day or job.day)).days)
    reader = Reader(book, today)
    if late and not row.is_closed and job.kind in NAMING:
        newest = planning_day.latest()
        job = with_what_hangs(job, newest.plan if newest else None, reader)
    said = counted(job, book.farm.units, stored.entries)
    cost = "" if row.is_closed else late_cost(job, late, max(job.day, today))
    if not cost and since is not None and row.code in fitted.unplaced:
        cost = unplaced_cost(job, today)
    return JobView(
        job=row.code,
        kind=job.kind.value,
        task=job.task,
        day=max(job.day, today) if not row.is_closed else job.day,
        count=said.count,
        unit=said.unit,
        what=said.what,
        detail=with_cooling(stored, reader),
        stage=job.stage,
        step=job.step,
        variety=job.variety_name,
        variety_code=job.variety,
        place=job.place,
        room_kind=job.room_kind,
        from_lots=tuple(
            _lot_use(lot.lot, lot.units, looks, reader, today) for lot in _lots_left(stored)
        ),
        minutes=job.minutes,
        due=job.due,
        at=job.fixed_at or fitted.at.get(row.code, ""),
        fixed=bool(job.fixed_at),
        suits=fitted.who.get(row.code, ""),
        why=job.why,
        serves=job.serves,
        spoils=job.spoils,
        late_days=late if not row.is_closed else 0,
        late_cost=cost,
        state=state_of(stored, today),
        done_count=said.done_count,
        done_said=said.done_said,
        claimed_by=row.claimed_name,
        cautions=cautions.sentences(job.cautions),
        act=ACTS[job.kind],
        last_entry=stored.entries[-1].client_id if stored.entries else "",
        link=_link(job),
        stop="" if row.is_closed else stop_words(job, doubted or {}),
    )


def _link(job: PlannedJob) -> str:
    """Return the page on which a job is done, if that is not its own form."""
    if job.kind is JobKind.JUDGE:
        return f"/heat/cook/{job.cook}/"
    return f"/heat/cook/{job.cook}/#made" if job.kind is JobKind.DECIDE else ""


def _lots_left(stored: StoredJob) -> tuple[LotAmount, ...]:
    """Return the lots of a job; of one that is part done, what is left of each."""
    job = stored.job
    if stored.row.is_closed or job.kind not in ON_ITS_LOTS:
        return job.lots
    return without(job.lots, done_by_lot(stored))


def _lot_use(
    code: str, units: int, looks: dict[str, Glance], reader: Reader, today: date
) -> LotUse:
    seen = looks.get(code)
    if seen is None:
        return LotUse(code, units, 0, "not in the books")
    noun = noun_of(seen.stage, 2, is_bought=reader.is_bought(seen.variety, seen.step))
    age = f", day {(today - seen.made_on).days}" if seen.made_on else ""
    name = reader.name(seen.variety)
    return LotUse(code, units, seen.alive, f"{noun}, {name}{age}".strip(", "), seen.place)


def _starts_tomorrow(view: JobView, stored: Sequence[StoredJob], today: date) -> bool:
    if view.kind not in {JobKind.PREPARE.value, JobKind.PACK.value}:
        return False
    job = next(each.job for each in stored if each.row.code == view.job)
    return job.for_day is not None and job.for_day > today and not job.follows_a_cook


def _sections(jobs: Sequence[JobView]) -> Iterable[Section]:
    by_room: dict[RoomKind, list[JobView]] = defaultdict(list)
    for job in jobs:
        by_room[RoomKind(job.room_kind)].append(job)
    for kind in sorted(by_room, key=CLEANLINESS.__getitem__):
        title, note = TITLES[kind]
        jobs_here = tuple(by_room[kind])
        said = dict.fromkeys(caution for job in jobs_here for caution in job.cautions)
        yield Section(title, note, jobs_here, tuple(said))


def _summary(jobs: Sequence[JobView], book: FarmBook, today: date) -> str:
    open_jobs = [job for job in jobs if job.state in {JobState.OPEN, JobState.PART}]
    finished = sum(job.state is JobState.DONE for job in jobs)
    minutes = sum(job.minutes_left for job in open_jobs if not is_next_day(job.at))
    here = [worker.name for worker in book.workers if hours_on(book, worker, today) > 0]
    if not open_jobs:
        return sentences(
            [
                f"Nothing left to do; {plural(finished, 'job')} done"
                if finished
                else "Nothing to do today"
            ]
        )
    hands = f" for {joined(here)}" if here else ""
    return sentences(
        [
            f"{plural(len(open_jobs), 'job')}, about {minutes_in_words(minutes)}{hands}",
            f"{finished} done" if finished else "",
        ]
    )


def _notes(newest: planning_day.Planned | None, book: FarmBook, today: date) -> tuple[str, ...]:
    if newest is None:
        return ("This farm has not been planned yet.",)
    if newest.plan.start != today:
        return ("The newest plan is of an earlier day; a new one is being made.",)
    soon = [s for s in newest.plan.short if today <= s.day <= today + timedelta(days=SOON_DAYS)]
    return (*newest.late, *newest.no_place, *short_notes(soon, Reader(book, today)))


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
