"""Plan the farm as it stands, store the plan and lay out its jobs.

The solving happens outside any transaction; what it was made from is noted, so that an entry
written meanwhile shows as newer than the plan.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from pinset.chain.living import LivingLot
from pinset.chain.plain import from_plain, to_plain
from pinset.chain.readiness import keeps_until
from pinset.chain.register import FarmBook, Promise
from pinset.chain.stages import Stage
from pinset.errors import RefusedError
from pinset.farm import job_store, register_store, since
from pinset.farm.entries import Kind
from pinset.farm.job_store import JobToLay, PlanRow
from pinset.farm.models.register import RegisterKind
from pinset.farm.queries.story import last_entry_number
from pinset.farm.stamp import register_stamp
from pinset.planning.from_book import Delivered, build_problem
from pinset.planning.from_resources import prepared_until
from pinset.planning.plan import Plan
from pinset.planning.problem import Problem
from pinset.planning.solve import solve
from pinset.services.begun import begun_cooks
from pinset.services.book_reader import Reader, VesselKey, vessel_key
from pinset.services.clock import at_clock, farm_day, now_utc
from pinset.services.job_records import JobKind, LotAmount, PlannedJob
from pinset.services.jobs_from_plan import jobs_from_plan
from pinset.services.jobs_from_state import jobs_from_state
from pinset.services.jobs_matching import KnownJob, Matching, changes, match
from pinset.services.jobs_of_selling import DueDelivery, due_on
from pinset.services.memory import remembered
from pinset.services.stock_now import delivered_on, living_now, store_now
from pinset.services.views import Change
from pinset.services.words import first_upper, joined, plural, short_day

LATE_DELIVERY_DAYS = 2
"""A promise of which nothing was handed over is still asked for during this many days."""

DAYS_PACKED_AHEAD = 3
"""Early deliveries are looked for this many days ahead: a weekend may lie between."""

DAYS_LAID = 8
"""Days from today for which jobs are laid out; preparation seldom starts earlier."""

TIME_LIMIT_S = 20.0

POOR_GAP = 0.05
SECOND_TRY = 3.0
"""A plan further than this from the best possible is searched for again, this much longer."""

PREPARED_BEFORE_DAYS = 7
"""Preparation for the same cook that was done within this many days is not asked for again."""

NOT_AGAIN = frozenset(
    kind.value
    for kind in (
        JobKind.ROUND,
        JobKind.LOOK,
        JobKind.SHAKE,
        JobKind.PICK,
        JobKind.PACK,
        JobKind.PREPARE,
        JobKind.OPEN,
    )
)
"""Kinds of work that, once done today, is done for today."""

CHANGE_COST = 0.1
"""Price of a changed unit, as a share of what it costs to make: small, but the plan stays calm."""


@dataclass(frozen=True, slots=True)
class Planned:
    """A plan with what was said beside it."""

    plan: Plan
    remarks: tuple[str, ...]
    changes: tuple[Change, ...]
    made_at: datetime
    last_entry: int


def farm_book(now: datetime | None = None) -> tuple[FarmBook, date]:
    """Return the farm's book and its present day."""
    moment = now or now_utc()
    stamp = register_stamp()
    rough = _book(stamp, moment.date())
    today = farm_day(moment, rough.farm.time_zone)
    return (rough if today == moment.date() else _book(stamp, today)), today


@remembered
def _book(_stamp: int, on: date) -> FarmBook:
    return register_store.book(on)


def replan(
    now: datetime | None = None,
    *,
    time_limit_s: float = TIME_LIMIT_S,
    progress: Callable[[str], None] | None = None,
) -> Planned:
    """Plan from what is alive and promised now, store the plan and lay out the jobs."""
    moment = now or now_utc()
    say = progress or (lambda _: None)
    book, today = farm_book(moment)
    say("reading the farm")
    newest = last_entry_number()
    living = living_now(book, today)
    before = latest()
    known = known_jobs()
    first = today - timedelta(days=LATE_DELIVERY_DAYS)
    delivered = delivered_on(first, today + timedelta(days=7), book.farm.time_zone)
    problem, remarks = build_problem(
        book,
        living,
        today,
        delivered=[
            Delivered(code, day, grams) for (code, day), grams in delivered.items() if day >= today
        ],
        store=store_now(book.farm.time_zone, today),
        late=[
            (each.job.variety, each.job.step)
            for each in known
            if each.job.kind is JobKind.TRANSFER and (each.job.first_day or each.job.day) < today
        ],
        begun=begun_cooks(book, today),
    )
    say("planning")
    plan = _solved(problem, before.plan if before else None, time_limit_s, say)
    say("laying out the jobs")
    jobs = laid_jobs(book, today, plan, living, delivered)
    known = known_jobs()
    settled = settled_today(today, at_clock(today, "00:00", book.farm.time_zone))
    matching = match(known, [job for job in jobs if job.key not in settled], today)
    in_sight = (before.plan.start if before else today) + timedelta(days=DAYS_LAID)
    told = changes(matching, known, today, _reasons(before, known, today), in_sight)
    planned = Planned(plan, (*plan.remarks, *remarks), told, moment, newest)
    _store(planned, matching, today)
    return planned


def _solved(
    problem: Problem, before: Plan | None, time_limit_s: float, say: Callable[[str], None]
) -> Plan:
    """Return a plan; a poor one is searched for once more, with more time and without a start.

    Raises
    ------
    RefusedError
        If both are poor and an earlier plan is there: it stays in force rather than being
        replaced by one that drops the laboratory's work for want of computing time.
    """
    change_cost = CHANGE_COST if before else 0.0
    plan = solve(problem, time_limit_s=time_limit_s, previous=before, change_cost=change_cost)
    if plan.gap <= POOR_GAP:
        return plan
    say("planning again, with more time")
    again = solve(problem, time_limit_s=SECOND_TRY * time_limit_s)
    best = min(plan, again, key=lambda each: each.gap)
    if best.gap > POOR_GAP and before is not None:
        raise RefusedError(
            f"No good plan was found in {plan.seconds + again.seconds:.0f} s; the last one stays.",
            "Plan again when the computer is less busy, or with more --seconds.",
        )
    return best


def laid_jobs(
    book: FarmBook,
    today: date,
    plan: Plan,
    living: tuple[LivingLot, ...],
    delivered: dict[tuple[str, date], int],
) -> tuple[PlannedJob, ...]:
    """Return every job of the coming days, from the plan and from what is alive."""
    reader = Reader(book, today)
    prepared: dict[VesselKey, list[LotAmount]] = defaultdict(list)
    for lot in sorted(living, key=lambda each: each.made_on):
        if lot.stage is Stage.PREPARED and prepared_until(lot, lot.now_step().cook) >= today:
            prepared[vessel_key(lot.now_step())].append(LotAmount(lot.code, lot.alive))
    return (
        *jobs_from_plan(plan, book, today, today + timedelta(days=DAYS_LAID), prepared),
        *jobs_from_state(reader, living, plan.picks, _due(book, today, delivered), keeps_until),
    )


def _due(
    book: FarmBook, today: date, delivered: dict[tuple[str, date], int]
) -> tuple[DueDelivery, ...]:
    """Return what is due today, what was due and not handed over at all, and the next days'."""
    known_since = register_store.first_recorded(RegisterKind.PROMISE)
    zone = ZoneInfo(book.farm.time_zone)
    late = [
        each
        for back in range(1, LATE_DELIVERY_DAYS + 1)
        for each in due_on(book.promises, today - timedelta(days=back), delivered)
        if not each.delivered and known_since[each.promise.code].astimezone(zone).date() <= each.day
    ]
    ahead = [
        each
        for days in range(1, DAYS_PACKED_AHEAD + 1)
        for each in due_on(book.promises, today + timedelta(days=days), delivered)
    ]
    return (*late, *due_on(book.promises, today, delivered), *ahead)


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
    return replan(moment, progress=progress)


def known_jobs() -> tuple[KnownJob, ...]:
    """Return the stored jobs that are neither done nor dropped, with what was done of each."""
    rows = job_store.open_jobs()
    counts: dict[str, int] = {}
    for entry in job_store.entries_of([row.code for row in rows]):
        counts[entry.job] = counts.get(entry.job, 0) + entry.count
    return tuple(
        KnownJob(
            row.code,
            from_plain(PlannedJob, row.body),
            counts.get(row.code, 0),
            is_claimed=bool(row.claimed_by),
        )
        for row in rows
    )


def settled_today(today: date, day_begins: datetime) -> frozenset[str]:
    """Return the keys of jobs that are not asked for again today.

    Those are what was dropped today, and work done today that uses nothing up, so that a new
    reckoning would find it undone.
    """
    rows = [row for row in job_store.jobs_for(today, day_begins) if row.is_closed]
    answers = job_store.entries_of([row.code for row in rows])
    dropped = {answer.job for answer in answers if answer.kind is Kind.DROP}
    begun = job_store.closed_since(
        day_begins - timedelta(days=PREPARED_BEFORE_DAYS), JobKind.PREPARE.value
    )
    return frozenset(
        str(row.body["key"])
        for row in (*rows, *begun)
        if row.code in dropped or row.kind in NOT_AGAIN
    )


def _store(planned: Planned, matching: Matching, today: date) -> None:
    body = {
        "plan": to_plain(planned.plan),
        "remarks": list(planned.remarks),
        "changes": to_plain(planned.changes),
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


def _reasons(
    before: Planned | None, known: tuple[KnownJob, ...], today: date
) -> Callable[[PlannedJob], str]:
    """Return a function that names what happened to a variety since the last plan."""
    if before is None:
        return lambda _: ""
    taken = since.taken_out_since(before.last_entry)
    promised = {
        str(body.get("variety", "")) for body in since.promises_changed_since(before.made_at)
    }
    left_undone = [
        replace(each.job, day=each.job.first_day or each.job.day)
        for each in known
        if each.job.day < today and each.job.kind in {JobKind.TRANSFER, JobKind.MOVE, JobKind.COOK}
    ]

    def reason(job: PlannedJob) -> str:
        parts = [
            f"{plural(each.units, 'unit')} of {each.lot} {each.account.value}"
            for each in taken
            if each.variety == job.variety
        ][:3]
        if job.variety in promised:
            parts.append("a promise of this variety changed")
        parts += [
            f"{each.step or each.cook_kind} of {short_day(each.day)} was not done"
            for each in left_undone
            if each.variety == job.variety
        ][:2]
        if parts:
            return f"{first_upper(joined(parts))}."
        return "The plan now sees a day further and weighs all varieties together anew."

    return reason


def promise_by_code(book: FarmBook, code: str) -> Promise | None:
    """Return a promise of the book."""
    return next((promise for promise in book.promises if promise.code == code), None)
