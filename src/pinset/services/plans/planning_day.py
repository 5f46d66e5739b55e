"""Plan the farm as it stands, store the plan and lay out its jobs.

The solving happens outside any transaction; what it was made from is noted, so that an entry
written meanwhile shows as newer than the plan.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from time import perf_counter

from pinset.chain.pins import Pin
from pinset.chain.plain import from_plain, to_plain
from pinset.chain.register import FarmBook, Promise
from pinset.chain.who_is_here import here_on
from pinset.farm import job_store, register_store
from pinset.farm.job_store import JobToLay, PlanRow
from pinset.farm.queries.story import last_entry_number
from pinset.farm.stamp import register_stamp
from pinset.planning.outlets.seasons import OutletDays
from pinset.planning.outlets.surplus import SurplusPlan
from pinset.planning.plan import Plan
from pinset.planning.problem import Problem
from pinset.planning.reading.absences import with_absences_named
from pinset.planning.reading.in_vain import InVain
from pinset.planning.reading.repair_trials import Repair
from pinset.planning.reading.repairs import repairs
from pinset.planning.season.chances import JUDGED_DAYS, FarmChances, chances_of
from pinset.planning.season.odds import odds_of
from pinset.planning.season.tuning import aimed_like, with_spare
from pinset.services.board.each_pin import what_each_costs
from pinset.services.board.pins_cost import NOTHING, what_pins_cost
from pinset.services.book_reader import Reader
from pinset.services.clock import at_clock, farm_day, farm_time, hour_is_known, now_utc
from pinset.services.day.day_now import (
    DAYS_LAID,
    DayNow,
    allotment_of,
    day_now,
    in_sight,
    laid_jobs,
)
from pinset.services.day.hours_left import laid_from
from pinset.services.day.hours_past import with_hours_of_now
from pinset.services.jobs.for_outlets import for_outlets
from pinset.services.jobs.known import known_jobs
from pinset.services.jobs.matching import KnownJob, Matching, Reason, changes, match
from pinset.services.jobs.records import PlannedJob
from pinset.services.loads.begun import since_hours
from pinset.services.loads.in_reach import InReach
from pinset.services.loads.loads_after_filling import with_loads_after_filling
from pinset.services.loads.too_late import cooks_not_loaded, more_short
from pinset.services.memory import remembered
from pinset.services.outlets.planned import outlet_days
from pinset.services.plans.plan_reasons import reasons
from pinset.services.plans.plan_search import planned_anew, searched
from pinset.services.plans.problem_now import problem_now, with_hours_left
from pinset.services.promises.how_sure import Aim, aim_for
from pinset.services.promises.shorts_allotted import shorts_as_allotted
from pinset.services.store.full import full_store_notes
from pinset.services.views import Change

TIME_LIMIT_S = 20.0
REPAIRS_S = 20.0
"""For batches that would make weak promises surer; what is not tried by then is not told."""
ANEW_S = 10.0
"""For each plan with such a batch, or with somebody there who is away."""


@dataclass(frozen=True, slots=True)
class Planned:
    """A plan with what was said beside it."""

    plan: Plan
    remarks: tuple[str, ...]
    changes: tuple[Change, ...]
    made_at: datetime
    last_entry: int
    laid_from: str = ""  # the hour from which work is laid; empty: from the morning
    late: tuple[str, ...] = ()  # what can no longer be done at its hour, in sentences
    no_place: tuple[str, ...] = ()  # what is lost because a cold store is full, in sentences
    chances: FarmChances = field(default_factory=FarmChances)  # how sure the promises are
    aim: Aim | None = None  # how much more than promised the plan aims at
    pins_cost: tuple[str, ...] = ()  # what they make short or less sure, in sentences
    surplus: SurplusPlan = field(default_factory=SurplusPlan)  # where goes what fits no promise
    repairs: tuple[Repair, ...] = ()  # one more batch that makes a weak promise surer
    in_vain: tuple[InVain, ...] = ()  # weak promises for which none was found, and why


def farm_book(now: datetime | None = None) -> tuple[FarmBook, date]:
    """Return the farm's book and its present day."""
    moment = now or now_utc()
    stamp = register_stamp()
    rough = _book(stamp, moment.date())
    today = farm_day(moment, rough.farm.time_zone)
    return (rough if today == moment.date() else _book(stamp, today)), today


def as_the_day_begins() -> datetime:
    """Return the moment the first person comes on the present day of the farm."""
    book, today = farm_book()
    return at_clock(today, here_on(book, today).begins_at, book.farm.time_zone)


@remembered
def _book(_stamp: int, on: date) -> FarmBook:
    return register_store.book(on)


def replan(
    now: datetime | None = None,
    *,
    time_limit_s: float = TIME_LIMIT_S,
    progress: Callable[[str], None] | None = None,
) -> Planned:
    """Plan from what is alive and promised now, store the plan and lay out the jobs.

    In the middle of a day hours are laid from now on, and cooks only where they still end in time;
    where only the date is pretended, the day is taken as it begins.
    """
    moment = now or now_utc()
    say = progress or (lambda _: None)
    book, today = farm_book(moment)
    hour = farm_time(moment, book.farm.time_zone) if now or hour_is_known() else None
    say("reading the farm")
    newest = last_entry_number()
    before = latest()
    day = day_now(book, today, laid_from(hour, book) if hour else None)
    problem, remarks = problem_now(book, day)
    odds = odds_of(book, day.living, today)
    aim = aim_for(before.aim if before else None, problem, odds, today, say)
    problem = with_spare(problem, aim.tuning.shares)
    plan, outlets, jobs, shut = _planned_and_laid(problem, day, before, time_limit_s, say)
    say("carrying the plan out in many seasons")
    seed = today.toordinal()
    chances = chances_of(problem, plan, odds, seed=seed, days=JUDGED_DAYS, outlets=outlets)
    say("looking for a batch that makes weak promises surer")
    begun = perf_counter()
    looked = repairs(
        with_hours_left(problem, day, shut), plan, chances, odds, seed=seed,
        goes_on=lambda: perf_counter() - begun < REPAIRS_S,
        plan_anew=lambda asked: planned_anew(asked, plan, ANEW_S),
    )  # fmt: skip
    costs: tuple[str, ...] = ()
    if asked := {pin.code for pin in problem.pins if not pin.refused}:
        say("planning without the pins, to see what they cost")

        def with_pins(pins: tuple[Pin, ...]) -> Problem:
            built, _ = problem_now(replace(book, pins=pins), day)
            return with_hours_left(with_spare(built, aim.tuning.shares), day, shut)

        reader = Reader(book, today)
        costs = what_pins_cost(problem, plan, chances, with_pins(()), odds, reader)
        if costs != (NOTHING,):
            costs += what_each_costs(book.pins, asked, with_pins, reader)
    known = known_jobs()  # again: somebody may have claimed or done some meanwhile
    jobs = [job for job in jobs if not day.settled.covers(job)]
    since = day.left.since
    reach = InReach(book, today, since_hours(since))
    matching = match(known, jobs, today, day.loaded_keys, reach.is_too_soon)
    matching = with_hours_of_now(matching, known, today, since)
    matching = with_loads_after_filling(matching, known, book, today, since)
    in_sight = (before.plan.start if before else today) + timedelta(days=DAYS_LAID)
    told = changes(matching, known, today, _reasons(before, known, book, today), in_sight)
    shorter = more_short(before.plan if before else None, plan)
    planned = Planned(
        plan,
        (
            *plan.remarks,
            *(lapse.words for lapse in plan.lapses),
            *(pin.words for pin in plan.pins if pin.words),
            *remarks,
        ),
        with_those_before(told, before, today),
        moment,
        newest,
        laid_from=f"{since:%H:%M}" if since else "",
        late=cooks_not_loaded(matching, known, day.left, shut, Reader(book, today), shorter),
        no_place=full_store_notes(day.living, plan, Reader(book, today), day.declined),
        chances=chances,
        aim=aim,
        pins_cost=costs,
        surplus=outlets.planned,
        repairs=looked.found,
        in_vain=looked.in_vain,
    )
    say("writing the plan down")
    _store(planned, matching, today)
    return planned


def with_those_before(
    told: tuple[Change, ...], before: Planned | None, today: date
) -> tuple[Change, ...]:
    """Return what changed, with what a plan of the same day told already: all since yesterday.

    What is told anew of the same work stands for what was told of it before.
    """
    if before is None or before.plan.start != today:
        return told
    anew = {each.sentence for each in told}
    return (*told, *(each for each in before.changes if each.sentence not in anew))


def _planned_and_laid(
    problem: Problem,
    day: DayNow,
    before: Planned | None,
    time_limit_s: float,
    say: Callable[[str], None],
) -> tuple[Plan, OutletDays, Sequence[PlannedJob], frozenset[str]]:
    """Return a plan, who gets what is left over, its jobs, and sterilisers full for today.

    A cook for which the planner sees hours and whose vessels cannot be filled in time is only found
    when it is laid out; then it is planned without it.
    """
    shut: frozenset[str] = frozenset()
    while True:
        say("planning")
        plan = searched(
            with_hours_left(problem, day, shut), before.plan if before else None, time_limit_s, say
        )
        say("looking whether somebody is missed who is away")
        plan = with_absences_named(
            plan, day.book, _built_like(problem, day, shut), time_limit_s=ANEW_S
        )
        say("laying out the jobs")
        due = in_sight(day, ((o.promise, problem.date_of(o.due)) for o in problem.orders))
        allotted = allotment_of(day, plan, due)
        whole = plan.start + timedelta(days=plan.whole_days)
        reader = Reader(day.book, day.today)
        shorts = shorts_as_allotted(plan.short, due, allotted, reader, whole)
        plan = replace(plan, short=shorts)
        laid = laid_jobs(day, plan, allotted)
        if laid.too_late <= shut:
            say("allotting what fits no promise")
            outlets = outlet_days(day.book, problem, plan, day.left.since)
            return plan, outlets, (*laid.jobs, *for_outlets(outlets.planned, reader)), shut
        shut |= laid.too_late


def _built_like(
    problem: Problem, day: DayNow, shut: frozenset[str]
) -> Callable[[FarmBook], Problem]:
    """Return what builds the problem of another book as this one of the day was built."""
    return lambda book: with_hours_left(aimed_like(problem_now(book, day)[0], problem), day, shut)


def _reasons(
    before: Planned | None, known: tuple[KnownJob, ...], book: FarmBook, today: date
) -> Reason:
    if before is None:
        return lambda _job, _before=None: ""
    return reasons(before.last_entry, before.made_at, known, today, before.plan.start, book)


def latest() -> Planned | None:
    """Return the newest stored plan, or None on a farm that was never planned."""
    number = job_store.latest_plan_number()
    return _planned(number) if number else None


@remembered
def _planned(number: int) -> Planned:
    row = job_store.plan_by_number(number)
    return Planned(
        plan=from_plain(Plan, row.body["plan"]),
        remarks=tuple(row.body["remarks"]),
        changes=tuple(from_plain(Change, each) for each in row.body["changes"]),
        made_at=row.made_at,
        last_entry=row.last_entry,
        laid_from=str(row.body.get("laid_from", "")),
        late=tuple(row.body.get("late", ())),
        no_place=tuple(row.body.get("no_place", ())),
        chances=from_plain(FarmChances, row.body.get("chances", {})),
        aim=from_plain(Aim, row.body["aim"]) if row.body.get("aim") else None,
        pins_cost=tuple(row.body.get("pins_cost", ())),
        surplus=from_plain(SurplusPlan, row.body.get("surplus", {})),
        repairs=tuple(from_plain(Repair, each) for each in row.body.get("repairs", ())),
        in_vain=tuple(from_plain(InVain, each) for each in row.body.get("in_vain", ())),
    )


def ensure_planned(
    now: datetime | None = None, *, progress: Callable[[str], None] | None = None
) -> Planned:
    """Return today's plan, planning first if the newest one is of an earlier day."""
    moment = now or now_utc()
    _, today = farm_book(moment)
    newest = latest()
    if newest is not None and newest.plan.start == today:
        return newest
    return replan(now, progress=progress)


def _store(planned: Planned, matching: Matching, today: date) -> None:
    body = {
        "plan": to_plain(planned.plan),
        "remarks": list(planned.remarks),
        "changes": to_plain(planned.changes),
        "laid_from": planned.laid_from,
        "late": list(planned.late),
        "no_place": list(planned.no_place),
        "chances": to_plain(planned.chances),
        "aim": to_plain(planned.aim) if planned.aim else None,
        "pins_cost": list(planned.pins_cost),
        "surplus": to_plain(planned.surplus),
        "repairs": to_plain(planned.repairs),
        "in_vain": to_plain(planned.in_vain),
    }
    job_store.lay(
        PlanRow(
            made_at=planned.made_at,
            for_date=today,
            last_entry=planned.last_entry,
            body=body,
            gap=planned.plan.gap,
            seconds=planned.plan.seconds,
            status=planned.plan.status,
        ),
        keep=[_to_lay(code, job) for code, job in matching.kept],
        new=[_to_lay("", job) for job in matching.added],
        withdraw=[each.code for each in matching.withdrawn],
    )
    for each in matching.finished:
        job_store.close(each.code, planned.made_at)


def _to_lay(code: str, job: PlannedJob) -> JobToLay:
    return JobToLay(
        code=code,
        day=job.day,
        kind=job.kind.value,
        body=to_plain(job),
        variety=job.variety,
        step=job.step,
        count=job.count,
        room_kind=job.room_kind,
    )


def promise_by_code(book: FarmBook, code: str) -> Promise | None:
    """Return a promise of the book."""
    return next((promise for promise in book.promises if promise.code == code), None)
