"""What was really done of a step goes on into the next: soaked, boiled, filled, loaded, opened.

A plan lays all steps of a cook with one number. Where fewer were filled than planned, the load
takes those that were filled, and what is opened is what was loaded.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from pinset.chain.register import FarmBook, Step
from pinset.farm import job_store
from pinset.farm.entries import Kind
from pinset.services.book_reader import Reader
from pinset.services.clock import at_clock
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.jobs.state import StoredJob, done_count, stored_jobs
from pinset.services.loads.loaded import feeds_left, loaded_since
from pinset.services.loads.prepared_said import as_prepared, parts_of, preparation_in_words
from pinset.services.loads.uncooked import mix_in, waiting_for_a_cook
from pinset.services.loads.what_waits import (
    LONGEST_KEEPS_DAYS,
    UNCOOKED_KEEPS_DAYS,
    Mix,
    Waiting,
    mix_of,
)

LOOKED_BACK_DAYS = 10
"""Work on one cook lies within so many days; common practice, no source."""


@dataclass(slots=True)
class _Task:
    """What was done, and is still to be done, of one task of a mix for a cook's day."""

    lead_hours: float
    done: int = 0  # and not cooked since
    left: int = 0
    surplus: int = 0  # done beyond what was planned for that day
    open_jobs: list[str] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Filled:
    """What a later step can count on."""

    units: int  # prepared and not cooked, with what is still to be prepared
    surplus: int  # of them prepared beyond the plan


class _Day:
    """What was prepared for the cooks of one day."""

    def __init__(self, book: FarmBook, day: date) -> None:
        """Read it from the jobs of that day and from what waited for it."""
        self.day = day
        zone = book.farm.time_zone
        before = day - timedelta(days=LONGEST_KEEPS_DAYS)
        waiting = waiting_for_a_cook(book, day, loaded_since(before, zone))
        self.tasks: dict[Mix, dict[str, _Task]] = defaultdict(dict)
        begin = at_clock(day - timedelta(days=LOOKED_BACK_DAYS), "00:00", zone)
        still = job_store.open_jobs()
        self.loads = stored_jobs(
            [row for row in still if row.kind == JobKind.COOK.value and row.day == day]
        )
        rows = [
            *job_store.closed_since(begin, JobKind.PREPARE.value),
            *(row for row in still if row.kind == JobKind.PREPARE.value),
        ]
        taken = self._of_later_cooks(still, book)
        for each in stored_jobs(rows):
            job = each.job
            if job.for_day is None or job.follows_a_cook or job.for_day < before:
                continue
            if job.for_day > day and (mix_in(job), job.for_day) in taken:
                continue
            self._take(each, waiting, taken)

    def _of_later_cooks(
        self, rows: Iterable[job_store.JobRow], book: FarmBook
    ) -> frozenset[tuple[Mix, date]]:
        """Return the mixes that later cooks on the list hold: what is begun for them is theirs."""
        later = [r for r in rows if r.kind == JobKind.COOK.value and r.day > self.day]
        return frozenset(
            (mix_of(step), each.job.day)
            for each in stored_jobs(later)
            for step, _ in _feeding(each.job.feeds, book)
        )

    def _take(
        self, stored: StoredJob, waiting: Waiting, taken: frozenset[tuple[Mix, date]]
    ) -> None:
        job, day = stored.job, self.day
        mix, for_day, done = mix_in(job), job.for_day or day, done_count(stored.entries)
        is_own = day - timedelta(days=UNCOOKED_KEEPS_DAYS) <= for_day <= day
        if not is_own and not (done and waiting.is_in_time(mix, for_day, day)):
            return
        if job.task not in self.tasks[mix]:
            units = sum(_waiting(waiting, mix, job.task, day, taken))
            self.tasks[mix][job.task] = _Task(job.lead_hours, units)
        task = self.tasks[mix][job.task]
        task.lead_hours = max(task.lead_hours, job.lead_hours)
        if not is_own:
            return
        if not stored.row.is_closed:
            task.left += max(0, job.count - done)
            task.open_jobs.append(stored.row.code)
        elif for_day == day:
            task.surplus += max(0, done - job.count)

    def before(self, mix: Mix, task: str = "") -> Filled | None:
        """Return what was prepared before a task, or before the cook; None if nothing was said."""
        tasks = self.tasks.get(mix, {})
        known: Filled | None = None
        for name, each in sorted(tasks.items(), key=lambda item: -item[1].lead_hours):
            if name == task:
                break
            left = each.left
            if known is not None:
                left = min(left + known.surplus, max(0, known.units - each.done))
            if each.done or known is not None:
                surplus = each.surplus if each.done else known.surplus if known else 0
                known = Filled(each.done + left, surplus)
        return known

    def recorded(self, mix: Mix) -> int | None:
        """Return what was written down of the last task before a cook; None if nothing was."""
        tasks = self.tasks.get(mix, {})
        if not any(each.done for each in tasks.values()):
            return None
        return min(tasks.values(), key=lambda each: each.lead_hours).done

    def unfilled(self, mix: Mix) -> tuple[str, ...]:
        """Return the open tasks, the first first, where nothing waits that the last was done to."""
        in_turn = sorted(self.tasks.get(mix, {}).items(), key=lambda item: -item[1].lead_hours)
        if not in_turn or in_turn[-1][1].done or not in_turn[-1][1].open_jobs:
            return ()
        return tuple(name for name, each in in_turn if each.open_jobs)

    def left_of(self, stored: StoredJob) -> int:
        """Return how much of an open preparation is left, after what the steps before it gave."""
        job = stored.job
        mix = mix_in(job)
        left = max(0, job.count - done_count(stored.entries))
        known, task = self.before(mix, job.task), self.tasks[mix].get(job.task)
        if known is None or task is None or len(task.open_jobs) > 1:
            return left
        return min(left + known.surplus, max(0, known.units - task.done))


def _waiting(
    waiting: Waiting, mix: Mix, task: str, day: date, taken: frozenset[tuple[Mix, date]]
) -> Iterable[int]:
    return (
        units
        for (own, name, for_day), units in waiting.units.items()
        if (own, name) == (mix, task) and waiting.is_in_time(mix, for_day, day)
        if for_day <= day or (mix, for_day) not in taken
    )


@dataclass(frozen=True, slots=True)
class MixFilled:
    """What was prepared of one mix for a load and is not cooked; None: nothing was said."""

    recorded: int | None  # written down as filled
    ready: int | None  # and what is still to be filled
    still_open: tuple[str, ...] = ()  # tasks to be done, where none of it is filled


def filled_of(job: PlannedJob, book: FarmBook) -> dict[Mix, MixFilled]:
    """Return what was prepared for a load of each mix it holds."""
    day = _Day(book, job.day)
    found = {}
    for mix in {mix_of(step) for step, _ in _feeding(job.feeds, book)}:
        known = day.before(mix)
        ready = known.units if known else None
        found[mix] = MixFilled(day.recorded(mix), ready, day.unfilled(mix))
    return found


def with_what_was_done(stored: Sequence[StoredJob], book: FarmBook) -> tuple[StoredJob, ...]:
    """Return the jobs with the numbers that the steps before them left."""
    days: dict[date, _Day] = {}

    def day_of(day: date) -> _Day:
        if day not in days:
            days[day] = _Day(book, day)
        return days[day]

    found = []
    for each in stored:
        job = each.job
        if each.row.is_closed:
            done = done_count(each.entries)
            found.append(replace(each, job=as_prepared(job, done, book)))
        elif job.kind is JobKind.PREPARE and job.for_day and not job.follows_a_cook:
            found.append(_prepared(each, day_of(job.for_day), book))
        elif job.kind is JobKind.COOK:
            found.append(_loaded(each, day_of(job.day), book))
        elif job.kind is JobKind.OPEN:
            found.append(_opened(each, book, day_of))
        else:
            found.append(each)
    return tuple(found)


def _prepared(stored: StoredJob, day: _Day, book: FarmBook) -> StoredJob:
    done = done_count(stored.entries)
    job, count = stored.job, done + day.left_of(stored)
    parts = parts_of(job, book)
    is_as_laid = count in {0, job.count}
    if not parts or (is_as_laid and not done):
        return stored if is_as_laid else replace(stored, job=_sized(job, count))
    count = count or job.count
    what = preparation_in_words(job.task, parts, count, Reader(book, job.day), done)
    return replace(stored, job=_sized(replace(job, what=what), count))


def _sized(job: PlannedJob, count: int) -> PlannedJob:
    return replace(job, count=count, minutes=max(1, round(job.minutes * count / job.count)))


def _feeding(feeds: Iterable[LotAmount], book: FarmBook) -> list[tuple[Step, LotAmount]]:
    """Return what a load holds, with the steps it is for."""
    routes = {route.code: route for route in book.routes}
    found = []
    for feed in feeds:
        route = routes.get(feed.route)
        step = next((s for s in route.steps if s.code == feed.step), None) if route else None
        if step is not None:
            found.append((step, feed))
    return found


def _loaded(stored: StoredJob, day: _Day, book: FarmBook) -> StoredJob:
    """Return a load with the vessels that were filled; of several for one day the first go first.

    What was loaded of it before is in, whatever was filled.
    """
    job, done = stored.job, done_count(stored.entries)
    feeding = _feeding(feeds_left(job, stored.entries), book)
    if not feeding or len(feeding) != len(job.feeds) or not job.count:
        return stored
    first = [each for each in day.loads if _order(each.job) < _order(job)]
    is_alone = all(each.row.code == stored.row.code for each in day.loads)
    free: dict[Mix, Filled | None] = {}
    feeds, left = list[LotAmount](), 0
    is_said = False
    for (step, feed), whole in zip(feeding, job.feeds, strict=True):
        mix = mix_of(step)
        if mix not in free:
            free[mix] = _less(day.before(mix), sum(_wanted(each, mix, book) for each in first))
        known, units = free[mix], feed.units
        if known is not None:
            is_said = True
            units = min(units + (known.surplus if is_alone else 0), known.units)
            free[mix] = Filled(known.units - units, 0)
        left += units
        feeds.append(replace(feed, units=units + whole.units - feed.units))
    count = done + left
    if left <= 0 or tuple(feeds) == job.feeds:
        return stored
    sized = replace(_sized(job, count), feeds=tuple(f for f in feeds if f.units > 0))
    if count != job.count and is_said:
        said = f"{count} of {job.count} planned are prepared"
        sized = replace(sized, detail=f"{job.detail}; {said}" if job.detail else said)
    return replace(stored, job=sized)


def _order(load: PlannedJob) -> tuple[int, str]:
    """Return which of the loads of one day comes first; the tenth is after the ninth."""
    return len(load.key), load.key


def _wanted(load: StoredJob, mix: Mix, book: FarmBook) -> int:
    """Return the units of a mix that are planned for a load and not in yet."""
    feeding = _feeding(feeds_left(load.job, load.entries), book)
    return sum(feed.units for step, feed in feeding if mix_of(step) == mix)


def _less(known: Filled | None, taken: int) -> Filled | None:
    return None if known is None else replace(known, units=max(0, known.units - taken))


def loads_of(opening: PlannedJob) -> tuple[StoredJob, ...]:
    """Return the jobs that loaded, or are to load, the cook that a job opens."""
    key = opening.key.replace("open:", "cook:", 1)
    first = (opening.first_day or opening.day) - timedelta(days=LOOKED_BACK_DAYS)
    rows = [
        row for row in job_store.laid_since(first, JobKind.COOK.value) if row.body.get("key") == key
    ]
    return stored_jobs(rows)


def _opened(stored: StoredJob, book: FarmBook, day_of: Callable[[date], _Day]) -> StoredJob:
    """Return an opening with the vessels that were loaded."""
    job, count = stored.job, 0
    for each in loads_of(job):
        if each.row.is_closed:
            count += sum(e.count for e in each.entries if e.kind is Kind.COOK)
        elif not each.row.is_withdrawn:
            count += _loaded(each, day_of(each.job.day), book).job.count
    if count in {0, job.count} or done_count(stored.entries) >= count:
        return stored
    return replace(stored, job=_sized(job, count))
