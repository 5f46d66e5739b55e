"""Which new job is which old one after planning again, and what changed in words.

A job keeps its code as long as it is the same work: the same key, or the same kind of work on the
same variety and step within a few days. Its first due day is remembered, so lateness shows.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Protocol

from pinset.services.jobs.records import BY_KEY, JobKind, PlannedJob
from pinset.services.loads.same_preparation import (
    TooSoon,
    is_moved,
    is_over,
    is_same_preparation,
)
from pinset.services.views import Change
from pinset.services.words import GRAMS, near_day, plural

SAME_WORK_DAYS = 3
"""A job that moved by no more than this many days is the same job."""

DAILY = frozenset(
    {JobKind.ROUND, JobKind.PACK, JobKind.DELIVER, JobKind.GIVE, JobKind.DRY, JobKind.PICK}
)
"""Work that belongs to its day: tomorrow's is another job, but of picking that nobody began."""

COUNTED_WHOLE = frozenset({JobKind.ROUND, JobKind.LOOK, JobKind.SHAKE})
"""Work whose new count already holds what was done of it: nothing is used up by it."""

CARRIED = frozenset({JobKind.LOOK, JobKind.SHAKE})
CARRIED_DAYS = 3
"""Looks and shakes that were left undone are still asked for during this many days, beside those of
other lots that fall due meanwhile."""

SMALL_CHANGE = 0.1
"""A change of a count by less than this share, or by one unit, is not worth a word."""

WORTH_TELLING = frozenset({JobKind.TRANSFER, JobKind.COOK, JobKind.MOVE, JobKind.ORDER})


@dataclass(frozen=True, slots=True)
class KnownJob:
    """A stored job that is neither done nor dropped."""

    code: str
    job: PlannedJob
    done_count: int = 0
    done_g: int = 0  # weight of what was done
    is_claimed: bool = False
    is_begun: bool = False  # something of it was done, if less than its count shows


class Reason(Protocol):
    """Says why a job is different from what the plan before had of it."""

    def __call__(self, job: PlannedJob, before: PlannedJob | None = None, /) -> str:
        """Return a sentence; empty if nothing is to be said."""


@dataclass(frozen=True, slots=True)
class Matching:
    """What to do with the stored jobs."""

    kept: tuple[tuple[str, PlannedJob], ...]  # code, new content
    added: tuple[PlannedJob, ...]
    withdrawn: tuple[KnownJob, ...]
    finished: tuple[KnownJob, ...] = ()  # part done, and the rest is not to be done any more


def _work(job: PlannedJob) -> tuple[str, ...]:
    """Return what tells the work of a job from other work of its kind."""
    return (
        job.task,
        job.variety,
        job.step,
        job.room,
        job.to_room,
        job.steriliser,
        job.cook_kind,
        job.cook,
    )


def _is_left_picking(known: KnownJob, new: PlannedJob) -> bool:
    """Say whether a pick is one of days ago that nobody began: what was ripe hangs still."""
    old, lots = known.job, {lot.lot for lot in new.lots}
    return (
        old.kind is new.kind is JobKind.PICK
        and not (known.is_begun or known.done_count)
        and (old.variety, old.step) == (new.variety, new.step)
        and not lots.isdisjoint(lot.lot for lot in old.lots)
        and 0 < (new.day - old.day).days <= SAME_WORK_DAYS
    )


def _same_work(known: KnownJob, new: PlannedJob) -> bool:
    if _is_left_picking(known, new):
        return True
    old = known.job
    if old.kind is not new.kind or old.kind in DAILY | CARRIED | BY_KEY:
        return False
    if old.kind is JobKind.PREPARE and not is_same_preparation(old, new, known.done_count):
        return False
    if old.kind is JobKind.PREPARE:
        return abs((old.day - new.day).days) <= SAME_WORK_DAYS
    return _work(old) == _work(new) and abs((old.day - new.day).days) <= SAME_WORK_DAYS


def match(
    known: Sequence[KnownJob],
    new: Sequence[PlannedJob],
    today: date,
    loaded: Collection[str] = (),
    is_too_soon: TooSoon = lambda _mix, _day: False,
) -> Matching:
    """Return which stored jobs live on, which are new and which are gone.

    A part-done job that the new plan no longer asks for is kept as it was: what is left of it is
    the grower's to finish or to drop; of preparation whose cook is over, and of a move whose lots
    other jobs move now, it is finished. ``loaded`` are the keys of cooks that were loaded: what is
    in is to be opened, whatever the plan asks for next. ``is_too_soon`` says of a mix and a day
    that nothing new can be ready for its cook.
    """
    open_known = {each.code: each for each in known}
    kept: list[tuple[str, PlannedJob]] = []
    rest: list[PlannedJob] = []
    by_key = {each.job.key: each for each in known}
    for job in new:
        old = by_key.get(job.key)
        if old is not None and old.code in open_known:
            kept.append((old.code, _carry(old, job, today)))
            del open_known[old.code]
        else:
            rest.append(job)
    added = []
    for job in rest:
        found = next(
            (
                each
                for each in open_known.values()
                if _same_work(each, job) and not _is_to_be_opened(each.job, loaded)
            ),
            None,
        )
        if found is None:
            added.append(job)
        else:
            kept.append((found.code, _carry(found, job, today)))
            del open_known[found.code]
    asked = {(job.kind, lot.lot) for job in new for lot in job.lots}
    finished = tuple(
        each
        for each in open_known.values()
        if (
            is_over(each.job, each.done_count, new, today, loaded, is_too_soon)
            or _is_moved_by_others(each, new)
        )
        and not each.is_claimed
    )
    still = [
        each
        for each in open_known.values()
        if each not in finished
        and (_lives_on(each, today, asked) or _is_to_be_opened(each.job, loaded))
    ]
    kept += [(each.code, each.job) for each in still]
    gone = tuple(each for each in open_known.values() if each not in (*still, *finished))
    return Matching(tuple(kept), tuple(added), gone, finished)


def _is_moved_by_others(known: KnownJob, new: Sequence[PlannedJob]) -> bool:
    """Say whether the rest of a move is asked for anew: by jobs that move the same lots there."""
    old = known.job
    if old.kind is not JobKind.MOVE or not known.done_count:
        return False
    lots = {lot.lot for lot in old.lots}
    return any(
        job.kind is JobKind.MOVE
        and (job.variety, job.to_step) == (old.variety, old.to_step)
        and not lots.isdisjoint(lot.lot for lot in job.lots)
        for job in new
    )


def _is_to_be_opened(job: PlannedJob, loaded: Collection[str]) -> bool:
    return job.kind is JobKind.OPEN and job.key.replace("open:", "cook:", 1) in loaded


def _lives_on(known: KnownJob, today: date, asked: Collection[tuple[JobKind, str]]) -> bool:
    """Say whether a job the plan no longer asks for is still open work.

    Looks and shakes are not, once another job asks for the same of all their lots.
    """
    job = known.job
    if known.is_claimed and job.day >= today:
        return True  # somebody is at it
    if job.kind in CARRIED:
        is_asked = bool(job.lots) and {(job.kind, lot.lot) for lot in job.lots} <= set(asked)
        is_over = job.is_daily or (today - (job.first_day or job.day)).days > CARRIED_DAYS
        return not (is_asked or is_over)
    is_part_done = known.done_count < job.count and bool(known.done_count or known.done_g)
    return is_part_done and not (job.kind in DAILY and job.day < today)


def _carry(old: KnownJob, new: PlannedJob, today: date) -> PlannedJob:
    """Return the new content with what the old job knew: its first due day and what was done."""
    first = old.job.first_day or (old.job.day if old.job.day < today else None)
    if is_moved(old.job, new):
        first = None
    if new.kind in BY_KEY or new.kind is JobKind.PICK:
        first = new.first_day
    count = new.count
    if new.kind is JobKind.PACK:  # what was packed may be handed over already, or not
        count = max(count, min(old.job.count, count + old.done_count))
    elif new.kind is JobKind.PICK:  # a plan knows only what still hangs
        new = _with_what_was_picked(old, new)
        count = new.count
    elif new.kind not in COUNTED_WHOLE and not new.follows_a_cook:
        count += old.done_count
    laid_after = old.done_count if new.kind is JobKind.TRANSFER else 0
    minutes = round(new.minutes * count / max(1, new.count))  # of all of it, as the count is
    return replace(new, first_day=first, count=count, minutes=minutes, laid_after=laid_after)


def _with_what_was_picked(old: KnownJob, new: PlannedJob) -> PlannedJob:
    """Return a pick of the rest as one of the whole, with what was picked of it before."""
    if not old.done_g:
        return new
    grams = new.grams + old.done_g
    return replace(
        new,
        grams=grams,
        count=max(round(grams / GRAMS), old.done_count + 1),
        minutes=round(new.minutes * grams / max(1, new.grams)),
    )


def _is_told(job: PlannedJob) -> bool:
    """Say whether a change of a job is worth a word; what is carried as it gets ready is not."""
    return job.kind in WORTH_TELLING and not job.into_store


def differs(before: int, now: int) -> bool:
    """Say whether a count changed by more than a tenth and more than one."""
    return abs(now - before) > max(1.0, SMALL_CHANGE * before)


def changes(
    matching: Matching,
    known: Sequence[KnownJob],
    today: date,
    reason: Reason,
    in_sight: date,
) -> tuple[Change, ...]:
    """Return what is different from the plan before, each with its reason.

    ``in_sight`` is the last day that the plan before laid out: work beyond it is not new, only
    nearer.
    """
    before = {each.code: each.job for each in known}
    told = []
    for code, job in matching.kept:
        old = before[code]
        if not _is_told(job):
            continue
        what = f"{job.variety_name or job.place} {job.step or job.cook_kind}".strip()
        if differs(old.count, job.count):
            told.append(
                Change(
                    f"{what}, {near_day(job.day, today)}: {job.count} instead of {old.count}",
                    reason(job, old),
                )
            )
        elif old.day != job.day:
            told.append(
                Change(
                    f"{plural(job.count, 'unit')} of {what} moved from "
                    f"{near_day(old.day, today)} to {near_day(job.day, today)}",
                    reason(job, old),
                )
            )
    for job in matching.added:
        if _is_told(job) and known and job.day <= in_sight:
            what = f"{job.variety_name or job.place} {job.step or job.cook_kind}".strip()
            told.append(
                Change(
                    f"New: {plural(job.count, 'unit')} of {what}, {near_day(job.day, today)}",
                    reason(job),
                )
            )
    for each in matching.withdrawn:
        job = each.job
        if _is_told(job) and job.day >= today:
            what = f"{job.variety_name or job.place} {job.step or job.cook_kind}".strip()
            told.append(
                Change(
                    f"No longer: {plural(job.count, 'unit')} of {what}, {near_day(job.day, today)}",
                    reason(job),
                )
            )
    return tuple(told)
