"""How many minutes people and the clean bench still have today, once work has begun.

People work at the times they are there. What was done today is behind them,
as the clock says, so it is not taken off again; only the bench, which holds so many minutes a day,
loses what was done at it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, time

from pinset.chain.day_hours import HOUR
from pinset.chain.in_use import benches_on
from pinset.chain.register import FarmBook, RoomKind, Worker
from pinset.chain.who_is_here import spans_on
from pinset.farm import job_store
from pinset.planning.building.taken import LEAST_MINUTES, Taken
from pinset.planning.problem import Problem
from pinset.services.clock import at_clock, farm_time
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.jobs.state import done_count, stored_jobs

NOTHING_TAKEN = Taken(0, 0.0)


@dataclass(frozen=True, slots=True)
class DoneToday:
    """Minutes of the work that was done today, as its jobs reckoned them."""

    bench: float = 0.0  # transfers at the clean bench
    prepared: float = 0.0  # soaking, mixing, filling: the planner still counts it for its vessels
    is_round_walked: bool = False  # or dropped


@dataclass(frozen=True, slots=True)
class MinutesLeft:
    """What is left of today, in minutes."""

    people: float
    laboratory: float  # of those who may work there
    bench: float
    prepared: float


def done_today(today: date, time_zone: str, *, is_round_walked: bool) -> DoneToday:
    """Return the work done on the farm's day, of whole jobs and of parts."""
    begin = at_clock(today, "00:00", time_zone)
    kinds = (JobKind.TRANSFER, JobKind.PREPARE)
    rows = [row for kind in kinds for row in job_store.closed_since(begin, kind.value)]
    rows += [row for row in job_store.open_jobs() if row.kind in {kind.value for kind in kinds}]
    minutes = dict.fromkeys(kinds, 0.0)
    for each in stored_jobs(rows):
        entries = [e for e in each.entries if farm_time(e.happened_at, time_zone).date() == today]
        if each.job.kind is JobKind.PREPARE or _is_clean(each.job):
            share = min(1.0, done_count(entries) / max(1, each.job.count))
            minutes[each.job.kind] += share * each.job.minutes
    return DoneToday(minutes[JobKind.TRANSFER], minutes[JobKind.PREPARE], is_round_walked)


def _is_clean(job: PlannedJob) -> bool:
    return job.room_kind == RoomKind.LABORATORY.value


def minutes_left(
    book: FarmBook, today: date, since: time, done: DoneToday, taken: Taken = NOTHING_TAKEN
) -> MinutesLeft:
    """Return what people and the bench still have.

    Parameters
    ----------
    book, today : FarmBook, date
        The farm and the day.
    since : time
        The hour it is now.
    done : DoneToday
        What was done before.
    taken : Taken
        What upkeep still takes today.
    """
    now = since.hour * HOUR + since.minute

    def left(worker: Worker) -> float:
        spans = spans_on(book, worker, today)
        return float(sum(max(0, each.ends - max(each.begins, now)) for each in spans))

    people = [left(worker) for worker in book.workers]
    clean = [left(worker) for worker in book.workers if worker.laboratory]
    grow_rooms = sum(room.kind is RoomKind.GROWING for room in book.rooms)
    rounds = 0 if done.is_round_walked else book.farm.morning_round_minutes * grow_rooms
    benches = benches_on(book, today)
    table = float(sum(bench.minutes_per_day for bench in benches))
    if book.workers:  # nobody sits at a bench once all have gone home
        longest = max(clean, default=0.0)
        still = sum(min(bench.minutes_per_day, longest) for bench in benches)
    else:
        still = table
    return MinutesLeft(
        people=max(0.0, sum(people) - rounds - taken.hands),
        laboratory=max(0.0, sum(clean) - taken.laboratory),
        bench=max(0.0, min(table - done.bench, still) - taken.bench),
        prepared=done.prepared,
    )


def only_these_minutes(problem: Problem, left: MinutesLeft | None) -> Problem:
    """Return the problem with today's people and bench cut down; None leaves it as it is.

    A day off stays one, and what is not limited is not limited now. No day gets longer.
    """
    if left is None:
        return problem
    own = problem.resources

    def cut(row: tuple[float, ...], minutes: float) -> tuple[float, ...]:
        return (min(row[0], minutes), *row[1:]) if row and row[0] > 0 else row

    return replace(
        problem,
        resources=replace(
            own,
            hands_minutes=cut(own.hands_minutes, max(LEAST_MINUTES, left.people)),
            laboratory_minutes=cut(own.laboratory_minutes, left.laboratory),
            bench_minutes=cut(own.bench_minutes, left.bench),
            prepared_minutes=left.prepared,
        ),
    )
