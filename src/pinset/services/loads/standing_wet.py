"""What was soaked, mixed or filled for a cook that is not coming: it stands there wet.

What is wet ferments and warms by itself; left for longer than about a day it is no substrate any
more. So it goes into a cook in time, or it is thrown out.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from pinset.chain.register import FarmBook, Step
from pinset.farm import job_store
from pinset.farm.entries import Kind
from pinset.planning.building.first_cooks import DRY
from pinset.services.clock import at_clock
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.jobs.state import StoredJob, done_count, state_of, stored_jobs
from pinset.services.loads.can_be_cooked import cook_days
from pinset.services.loads.carried import with_what_was_done
from pinset.services.loads.loaded import feeds_left, loaded_since
from pinset.services.loads.uncooked import mix_in, mixes_of, waiting_for_a_cook, waiting_in_words
from pinset.services.loads.what_waits import SMALL_PART, Mix, is_lost, step_of
from pinset.services.views import JobState
from pinset.services.words import first_upper, joined, long_day, near_day, on_day

SAID_DAYS = 3
"""What is too old to be cooked is spoken of during this many days after its cook's day."""

KEEPS = "a day after the cook it was prepared for is the latest (common practice)"
"""Said where no hour is known; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Wet:
    """What was prepared of one mix for the cooks of one day and was not cooked."""

    mix: Mix
    step: Step
    for_day: date
    tasks: tuple[str, ...]  # that were done, the first first
    units: int
    vessels: str  # the units in words: ``20 blocks``
    cook_on: date | None = None  # the day of a later cook that takes it; None: none does
    beside_on: date | None = None  # the day of a cook that takes others of the same mix
    not_done: tuple[str, ...] = ()  # tasks that are over for its day and left it out, in turn
    ready_on: date = date.max  # the first day whose cook may take it: it has stood its hours
    keeps_until: date = date.min  # the last
    wet_since: datetime | None = None  # by the farm's clock; None: no hour is known

    @property
    def keeps(self) -> str:
        """Return since when it stands wet and until when it keeps, in words."""
        if self.wet_since is None:
            return KEEPS
        since = f"{long_day(self.wet_since.date())}, {self.wet_since:%H:%M}"
        return f"wet since {since}, it keeps until {long_day(self.keeps_until)} (common practice)"

    @property
    def is_wet(self) -> bool:
        """Say whether it was wetted; chopped straw alone is dry."""
        return not set(self.tasks) <= DRY

    @property
    def words(self) -> str:
        """Return what it is: ``Straw for 20 blocks``."""
        return first_upper(f"{self.step.mix or 'what'} for {self.vessels}")


@dataclass(slots=True)
class _Taking:
    """What a cook of a day still takes of a mix."""

    day: date
    units: int


def wet_notes(book: FarmBook, today: date) -> tuple[str, ...]:
    """Return a sentence for each mix that stands wet, and what to do with it."""
    return tuple(_sentence(each, book, today) for each in standing_wet(book, today))


def standing_wet(book: FarmBook, today: date) -> tuple[Wet, ...]:
    """Return what stands prepared and goes into no cook of its own day or of today.

    Cooks are those on the list; one that was put off is of the day it was put off to.
    """
    standing = _standing(book, today)
    if not standing:
        return ()
    rows = [row for row in job_store.open_jobs() if row.kind == JobKind.COOK.value]
    cooks = _taking(with_what_was_done(stored_jobs(rows), book), book, today)
    return tuple(_left_by(cooks, standing, book, today))


def no_cook_takes(planned: Iterable[PlannedJob], book: FarmBook, today: date) -> tuple[Wet, ...]:
    """Return what stands wet and goes into none of the cooks that were just planned.

    A few more than a cook was planned with go along with it.
    """
    mixes: dict[Mix, list[date]] = defaultdict(list)
    for job in planned:
        if job.kind is JobKind.COOK:
            for mix in (mix for feed in job.feeds for mix in mixes_of(book, feed)):
                mixes[mix].append(job.day)
    return tuple(
        each
        for each in _standing(book, today)
        if each.is_wet
        and not any(each.ready_on <= day <= each.keeps_until for day in mixes.get(each.mix, ()))
    )


def _left_by(
    cooks: Mapping[Mix, Sequence[_Taking]], standing: Iterable[Wet], book: FarmBook, today: date
) -> Iterable[Wet]:
    """Return what cooks leave standing, or take on a later day than it was prepared for."""
    for each in standing:
        own = cooks.get(each.mix, ())
        in_time = [c for c in own if each.ready_on <= c.day <= each.keeps_until]
        left, later = each.units, dict[date, int]()
        for cook in in_time:
            taken = min(left, cook.units)
            cook.units -= taken
            left -= taken
            if taken and cook.day != each.for_day and cook.day > today:
                later[cook.day] = later.get(cook.day, 0) + taken
        for day, units in later.items():
            vessels = waiting_in_words(book, each.mix, units)
            yield replace(each, units=units, vessels=vessels, cook_on=day)
        beside = in_time[-1].day if in_time else None
        if left > (max(1.0, SMALL_PART * each.units) if beside else 0):
            vessels = waiting_in_words(book, each.mix, left)
            yield replace(each, units=left, vessels=vessels, beside_on=beside)


def _taking(cooks: Sequence[StoredJob], book: FarmBook, today: date) -> dict[Mix, list[_Taking]]:
    found: dict[Mix, list[_Taking]] = defaultdict(list)
    for each in cooks:
        day = max(today, each.job.day)
        if state_of(each, today) is JobState.NOT_TODAY:
            last = [entry for entry in each.entries if entry.kind is Kind.PUT_OFF][-1]
            day = date.fromisoformat(str(last.details["until"]))
        for feed in feeds_left(each.job, each.entries):
            for mix in mixes_of(book, feed):
                found[mix].append(_Taking(day, feed.units))
    return {mix: sorted(taking, key=lambda each: each.day) for mix, taking in found.items()}


def _standing(book: FarmBook, today: date) -> list[Wet]:
    first = today - timedelta(days=SAID_DAYS)
    loaded = loaded_since(first, book.farm.time_zone)
    waiting = waiting_for_a_cook(book, today, loaded, keeps_days=SAID_DAYS).moved_on(book)
    prepared = _prepared_since(book, first)
    gathered: dict[tuple[Mix, date], dict[str, int]] = defaultdict(dict)
    for (mix, task, for_day), units in waiting.units.items():
        gathered[mix, for_day][task] = units
    return [
        replace(
            found,
            ready_on=waiting.first_load(mix, for_day),
            keeps_until=waiting.last_load(mix, for_day),
            wet_since=waiting.wet_since(mix, for_day),
        )
        for (mix, for_day), tasks in sorted(gathered.items(), key=lambda item: item[0][1])
        if (step := step_of(book, mix)) is not None
        for found in _by_how_far(mix, step, for_day, tasks, prepared, book)
    ]


@dataclass(slots=True)
class _Prepared:
    """What was done of a task of a mix for a day."""

    units: int = 0
    is_over: bool = True  # no job of it is open


def _prepared_since(book: FarmBook, first: date) -> dict[tuple[Mix, str, date], _Prepared]:
    """Return what was done, by mix, task and day of its cook."""
    since = at_clock(first - timedelta(days=7), "00:00", book.farm.time_zone)
    rows = [
        *job_store.closed_since(since, JobKind.PREPARE.value),
        *(row for row in job_store.open_jobs() if row.kind == JobKind.PREPARE.value),
    ]
    found: dict[tuple[Mix, str, date], _Prepared] = defaultdict(_Prepared)
    for each in stored_jobs(rows):
        done = done_count(each.entries)
        if each.job.for_day is not None and (done or not each.row.is_closed):
            task = found[mix_in(each.job), each.job.task, each.job.for_day]
            task.units += done
            task.is_over = task.is_over and each.row.is_closed
    return found


def _by_how_far(
    mix: Mix,
    step: Step,
    for_day: date,
    tasks: Mapping[str, int],
    prepared: Mapping[tuple[Mix, str, date], _Prepared],
    book: FarmBook,
) -> Iterable[Wet]:
    """Return what stands of a mix, apart where a later task is over and was done with fewer.

    A few that a task was done with less were lost in it and do not stand there.
    """
    leads = {each.task: each.lead_hours for each in step.preparations}
    in_turn = sorted(tasks, key=lambda task: -leads.get(task, 0.0))
    reached = 0
    found: list[Wet] = []
    for place, task in reversed(list(enumerate(in_turn))):
        more = tasks[task] - reached
        reached = max(reached, tasks[task])
        if more <= 0:
            continue
        left_out = tuple(
            each
            for each in in_turn[place + 1 :]
            if (done := prepared.get((mix, each, for_day))) and done.units and done.is_over
        )
        if left_out:
            whole = prepared[mix, task, for_day].units if (mix, task, for_day) in prepared else more
            if is_lost(more, whole) or set(in_turn[: place + 1]) <= DRY:
                continue
        if found and found[-1].not_done == left_out:
            more += found[-1].units
            done_to_it = found.pop().tasks
        else:
            done_to_it = tuple(in_turn[: place + 1])
        vessels = waiting_in_words(book, mix, more)
        found.append(Wet(mix, step, for_day, done_to_it, more, vessels, not_done=left_out))
    return found


def _sentence(wet: Wet, book: FarmBook, today: date) -> str:
    stands = "stands there wet" if wet.is_wet else "stands there"
    done = f"{joined(wet.tasks)} done for the cook of {near_day(wet.for_day, today)}"
    what = f"{wet.words} {stands} ({done})"
    if wet.cook_on is not None:
        when = near_day(wet.cook_on, today)
        return f"{what}: it is to go into the cook of {when}, and no later; {wet.keeps}."
    if wet.beside_on is not None:
        when = near_day(wet.beside_on, today)
        first = f"{joined(wet.not_done)} it and " if wet.not_done else ""
        return (
            f"{what}, more than the cook of {when} is planned with: {first}put it in, too, if "
            f"there is room, or throw it out; {wet.keeps}."
        )
    if not wet.is_wet:
        return f"{what}, and no cook takes it: keep it dry for the next, or soak and cook it."
    if today > wet.keeps_until:
        return f"{what}, and no cook took it: it is too old to be cooked now; throw it out."
    soonest = min(max(today, wet.ready_on), wet.keeps_until)
    can = cook_days(wet.step.cook, soonest, wet.keeps_until, book, today)
    if not can.days:
        return (
            f"{what}, and no cook can take it while it keeps: {can.against}. Throw it out, unless "
            f"one can be done all the same, {on_day(wet.keeps_until, today)} at the latest; "
            f"{wet.keeps}."
        )
    by = on_day(can.days[-1], today)
    return (
        f"{what}, and no cook takes it: cook it {by} at the latest, or throw it out; {wet.keeps}."
    )
