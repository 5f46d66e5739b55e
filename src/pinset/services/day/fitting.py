"""The day's jobs fitted round the hours that do not move."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time
from types import MappingProxyType

from pinset.chain.register import CLEANLINESS, FarmBook, RoomKind
from pinset.chain.stages import Stage
from pinset.chain.who_is_here import here_on, spans_on
from pinset.planning.day.day import Hands, Task, fit_day
from pinset.services.day.can_wait import days_it_waits
from pinset.services.day.weights_said import counted
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.loads.soaking import is_prepared_before, minutes_to_pass
from pinset.services.plans.spawn_on_order import after_its_delivery

MINUTES = 60
NEXT_DAY = " next day"
DAY_IN_KEY = 3  # cook:steriliser:kind:day:number
"""Stands behind an hour that is tomorrow's."""

SPARE_MINUTES = 30
"""Between the end of packing and the van; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Fitted:
    """Clock times by job code, and what could not be kept."""

    at: dict[str, str]
    who: dict[str, str]  # the name of whoever it would suit
    warnings: tuple[str, ...]
    unplaced: tuple[str, ...] = ()  # codes of jobs for which no hours are left


def clock_of(text: str) -> time | None:
    """Return a clock time such as ``10:30``, or None for anything else."""
    parts = text.split(":")
    if len(parts) != 2 or not all(part.isdigit() for part in parts):  # noqa: PLR2004  (hours, minutes)
        return None
    hours, minutes = (int(part) for part in parts)
    return time(hours, minutes) if hours < 24 and minutes < MINUTES else None  # noqa: PLR2004


def is_next_day(hour: str) -> bool:
    """Say whether an hour in words is tomorrow's: ``05:30 next day``."""
    return hour.endswith(NEXT_DAY)


def by_clock(hour: str) -> tuple[bool, str]:
    """Return what hours in words are sorted by: today's, then no hour, then tomorrow's."""
    return (is_next_day(hour), hour or "~")


def fit_jobs(
    jobs: Sequence[tuple[str, PlannedJob, int]],
    book: FarmBook,
    today: date,
    since: time | None = None,
    cool: Mapping[str, datetime] = MappingProxyType({}),
    soaked: Mapping[str, datetime] = MappingProxyType({}),
) -> Fitted:
    """Return a clock time for each open job (code, content, minutes left) that fits today.

    ``since`` is the hour from which work is laid, where that is not the beginning of the day;
    ``cool`` says from when on prepared lots that are still warm may be inoculated, ``soaked`` from
    when on jobs may begin that follow work which must last.
    """
    farm = book.farm
    people = [Hands(w.code, w.name, spans_on(book, w, today), w.laboratory) for w in book.workers]
    here = here_on(book, today)
    starts = time(*divmod(here.begins, MINUTES))
    packing = sum(minutes for _, job, minutes in jobs if _is_packed_for_today(job))
    hours = [job.fixed_at for _, job, _ in jobs if job.kind is JobKind.DELIVER and job.fixed_at]
    later = [hour for hour in hours if (clock_of(hour) or starts) > starts]
    begins = packing_begins(min(later, default=farm.van_at), packing, here.ends)
    after = what_follows(jobs)
    tasks = [
        replace(
            _task(code, job, minutes, begins),
            words=counted(job, farm.units).words,
            after=after.get(code, ()),
            waits_days=days_it_waits(job),
            rests=_rests(job, jobs),
            rank=_rank(
                code, job, after, is_lab_staffed=any(p.laboratory and p.minutes for p in people)
            ),
        )
        for code, job, minutes in jobs
        if (job.kind is not JobKind.DELIVER or not job.fixed_at) and not is_next_day(job.fixed_at)
    ]
    until = {s.code: clock_of(s.opened_until) for s in book.sterilisers}
    of_cooks = {JobKind.OPEN, JobKind.COOK}
    comes = {code: until.get(job.steriliser) for code, job, _ in jobs if job.kind in of_cooks}
    tasks = [replace(task, comes_until=comes.get(task.key)) for task in tasks]
    early = {code for code, job, _ in jobs if job.kind is JobKind.OPEN}
    tasks = [_not_before(starts, task) if task.key in early else task for task in tasks]
    tasks = [_before_its_load(task, jobs) for task in tasks]
    warm = {code: _cool_today(job, cool, today) for code, job, _ in jobs}
    tasks = [replace(task, earliest=warm[task.key] or task.earliest) for task in tasks]
    tasks = [_after_soaking(task, soaked.get(task.key), today) for task in tasks]
    names = {worker.code: worker.name for worker in book.workers}
    fitted = fit_day([*tasks, *_handing_over(jobs)], people, since)
    return Fitted(
        {slot.key: f"{slot.start:%H:%M}" for slot in fitted.slots},
        {slot.key: names[slot.person] for slot in fitted.slots if slot.person},
        fitted.warnings,
        fitted.unplaced,
    )


def _cool_today(job: PlannedJob, cool: Mapping[str, datetime], today: date) -> time | None:
    """Return from when on today the vessels a transfer takes are cool; None: now.

    Where that is not today any more, it is the end of the day: nothing fits in after it.
    """
    moments = [cool[code] for code in job.vessels if code in cool]
    latest = max(moments, default=None)
    if latest is None or latest.date() < today:
        return None
    return latest.time() if latest.date() == today else time.max


def _rests(
    job: PlannedJob, jobs: Sequence[tuple[str, PlannedJob, int]]
) -> tuple[tuple[str, int], ...]:
    """Return the jobs after whose begin so many minutes must pass before this one."""
    passing = ((code, minutes_to_pass(other, job)) for code, other, _ in jobs)
    return tuple((code, minutes) for code, minutes in passing if minutes)


def _after_soaking(task: Task, until: datetime | None, today: date) -> Task:
    """Return the task not before what was begun for it has lasted; not at all if that is later."""
    if until is None or until.date() < today:
        return task
    earliest = until.time() if until.date() == today else time.max
    return replace(task, earliest=max(earliest, task.earliest or earliest))


def _not_before(starts: time, task: Task) -> Task:
    """Return the task of an opening; one that is possible before work begins has no fixed hour."""
    if task.fixed_at is not None and task.fixed_at < starts:
        return replace(task, fixed_at=None, earliest=task.fixed_at)
    return task


def _before_its_load(task: Task, jobs: Sequence[tuple[str, PlannedJob, int]]) -> Task:
    """Return the task of an opening before the load that waits for it, and so before other work."""
    opening = next((job for code, job, _ in jobs if code == task.key), None)
    if task.fixed_at is not None or opening is None or opening.kind is not JobKind.OPEN:
        return task
    loads = [job for _, job, _ in jobs if is_loaded_after(opening, job)]
    hours = [hour for job in loads if (hour := clock_of(job.fixed_at)) is not None]
    by = min(hours, default=task.latest_end)
    return replace(task, comes_first=True, latest_end=by) if loads else task


def what_follows(jobs: Sequence[tuple[str, PlannedJob, int]]) -> dict[str, tuple[str, ...]]:
    """Return, by job code, the jobs that must have ended before it begins.

    Soaked before boiled before filled; opened before poured before the transfer it is for; picked
    before packed; spent units out of a room before new ones come in; a delivery counted in before
    its use; a cook judged before its vessels are inoculated.
    """
    found: dict[str, tuple[str, ...]] = {}
    for code, job, _ in jobs:
        before = [other_code for other_code, other, _ in jobs if _precedes(other, job)]
        if before:
            found[code] = tuple(before)
    return found


def _goes_today(pick: PlannedJob) -> bool:
    """Say whether today's van takes some of what is picked; what is in store is taken first."""
    return pick.due.startswith("before ")


def _precedes(first: PlannedJob, second: PlannedJob) -> bool:
    if first.kind is JobKind.PREPARE and second.kind is JobKind.PREPARE:
        return is_prepared_before(first, second)
    if first.kind is JobKind.PICK and second.kind is JobKind.PACK:
        return second.unit == "kg" and (not _is_packed_for_today(second) or _goes_today(first))
    if first.kind is JobKind.ROUND and second.kind is JobKind.PICK:
        return True  # the round says what is ripe
    if first.kind is JobKind.CLEAR and second.kind is JobKind.MOVE:
        return first.place == second.place or first.room == second.to_room
    return (
        after_its_delivery(first, second)
        or _is_judged_for(first, second)
        or _is_about_one_cook(first, second)
    )


def _is_about_one_cook(first: PlannedJob, second: PlannedJob) -> bool:
    """Say whether a cook is opened before work that follows it, or that is before its transfer."""
    if first.kind is JobKind.OPEN and _needs_it_open(first, second):
        return True
    if first.kind is JobKind.OPEN and second.follows_a_cook:
        return second.key.endswith(first.key.replace("open:", ":cook:", 1))
    if first.follows_a_cook and second.kind is JobKind.TRANSFER:
        steps = {feed.step for feed in first.feeds}
        return second.step in steps and (first.for_day or second.day) <= second.day
    return False


def is_loaded_after(opening: PlannedJob, job: PlannedJob) -> bool:
    """Say whether a job loads the steriliser that the opening of an earlier load empties."""
    return (
        opening.kind is JobKind.OPEN and job.kind is JobKind.COOK and _needs_it_open(opening, job)
    )


def _needs_it_open(opening: PlannedJob, job: PlannedJob) -> bool:
    """Say whether an earlier load is to be out before a job: a new load, a transfer, throwing out.

    The keys of a cook and its opening end with the day it is loaded and its number on that day.
    """
    cooked = opening.key.split(":")[DAY_IN_KEY:]
    if job.kind is JobKind.COOK and job.steriliser == opening.steriliser:
        return cooked < job.key.split(":")[DAY_IN_KEY:]
    is_of_vessels = job.kind is JobKind.DISCARD and job.stage == Stage.PREPARED.value
    if not (job.kind is JobKind.TRANSFER or is_of_vessels) or job.step not in {
        feed.step for feed in opening.feeds
    }:
        return False
    return cooked < [job.day.isoformat()]


def _is_judged_for(first: PlannedJob, second: PlannedJob) -> bool:
    """Say whether a cook is judged whose vessels a transfer may take."""
    if first.kind is not JobKind.JUDGE or second.kind is not JobKind.TRANSFER:
        return False
    return second.step in {feed.step for feed in first.feeds}


def _handing_over(jobs: Sequence[tuple[str, PlannedJob, int]]) -> list[Task]:
    """Return one task for all that is handed over at the same hour: one person loads the van."""
    hours: dict[str, list[tuple[str, PlannedJob, int]]] = {}
    for each in jobs:
        if each[1].kind is JobKind.DELIVER and each[1].fixed_at:
            hours.setdefault(each[1].fixed_at, []).append(each)
    return [
        Task(
            key=together[0][0],
            words=f"handing over at {at}",
            minutes=sum(minutes for _, _, minutes in together),
            rank=CLEANLINESS[RoomKind.PACKING],
            fixed_at=clock_of(at),
        )
        for at, together in hours.items()
    ]


def _rank(
    code: str, job: PlannedJob, after: Mapping[str, tuple[str, ...]], *, is_lab_staffed: bool
) -> int:
    """Return the cleanliness of a job's room.

    Judging a cook is paper work that anybody may do; where the laboratory waits for it, it is done
    first and before dirtier work, as the laboratory's own.
    """
    is_judging = job.kind is JobKind.JUDGE
    if is_judging and is_lab_staffed and any(code in before for before in after.values()):
        return CLEANLINESS[RoomKind.LABORATORY]
    return CLEANLINESS[RoomKind.STERILISER if is_judging else RoomKind(job.room_kind)]


def _task(
    code: str,
    job: PlannedJob,
    minutes: int,
    packing: time | None,
) -> Task:
    latest = clock_of(job.due.removeprefix("before ")) if job.due.startswith("before ") else None
    earliest = None
    if _is_packed_for_today(job):
        earliest = packing
    elif job.follows_a_cook:
        earliest = clock_of(job.due.removeprefix("after "))
    elif job.kind is JobKind.PICK and _goes_today(job):
        latest = packing  # what the van takes is picked before it is packed
    return Task(
        key=code,
        words=f"{job.count} {job.what}",
        minutes=max(1, minutes),
        rank=CLEANLINESS[RoomKind(job.room_kind)],
        fixed_at=clock_of(job.fixed_at),
        earliest=earliest,
        latest_end=latest,
    )


def _is_packed_for_today(job: PlannedJob) -> bool:
    return job.kind is JobKind.PACK and job.due.startswith("before ")


def packing_begins(van_at: str, minutes: int, day_ends: int = 24 * MINUTES) -> time | None:
    """Return when packing should begin to be done well before the van and the end of work."""
    van = clock_of(van_at)
    if van is None:
        return None
    done_by = min(van.hour * MINUTES + van.minute - SPARE_MINUTES, day_ends)
    begin = max(0, done_by - minutes)
    return time(begin // MINUTES, begin % MINUTES)
