"""The jobs a plan gives: its starts and moves, its cooks, and what prepares for them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, time
from math import ceil

from pinset.chain.day_hours import HOUR
from pinset.chain.register import FarmBook, StepKind
from pinset.chain.vessel_keys import VesselKey, vessel_key
from pinset.chain.who_is_here import here_on, hours_on
from pinset.planning.plan import Plan, Start
from pinset.services.book_reader import Reader
from pinset.services.day.hours_left import STEP_MINUTES, HoursLeft
from pinset.services.jobs.of_cooks import (
    WHOLE,
    cook_jobs,
    late_loads,
    loads_of,
    set_hours,
    too_late,
)
from pinset.services.jobs.of_starts import NEARLY, move_job, one_move_a_day, transfer_job
from pinset.services.jobs.one_culture import by_culture
from pinset.services.jobs.preparing import clock_moment, preparation_jobs
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.loads.begun import since_hours
from pinset.services.loads.in_reach import InReach
from pinset.services.loads.loads_in_time import Load, never_used
from pinset.services.loads.soaking import chain_minutes
from pinset.services.loads.uncooked import mix_in
from pinset.services.loads.what_waits import Mix, Waiting, mix_of
from pinset.services.words import joined


@dataclass(frozen=True, slots=True)
class Standing:
    """Prepared vessels of one lot, and from when on they may be used."""

    lot: str
    units: int
    first_day: date


def taken(standing: list[Standing], wanted: int, day: date) -> dict[str, int]:
    """Take up to so many vessels that may be used on a day off what stands; say which, by lot."""
    found: dict[str, int] = {}
    for place, each in enumerate(standing):
        units = min(each.units, wanted - sum(found.values())) if each.first_day <= day else 0
        if units:
            found[each.lot] = found.get(each.lot, 0) + units
            standing[place] = replace(each, units=each.units - units)
    return found


def _with_vessels(
    job: PlannedJob, start: Start, standing: dict[VesselKey, list[Standing]], reader: Reader
) -> PlannedJob:
    """Return the job naming the prepared vessels it takes; they are taken off what stands."""
    if start.is_purchase:
        return job
    key = vessel_key(reader.step(start.variety, start.step))
    wanted = round(start.count)
    named = taken(standing.get(key, []), wanted, start.day)
    left = wanted - sum(named.values())
    if not named:
        return job
    short = f", {left} still to be prepared" if left else ""
    detail = f"{job.detail}; into vessels {joined(list(named))}{short}"
    return replace(job, detail=detail, vessels=tuple(named))


def units_counted_on(plan: Plan, until: date = date.max) -> dict[str, int]:
    """Return the whole units of each lot alive that the plan moves or uses up to a day."""
    moved = [share for move in plan.moves if move.day <= until for share in move.lots]
    used = [
        share
        for start in plan.starts
        if start.day <= until
        for parent in start.parents
        for share in parent.lots
    ]
    units: dict[str, float] = defaultdict(float)
    for share in (*moved, *used):
        units[share.lot] += share.units
    return {lot: ceil(total - NEARLY) for lot, total in units.items()}


def still_to_prepare(
    starts: Sequence[Start], prepared: Mapping[VesselKey, Sequence[Standing]], reader: Reader
) -> tuple[Start, ...]:
    """Return the starts, soonest first, with as many units as have no prepared vessel yet."""
    left = {key: list(lots) for key, lots in prepared.items()}
    wanting = []
    for start in sorted(starts, key=lambda each: each.day):
        if start.is_purchase or reader.step(start.variety, start.step).kind is StepKind.BUY:
            continue
        if start.assumes_prepared:
            continue  # its vessels stand ready, as far as the plan knows
        key = vessel_key(reader.step(start.variety, start.step))
        ready = sum(taken(left.get(key, []), round(start.count), start.day).values())
        if round(start.count) > ready:
            wanting.append(replace(start, count=round(start.count) - ready))
    return tuple(wanting)


@dataclass(frozen=True, slots=True)
class FromPlan:
    """The jobs a plan gives, and the sterilisers whose cooks no longer end within today's hours."""

    jobs: tuple[PlannedJob, ...]
    too_late: frozenset[str] = frozenset()


def jobs_from_plan(
    plan: Plan,
    book: FarmBook,
    today: date,
    last: date,
    prepared: Mapping[VesselKey, Sequence[Standing]],
    left: HoursLeft = WHOLE,
    waiting: Waiting | None = None,
    is_settled: Callable[[PlannedJob], bool] = lambda _: False,
    cultures: Mapping[str, str] | None = None,
) -> FromPlan:
    """Return the jobs the plan gives for the days from ``today`` to ``last``.

    Parameters
    ----------
    plan, book : Plan, FarmBook
        The plan and the farm it is for.
    today, last : date
        First and last day of interest.
    prepared : mapping of VesselKey to Standing
        Prepared vessels that stand ready, by what they are and oldest first; starts they serve
        need no preparation.
    left : HoursLeft
        What is left of today; in the middle of a day cooks are laid to the next hour they can
        begin at.
    waiting : Waiting, optional
        What was prepared for a cook that has not taken it yet.
    is_settled : callable
        Says whether a job is not asked for again today.
    cultures : mapping of lot code to culture, optional
        Of the lots alive; a start from several cultures becomes a job for each.

    Preparation that falls before ``today`` for work that is still ahead is put on today: better
    late and seen than left out.
    """
    reader = Reader(book, today)
    jobs: list[PlannedJob] = []
    near = [start for start in plan.starts if not start.provisional and round(start.count) > 0]
    standing = {key: list(lots) for key, lots in prepared.items()}
    jobs += [
        _with_vessels(transfer_job(part, reader, culture), part, standing, reader)
        for start in sorted(near, key=lambda each: each.day)
        if today <= start.day <= last
        for culture, part in by_culture(start, cultures or {}, reader)
    ]
    jobs += [
        move_job(move, reader)
        for move in one_move_a_day(plan.moves)
        if not move.provisional and today <= move.day <= last and round(move.count) > 0
    ]
    wanting = still_to_prepare(near, prepared, reader)
    cooks = [cook for cook in plan.cooks if not cook.provisional]
    waiting = (waiting or Waiting()).reaching_back(book)
    in_reach = InReach(book, today, since_hours(left.since), waiting)
    loads = loads_of(cooks, wanting, reader, left, in_reach)
    since = left.since or clock_moment(here_on(book, today).begins_at).time()
    filled = _filled_by(loads, since, waiting, is_settled, reader)
    set_hours(loads, reader, left, filled)
    late = late_loads(loads, reader, left) | never_used(loads, reader)
    if left.since is None and late:
        kept = {code: minute for code, minute in filled.items() if code not in late}
        set_hours(loads, reader, left, kept)
    for load in loads:
        if today <= load.day <= last:
            jobs += cook_jobs(load, reader)
    wanted = _wanted(loads, reader)
    for (day, load_at), fed in _together(loads, reader).items():
        jobs += preparation_jobs(fed, day, load_at, reader, waiting, left.since, wanted)
    cookless = [
        start
        for start in wanting
        if start.day >= today and not reader.step(start.variety, start.step).cook
    ]
    jobs += preparation_jobs(cookless, None, "", reader)
    return FromPlan(
        tuple(job for job in jobs if today <= job.day <= last or job.kind is JobKind.OPEN),
        too_late(loads, today, left) | never_used(loads, reader),
    )


def _together(loads: Sequence[Load], reader: Reader) -> dict[tuple[date, str], list[Start]]:
    """Return the starts by the day and the hour their vessels must be filled by.

    What is alike and goes into several loads of a day is prepared at once, for the first of them.
    """
    first: dict[tuple[date, Mix], str] = {}
    together: dict[tuple[date, str], list[Start]] = defaultdict(list)
    for load in sorted(loads, key=lambda each: (each.day, each.at)):
        for start in load.starts:
            mix = mix_of(reader.step(start.variety, start.step))
            hour = first.setdefault((load.day, mix), f"{load.at:%H:%M}")
            together[load.day, hour].append(start)
    return together


def _wanted(loads: Sequence[Load], reader: Reader) -> dict[Mix, dict[date, int]]:
    """Return the units of each mix that the loads of each day hold."""
    found: dict[Mix, dict[date, int]] = defaultdict(dict)
    for load in loads:
        for start in load.starts:
            days = found[mix_of(reader.step(start.variety, start.step))]
            days[load.day] = days.get(load.day, 0) + round(start.count)
    return found


def _filled_by(
    loads: Sequence[Load],
    since: time,
    waiting: Waiting,
    is_settled: Callable[[PlannedJob], bool],
    reader: Reader,
) -> dict[str, int]:
    """Return for each steriliser the minute of today by which its vessels can be filled.

    What follows on itself (soak, boil, fill) takes its whole time; apart from that the work is
    shared by everybody here.
    """
    waiting = waiting.copied()
    here = here_on(reader.book, reader.today)
    people = sum(hours_on(reader.book, w, reader.today) > 0 for w in reader.book.workers)
    found: dict[str, int] = {}
    wanted = _wanted(loads, reader)
    for load in loads:
        if load.day != reader.today or load.steriliser.code in found:
            continue
        hour = f"{load.at:%H:%M}"
        jobs = preparation_jobs(load.starts, load.day, hour, reader, waiting, wanted=wanted)
        chains: dict[Mix, list[PlannedJob]] = defaultdict(list)
        for job in (each for each in jobs if not is_settled(each)):
            chains[mix_in(job)].append(job)
        shared = ceil(sum(j.minutes for each in chains.values() for j in each) / max(1, people))
        began = since.hour * HOUR + since.minute
        lasting = max(map(chain_minutes, chains.values()), default=0)
        minute = max(here.worked_by(began, shared), began + lasting)
        found[load.steriliser.code] = ceil(minute / STEP_MINUTES) * STEP_MINUTES
    return found
