"""A load that cannot be ready by its hour is loaded when it is, if the day holds it.

The hours of a day are fitted round its loads. Where filling, or the opening of an earlier day's
load in the same steriliser, ends only after its load, the load and its opening move, so that the
hours of one page agree. Where the steriliser or the people have no hours left for that, it is said
what gives.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time, timedelta
from math import ceil

from pinset.chain.day_hours import WHOLE_DAY, clock_minute
from pinset.chain.register import CookKind, FarmBook, Steriliser
from pinset.chain.who_is_here import here_on
from pinset.services.day.fitting import (
    DAY_IN_KEY,
    MINUTES,
    NEXT_DAY,
    Fitted,
    clock_of,
    fit_jobs,
    is_loaded_after,
)
from pinset.services.day.hours_left import STEP_MINUTES, loading_minutes
from pinset.services.day.weights_said import counted
from pinset.services.jobs.matching import KnownJob, Matching
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.loads.opening_hour import opening_of_cook
from pinset.services.loads.uncooked import mix_in, mixes_of

Laid = tuple[str, PlannedJob, int]
"""Code or key, content and minutes left of an open job of today."""

Fit = Callable[[Sequence[Laid]], Fitted]
"""Fits jobs into the day."""

MOST_ROUNDS = 4

FILLING = "filling takes until then"
OPENING = "the load before it is opened first"


@dataclass(frozen=True, slots=True)
class Moved:
    """Jobs with the hours they can be done at, by code, their hours, and what could not be kept."""

    fitted: Fitted
    jobs: Mapping[str, PlannedJob] = field(default_factory=dict)  # those that changed
    notes: tuple[str, ...] = ()


def fitted_with_loads(jobs: Sequence[Laid], fit: Fit, book: FarmBook, today: date) -> Moved:
    """Return the day's hours with loads not before their vessels are filled.

    Parameters
    ----------
    jobs : sequence of Laid
        Open jobs of today.
    fit : callable
        Fits jobs into the day.
    book, today : FarmBook, date
        The farm and its day.
    """
    current, changed = list(jobs), dict[str, PlannedJob]()
    fitted = fit(current)
    notes: tuple[str, ...] = ()
    for _ in range(MOST_ROUNDS):
        moved, notes = _late_loads(current, fitted, fit, book, today)
        if not moved:
            break
        changed |= moved
        current = [(code, moved.get(code, job), minutes) for code, job, minutes in current]
        fitted = fit(current)
    return Moved(fitted, changed, notes)


def with_loads_after_filling(
    matching: Matching, known: Sequence[KnownJob], book: FarmBook, today: date, since: time | None
) -> Matching:
    """Return jobs just laid with the loads of today not before their vessels are filled."""
    done = {each.code: each.done_count for each in known}
    jobs = [*matching.kept, *((job.key, job) for job in matching.added)]
    laid = [
        (code, job, round(job.minutes * max(0, job.count - done.get(code, 0)) / max(1, job.count)))
        for code, job in jobs
        if job.day <= today
    ]
    moved = fitted_with_loads(laid, lambda each: fit_jobs(each, book, today, since), book, today)
    return replace(
        matching,
        kept=tuple((code, moved.jobs.get(code, job)) for code, job in matching.kept),
        added=tuple(moved.jobs.get(job.key, job) for job in matching.added),
    )


def _late_loads(
    jobs: Sequence[Laid], fitted: Fitted, fit: Fit, book: FarmBook, today: date
) -> tuple[dict[str, PlannedJob], tuple[str, ...]]:
    loads = [
        (clock_minute(job.fixed_at), code, job)
        for code, job, _ in jobs
        if job.kind is JobKind.COOK and job.day <= today and clock_of(job.fixed_at)
    ]
    moved, notes, free = dict[str, PlannedJob](), list[str](), dict[str, int]()
    for at, code, job in sorted(loads, key=lambda each: each[:2]):
        found = _cook_of(job, book)
        if found is None:
            continue
        steriliser, kind = found
        ends = _filled_at(job, jobs, fitted, book)
        if ends > at:  # the load itself may stand in the way of its filling
            ends = _filled_at(
                job, jobs, fit([each for each in jobs if not _is_of(job, each[1])]), book
            )
        opened = _opened_at(code, job, jobs, fitted)
        if opened > at:
            freed = [(c, replace(j, fixed_at="") if c == code else j, m) for c, j, m in jobs]
            opened = _opened_at(code, job, jobs, fit(freed))
        because = OPENING if opened > ends else FILLING
        ends = max(ends, opened)
        begin = max(at, ceil(ends / STEP_MINUTES) * STEP_MINUTES, free.get(steriliser.code, 0))
        if ends >= WHOLE_DAY or (begin > at and not _holds(steriliser, kind, begin, book, today)):
            notes.append(_what_gives(job, ends if ends > at else begin, book, because))
            begin = at
        free[steriliser.code] = begin + round(kind.hours * MINUTES)
        if begin > at:
            moved |= _at(begin, code, job, kind, jobs, book, today, because)
    return moved, tuple(notes)


def _cook_of(job: PlannedJob, book: FarmBook) -> tuple[Steriliser, CookKind] | None:
    for steriliser in book.sterilisers:
        for kind in steriliser.cooks:
            if (steriliser.code, kind.code) == (job.steriliser, job.cook_kind):
                return steriliser, kind
    return None


def _is_of(load: PlannedJob, job: PlannedJob) -> bool:
    """Say whether a job is a load or its opening."""
    key = job.key.replace("open:", "cook:", 1) if job.kind is JobKind.OPEN else job.key
    return key == load.key


def _filling(load: PlannedJob, jobs: Iterable[Laid], book: FarmBook) -> list[Laid]:
    """Return the open preparation for a load."""
    mixes = {mix for feed in load.feeds for mix in mixes_of(book, feed)}
    return [
        each
        for each in jobs
        if each[1].kind is JobKind.PREPARE
        and not each[1].follows_a_cook
        and each[1].for_day == load.day
        and mix_in(each[1]) in mixes
    ]


def _filled_at(load: PlannedJob, jobs: Iterable[Laid], fitted: Fitted, book: FarmBook) -> int:
    """Return the minute of the day by which a load's vessels are filled; a day if never today."""
    ends = [0]
    for code, job, minutes in _filling(load, jobs, book):
        late = job.due and job.due != f"before {load.fixed_at}"
        if late:
            continue  # it is for a later load of the same mix
        begins = clock_of(fitted.at.get(code, ""))
        if begins is None:
            return WHOLE_DAY
        ends.append(begins.hour * MINUTES + begins.minute + max(1, minutes))
    return max(ends)


def _opened_at(code: str, load: PlannedJob, jobs: Iterable[Laid], fitted: Fitted) -> int:
    """Return the minute of the day by which earlier days' loads are out; a day if never today."""
    ends = [0]
    for other, job, minutes in jobs:
        if other == code or not is_loaded_after(job, load) or _loaded_on(job) >= _loaded_on(load):
            continue
        begins = clock_of(fitted.at.get(other, ""))
        if begins is None:
            return WHOLE_DAY
        ends.append(begins.hour * MINUTES + begins.minute + max(1, minutes))
    return max(ends)


def _loaded_on(job: PlannedJob) -> str:
    """Return the day of a load, from the key of the load or of its opening."""
    return job.key.split(":")[DAY_IN_KEY]


def _holds(steriliser: Steriliser, kind: CookKind, begin: int, book: FarmBook, today: date) -> bool:
    """Say whether a cook that is loaded at that minute is loaded by somebody and ends in time."""
    here = here_on(book, today)
    by = clock_minute(steriliser.load_at) + ceil(steriliser.hours_per_day * MINUTES)
    ends = begin + round(kind.hours * MINUTES)
    is_loaded = here.is_here(begin, loading_minutes(kind))
    return is_loaded and ends <= max(here.ends, by)


def _what_gives(load: PlannedJob, ends: int, book: FarmBook, because: str) -> str:
    words = counted(load, book.farm.units).words
    if because == OPENING:
        at = "no hours are left for that today" if ends >= WHOLE_DAY else f"about {_clock(ends)}"
        return (
            f"Load at {load.fixed_at}: {words}: {OPENING}, {at}. Open it earlier, or put this load "
            "off: no later hour today holds it."
        )
    if ends >= WHOLE_DAY:
        until = "what goes into it is not all filled today"
    else:
        until = f"it can only be loaded about {_clock(ends)}"
    return (
        f"Load at {load.fixed_at}: {words}: {until}. Load what is filled by then, or put the load "
        "off: no later hour today holds it."
    )


def _at(
    begin: int,
    code: str,
    load: PlannedJob,
    kind: CookKind,
    jobs: Iterable[Laid],
    book: FarmBook,
    today: date,
    because: str,
) -> dict[str, PlannedJob]:
    """Return a load, its preparation and its opening for a load that begins at that minute."""
    midnight = datetime.combine(today, time(0))
    ended = midnight + timedelta(minutes=begin + round(kind.hours * MINUTES))
    opening = opening_of_cook(book, load.steriliser, today, ended)
    hour = _clock(begin)
    said = f"not at {load.fixed_at}: {because}"
    detail = load.detail if because in load.detail else f"{load.detail}; {said}"
    cautions = opening.told_by(load).cautions
    moved = replace(load, fixed_at=hour, due=hour, detail=detail.removeprefix("; "))
    found = {code: replace(moved, cautions=cautions)}
    for other, job, _ in _filling(load, jobs, book):
        if job.due == f"before {load.fixed_at}":
            found[other] = replace(job, due=f"before {hour}")
    for other, job, _ in jobs:
        if job.kind is JobKind.OPEN and _is_of(load, job):
            found[other] = opening.given_to(replace(job, day=opening.day))
    return found


def _clock(minute: int) -> str:
    day, minute = divmod(minute, WHOLE_DAY)
    return f"{minute // MINUTES:02}:{minute % MINUTES:02}{NEXT_DAY if day else ''}"
