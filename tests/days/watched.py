"""What must hold on every page of Today, reckoned from the farm's book and its lots alone."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import date, time, timedelta

from days.robot import NEXT_DAY, WAITING, Robot, clock_time, is_today, jobs_of
from pinset.chain.living import LivingLot
from pinset.chain.plain import from_plain
from pinset.chain.readiness import keeps_until, ready_on
from pinset.chain.register import FarmBook, StepKind, Worker
from pinset.farm import job_store
from pinset.planning.plan import Plan
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.plans.planning_day import Planned
from pinset.services.plans.stock_now import living_now
from pinset.services.views import DayView, JobView

HOUR = 60
Problems = Iterator[str]
Work = tuple[str, str, str]
"""Kind of work, what of, step."""


def minute(clock: time) -> int:
    """Return the minute of the day."""
    return clock.hour * HOUR + clock.minute


def times_of(book: FarmBook, worker: Worker, day: date) -> list[tuple[int, int]]:
    """Return from when until when somebody works on a day; none: not at all."""
    farm, begins = book.farm, minute(clock_time(book.farm.day_starts))
    is_open = day not in farm.days_off and day.weekday() in {d.number for d in farm.working_days}
    away = any(
        o.which == worker.code and o.from_date <= day <= o.until
        for o in book.outages
        if o.what.value == "person"
    )
    hours = worker.hours[day.weekday()] if is_open and not away else 0.0
    if not isinstance(hours, str):
        return [(begins, begins + round(hours * HOUR))] if hours else []
    ends = [each.strip().split("-") for each in hours.split(",")]
    return [(minute(clock_time(first)), minute(clock_time(last))) for first, last in ends]


def first_hour(book: FarmBook, day: date) -> int:
    """Return when the first one comes on a day."""
    begins = [first for w in book.workers for first, _ in times_of(book, w, day)]
    return min(begins, default=minute(clock_time(book.farm.day_starts)))


def is_here(book: FarmBook, day: date, begins: int, ends: int, *, clean: bool = False) -> bool:
    """Say whether one person is there all through a time of a day."""
    able = [w for w in book.workers if w.laboratory or not clean]
    spans = [each for w in able for each in times_of(book, w, day)]
    return any(first <= begins and ends <= last for first, last in spans)


def problems(robot: Robot, view: DayView, planned: Planned) -> list[str]:
    """Return what does not hold, in words that say where."""
    book = robot.farm
    jobs = [job for job in jobs_of(view) if job.state in WAITING]
    lots = living_now(book, view.day)
    found = [
        *nobody_there(jobs, view, book),
        *past_hours(jobs, robot),
        *not_offered(jobs, lots, view.day),
        *without_vessels(jobs, lots, book),
        *out_of_turn(jobs),
        *not_laid(view, planned, book),
        *asked_twice(jobs),
        *wetted_too_soon(view),
        *false_warnings(view, book),
    ]
    return [f"{robot.now:%a %d %H:%M}: {each}" for each in found]


WET_DAYS = {"soak": 2, "boil": 1, "fill": 1}
"""Nights that what these farms wet may stand until its load; common practice, no source."""


def wetted_too_soon(view: DayView) -> Problems:
    """Nothing is wetted so long before its cook that it is too old by then: days off or not."""
    for row in job_store.open_jobs():
        job = from_plain(PlannedJob, row.body)
        if job.kind is not JobKind.PREPARE or job.follows_a_cook or job.for_day is None:
            continue
        nights = (job.for_day - max(row.day, view.day)).days
        if nights > WET_DAYS.get(job.task, nights):
            yield f"{job.task} on {row.day} for the cook of {job.for_day}: {nights} nights wet"


def nobody_there(jobs: list[JobView], view: DayView, book: FarmBook) -> Problems:
    """Nothing is laid while nobody who may do it is there."""
    for job in jobs:
        if not job.at:
            continue
        on = view.day + timedelta(days=1) if job.at.endswith(NEXT_DAY) else view.day
        begins = minute(clock_time(job.at.removesuffix(NEXT_DAY)))
        ends = begins + max(1, job.minutes_left)
        if job.kind == "open":
            if _comes_to_open(job, book, on, begins):
                continue
            begins = max(begins, first_hour(book, on))  # the hour: not before
            ends = begins + _unloading(job, book)
        if job.kind == "cook" and _comes_to_open(job, book, on, begins):
            continue  # whoever opens the load before puts this one in
        if job.kind == "deliver" and any(job.at in said for said in view.warnings):
            continue  # an hour that a buyer set, and it is said that nobody is there
        if not is_here(book, on, begins, ends, clean=job.room_kind == "laboratory"):
            yield f"nobody is there: {job.at} ({job.minutes_left} min) {job.kind} {job.what}"


def _unloading(job: JobView, book: FarmBook) -> int:
    """Return the minutes of unloading: a third of the hand minutes of the longest cook."""
    hands = {s.name: max(kind.hands_minutes for kind in s.cooks) for s in book.sterilisers}
    return int(hands.get(job.place, 0) / 3)


def _comes_to_open(job: JobView, book: FarmBook, day: date, begins: int) -> bool:
    """Say whether somebody comes after work to the steriliser of an opening."""
    works = any(times_of(book, w, day) for w in book.workers)
    names = {s.name: s.opened_until for s in book.sterilisers}
    until = names.get(job.place, "")
    return works and bool(until) and begins <= minute(clock_time(until))


def past_hours(jobs: list[JobView], robot: Robot) -> Problems:
    """Nothing is laid to an hour that lay behind when it was planned."""
    now = robot.now.hour * HOUR + robot.now.minute
    for job in jobs:
        if is_today(job.at) and minute(clock_time(job.at)) < now:
            yield f"it is past {job.at}: {job.kind} {job.what}"


def not_offered(jobs: list[JobView], lots: tuple[LivingLot, ...], day: date) -> Problems:
    """What work draws on is alive, ready and not past its time where it keeps longest."""
    alive: Counter[str] = Counter()
    for lot in lots:
        alive[lot.code] += 0 if lot.order else lot.alive
    by_code = {lot.code: lot for lot in sorted(lots, key=lambda lot: keeps_until(lot) or day)}
    asked: Counter[str] = Counter()
    for job in jobs:
        for use in job.from_lots if job.kind in {"transfer", "move", "deliver"} else ():
            asked[use.lot] += use.units
            lot = by_code.get(use.lot)
            if lot is None:
                yield f"not alive: {use.lot} for {job.kind} {job.what}"
                continue
            until = keeps_until(lot)
            if job.task != "store" and ready_on(lot).p10 > day:
                yield f"not ready: {use.lot} for {job.kind} {job.what}"
            if until is not None and until < day and job.task != "store":
                yield f"past its time: {use.lot} for {job.kind} {job.what}"
            if lot.held:
                yield f"held back: {use.lot} for {job.kind} {job.what}"
    for code, units in asked.items():
        if code in by_code and units > alive[code]:
            yield f"{units} of {code} asked for, {alive[code]} alive"


def without_vessels(jobs: list[JobView], lots: tuple[LivingLot, ...], book: FarmBook) -> Problems:
    """Transfers into cooked vessels have as many as stand there or are opened before."""
    routes = {variety.code: variety.route for variety in book.varieties}
    steps = {(r.code, s.code): s for r in book.routes for s in r.steps}
    there: Counter[tuple[str, str]] = Counter()
    for lot in lots:
        if lot.stage.value == "prepared" and not lot.held:
            there[lot.route.code, lot.step] += lot.alive
    for job in jobs:
        step = steps.get((routes.get(job.variety_code, ""), job.step))
        if job.kind != "transfer" or step is None or not step.cook or not job.at:
            continue
        if step.kind is StepKind.BUY:
            continue
        opened = sum(
            other.count
            for other in jobs
            if other.kind == "open" and other.step == job.step and is_today(other.at)
            if other.at < job.at
        )
        if there[routes[job.variety_code], job.step] + opened < job.left:
            yield f"no vessels: {job.at} transfer {job.count} {job.what}"


def out_of_turn(jobs: list[JobView]) -> Problems:
    """Filling comes before its load, picking before packing, an opening before what follows."""
    for job in jobs:
        if job.kind == "prepare" and job.due.startswith("before ") and job.at:
            ends = minute(clock_time(job.at)) + job.minutes_left
            load = minute(clock_time(job.due.removeprefix("before ")))
            if ends > load + 5:
                yield f"after its load: {job.at} ({job.minutes_left} min) {job.what} {job.due}"


def not_laid(view: DayView, planned: Planned, book: FarmBook) -> Problems:
    """What the plan starts, moves and cooks today stands on Today."""
    laid = _laid(jobs_of(view))
    for key, count in _planned(planned.plan, view.day, book).items():
        if laid[key] < count:
            yield f"planned and not on Today: {count} {key}, {laid[key]} there"


def _laid(jobs: list[JobView]) -> Counter[Work]:
    laid: Counter[Work] = Counter()
    for job in jobs:
        if job.kind in {"transfer", "order"}:
            laid["start", job.variety_code, job.step] += job.count
        elif job.kind == "cook":
            laid["cook", job.place, ""] += 1
        elif job.kind == "move" and job.task != "store":
            laid["move", job.variety_code, job.step] += job.count
    return laid


def _planned(plan: Plan, day: date, book: FarmBook) -> Counter[Work]:
    asked: Counter[Work] = Counter()
    names = {s.code: s.name for s in book.sterilisers}
    for start in plan.starts:
        if start.day == day:
            asked["start", start.variety, start.step] += round(start.count)
    for move in plan.moves:
        if move.day == day:
            asked["move", move.variety, move.step] += round(move.count)
    for cook in plan.cooks:
        if cook.day == day:
            asked["cook", names[cook.steriliser], ""] += round(cook.cooks)
    return asked


def asked_twice(jobs: list[JobView]) -> Problems:
    """No work is asked for twice."""
    lots: Counter[tuple[str, ...]] = Counter()
    for job in jobs:
        if job.kind in {"look", "shake", "move", "clear", "discard"}:
            for use in job.from_lots:
                lots[job.kind, job.task, use.lot] += 1
        else:
            lots[job.kind, job.task, job.what, job.detail, job.due] += 1
    for key, times in lots.items():
        if times > 1:
            yield f"asked {times} times: {key}"


def false_warnings(view: DayView, book: FarmBook) -> Problems:
    """Who is not there is only said of hours at which nobody is, or comes."""
    jobs = jobs_of(view)
    for warning in view.warnings:
        if not warning.startswith("Nobody is here at "):
            continue
        at = warning.removeprefix("Nobody is here at ")[:5]
        begins = minute(clock_time(at))
        for job in jobs:
            is_said = job.kind == "open" and job.at == at and job.what in warning
            if is_said and _comes_to_open(job, book, view.day, begins):
                yield f"somebody comes: {warning}"
