"""Vessels that were prepared for a cook and are still waiting for one.

Where a cook slipped, what was soaked, mixed or filled for it is not asked for again: it goes into
the next cook, as long as it keeps.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from itertools import combinations

from pinset.chain.register import FarmBook, Step
from pinset.chain.step_nouns import step_noun
from pinset.farm import job_store
from pinset.services.clock import at_clock, farm_time, hour_is_known
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.jobs.state import StoredJob, done_count, stored_jobs
from pinset.services.loads.loaded import Loaded

UNCOOKED_KEEPS_DAYS = 1
"""Days that filled vessels wait for a cook that slipped; common practice, no source."""

SMALL_PART = 0.1
"""Up to this share of what was prepared, or one unit, is lost from one task to the next; common
practice, no source."""

THROW_OUT = "throw out"
"""Task of preparation that takes away what was prepared; its jobs are for no cook's day."""

Mix = tuple[str, float]
"""Mix with its vessel, moisture: what preparation is told apart by.

Blocks and spawn bags of one mix in one vessel are alike until they are inoculated, and are mixed
and filled at once.
"""


@dataclass(slots=True)
class Waiting:
    """Prepared units by what they are, the task that was done, and the cook's day they are for."""

    units: dict[tuple[Mix, str, date], int] = field(default_factory=lambda: defaultdict(int))
    began: dict[tuple[Mix, str, date], datetime] = field(default_factory=dict)
    """When the last of it was begun, by the farm's clock; nothing where no hour is known."""

    def add(self, mix: Mix, task: str, for_day: date, units: int) -> None:
        """Count units that a task was done for."""
        self.units[mix, task, for_day] += units

    def take(self, mix: Mix, task: str, day: date, wanted: int, *, is_past: bool = False) -> int:
        """Take up to so many units for a cook on a day, those for that day first; say how many.

        What is too old by that day is left, unless what ``is_past`` is taken out: it was cooked or
        thrown out, whatever its age.
        """
        fitting = [
            each
            for each in self.units
            if each[:2] == (mix, task)
            and self.units[each] > 0
            and each[2] <= day
            and (is_past or day <= each[2] + timedelta(days=UNCOOKED_KEEPS_DAYS))
        ]
        taken = 0
        for each in sorted(fitting, key=lambda key: (key[2] != day, key[2])):
            units = min(wanted - taken, self.units[each])
            self.units[each] -= units
            taken += units
        return taken

    def cooked(self, mix: Mix, day: date, units: int) -> None:
        """Take what went into a cook out of what is waiting, whatever was done to it."""
        self.gone(mix, {task for own, task, _ in self.units if own == mix}, day, units)

    def gone(self, mix: Mix, tasks: Iterable[str], day: date, units: int) -> None:
        """Take what only those tasks were done to out of what is waiting."""
        for task in tasks:
            self.take(mix, task, day, units, is_past=True)

    def moved_on(self, book: FarmBook) -> Waiting:
        """Return the same with what a later step took counted for the day it was taken for.

        What was soaked for yesterday's cook and filled for today's is soaked for today's.
        """
        found = self.copied()
        for mix in {own for own, _, _ in self.units}:
            days = sorted({day for own, _, day in self.units if own == mix})
            for later, earlier in _in_turn(book, mix):
                for day in days:
                    behind = found.ahead(mix, later, earlier, day)
                    for before in (each for each in days if each < day):
                        moved = min(behind, found.ahead(mix, earlier, later, before))
                        if moved > 0:
                            found.add(mix, earlier, before, -moved)
                            found.add(mix, earlier, day, moved)
                            behind -= moved
        return found

    def reaching_back(self, book: FarmBook) -> Waiting:
        """Return the same with every step before one that was done as done, too.

        What was filled was mixed, whether or not that was written down.
        """
        found = self.moved_on(book)
        for mix in {own for own, _, _ in self.units}:
            for day in {day for own, _, day in self.units if own == mix}:
                for later, earlier in _in_turn(book, mix):
                    behind = found.ahead(mix, later, earlier, day)
                    if behind > 0:
                        found.add(mix, earlier, day, behind)
        return found

    def ahead(self, mix: Mix, task: str, other: str, day: date) -> int:
        """Return how many more of a day one task was done for than another; may be negative."""
        return self.units.get((mix, task, day), 0) - self.units.get((mix, other, day), 0)

    def copied(self) -> Waiting:
        """Return the same, to be drawn on independently."""
        return Waiting(defaultdict(int, self.units), self.began)


def _in_turn(book: FarmBook, mix: Mix) -> list[tuple[str, str]]:
    """Return each two tasks that follow on another before a cook, the later one first."""
    leads: dict[str, float] = {}
    for step in _steps_of(book, mix):
        for each in step.preparations:
            leads[each.task] = max(leads.get(each.task, 0.0), each.lead_hours)
    cook = leads.pop("cook", 0.0)
    tasks = sorted((task for task in leads if leads[task] > cook), key=leads.__getitem__)
    return [pair for pair in combinations(tasks, 2) if leads[pair[0]] < leads[pair[1]]]


def mix_of(step: Step) -> Mix:
    """Return what the vessels of a step are prepared as."""
    return (f"{step.mix} {step.vessel}", step.fill_moisture)


def mix_in(job: PlannedJob) -> Mix:
    """Return what the vessels of a preparation are prepared as."""
    return (job.mix, job.moisture)


def cooked_mixes(book: FarmBook) -> frozenset[Mix]:
    """Return what vessels are prepared as before a cook; others are inoculated as they are."""
    return frozenset(mix_of(step) for route in book.routes for step in route.steps if step.cook)


def waiting_for_a_cook(
    book: FarmBook,
    today: date,
    loaded: Iterable[Loaded],
    keeps_days: int = UNCOOKED_KEEPS_DAYS,
) -> Waiting:
    """Return what was prepared and neither cooked nor thrown out since, and still keeps."""
    first = today - timedelta(days=keeps_days)
    waiting = Waiting()
    stored = _preparation(book, first)
    for job, units, began in _prepared(stored, book, first):
        day = job.for_day or today
        waiting.add(mix_in(job), job.task, day, units)
        if hour_is_known():
            key = (mix_in(job), job.task, day)
            waiting.began[key] = max(began, waiting.began.get(key, began))
    _take_out_lost(waiting, stored, book)
    zone = book.farm.time_zone
    gone: list[Loaded | _ThrownOut] = [*loaded]
    gone += [_ThrownOut(job, units, farm_time(at, zone)) for job, units, at in _thrown_out(stored)]
    for each in sorted(gone, key=lambda one: one.at):
        if isinstance(each, _ThrownOut):
            _throw_out(each, waiting)
            continue
        for feed in each.feeds:
            for mix in mixes_of(book, feed):
                waiting.cooked(mix, each.at.date(), feed.units)
    return waiting


@dataclass(frozen=True, slots=True)
class _ThrownOut:
    """What was thrown out, and when, by the farm's clock."""

    job: PlannedJob
    units: int
    at: datetime


def _throw_out(thrown: _ThrownOut, waiting: Waiting) -> None:
    job, day = thrown.job, _thrown_of(thrown.job)
    if job.undoes:
        waiting.gone(mix_in(job), job.undoes, day, thrown.units)
    else:
        waiting.cooked(mix_in(job), day, thrown.units)


def _take_out_lost(waiting: Waiting, stored: Iterable[StoredJob], book: FarmBook) -> None:
    """Take out what is not there any more: a few that a later task was done with less, and is over.

    Grain is lost in boiling and filling; what is more than a small part was left out and stands.
    """
    still_open = {
        (mix_in(each.job), each.job.task, each.job.for_day)
        for each in stored
        if not each.row.is_closed
    }
    for mix, day in {(mix, day) for mix, _, day in waiting.units}:
        for later, earlier in _in_turn(book, mix):
            done = waiting.units.get((mix, later, day), 0)
            before = waiting.units.get((mix, earlier, day), 0)
            if done and (mix, later, day) not in still_open and is_lost(before - done, before):
                waiting.add(mix, earlier, day, done - before)


def is_lost(fewer: float, whole: float) -> bool:
    """Say whether so many fewer than a task before were lost on the way, and not left out."""
    return 0 < fewer <= max(1.0, SMALL_PART * whole)


def mixes_of(book: FarmBook, feed: LotAmount) -> tuple[Mix, ...]:
    """Return the mix of what a load holds for a step; none if the farm has no such step."""
    return tuple(
        mix_of(step)
        for route in book.routes
        for step in route.steps
        if (route.code, step.code) == (feed.route, feed.step)
    )


def _preparation(book: FarmBook, first: date) -> tuple[StoredJob, ...]:
    """Return the preparation that may have been done for cooks from a day on."""
    begin = at_clock(first - timedelta(days=7), "00:00", book.farm.time_zone)
    rows = [
        *job_store.closed_since(begin, JobKind.PREPARE.value),
        *(row for row in job_store.open_jobs() if row.kind == JobKind.PREPARE.value),
    ]
    return stored_jobs(rows)


def _thrown_out(stored: Iterable[StoredJob]) -> Iterable[tuple[PlannedJob, int, datetime]]:
    """Return what was thrown out of it, with its units, and when."""
    for each in stored:
        units = done_count(each.entries)
        if each.job.task == THROW_OUT and units:
            yield each.job, units, max(entry.happened_at for entry in each.entries)


def wet_key(mix: Mix, for_day: date) -> str:
    """Return what the job of throwing out what was prepared for a day is known by."""
    return f"wet:{mix[0]}:{mix[1]}:{for_day}"


def _thrown_of(job: PlannedJob) -> date:
    """Return the day for whose cook that was prepared which a job throws out."""
    found = re.search(r":(\d{4}-\d\d-\d\d)(?::|$)", job.key)
    return date.fromisoformat(found[1]) if found else date.max  # not so known: by an older pinset


def _prepared(
    stored: Iterable[StoredJob], book: FarmBook, first: date
) -> Iterable[tuple[PlannedJob, int, datetime]]:
    """Return the preparation of cooks from a day on, the units it was done for, and its begin."""
    cooked, zone = cooked_mixes(book), book.farm.time_zone
    for each in stored:
        job = each.job
        if job.for_day is None or job.for_day < first or job.follows_a_cook:
            continue
        if mix_in(job) in cooked:
            units = done_count(each.entries)
            if units:
                done = farm_time(max(e.happened_at for e in each.entries), zone)
                yield job, units, done.replace(tzinfo=None) - timedelta(minutes=job.minutes)


def step_of(book: FarmBook, mix: Mix) -> Step | None:
    """Return a step whose vessels are prepared as that and cooked; None if there is none."""
    return next(iter(_steps_of(book, mix)), None)


def waiting_in_words(book: FarmBook, mix: Mix, units: int) -> str:
    """Return prepared units by what they may become: ``3 blocks``, ``3 blocks or grain jars``."""
    nouns = dict.fromkeys(step_noun(step, units) for step in _steps_of(book, mix))
    return f"{units} {' or '.join(nouns) or 'units'}"


def _steps_of(book: FarmBook, mix: Mix) -> tuple[Step, ...]:
    steps = (step for route in book.routes for step in route.steps)
    return tuple(step for step in steps if step.cook and mix_of(step) == mix)
