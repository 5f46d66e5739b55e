"""When preparation in a new plan is the same work as before, and when the rest of it is over.

What was begun belongs to its own mix, vessel and cook: its units keep from that cook's day on, and
what is left of it is never asked for as work on another.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from datetime import date, timedelta

from pinset.planning.building.first_cooks import LOADED_AT_ONCE
from pinset.services.day.fitting import DAY_IN_KEY
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.loads.uncooked import THROW_OUT, mix_in
from pinset.services.loads.what_waits import UNCOOKED_KEEPS_DAYS, Mix

TooSoon = Callable[[Mix, date], bool]

SAME_COOK_DAYS = 3
"""Preparation not begun is the same while its cook moves by no more than this many days."""


def _work(job: PlannedJob) -> tuple[object, ...]:
    step = job.step if job.follows_a_cook else ""
    return (job.task, mix_in(job), step, job.steriliser, job.cook_kind, job.cook)


def is_same_preparation(old: PlannedJob, new: PlannedJob, done: int) -> bool:
    """Say whether a new preparation with another key is the old one.

    Parameters
    ----------
    old, new : PlannedJob
        Two preparations.
    done : int
        Units that were done of the old one; then it stays with its cook. [unit]
    """
    if _work(old) != _work(new):
        return False
    if done and (old.follows_a_cook or old.for_day != new.for_day):
        return False
    if old.for_day is None or new.for_day is None:
        return old.for_day is new.for_day
    return abs((new.for_day - old.for_day).days) <= SAME_COOK_DAYS


def is_moved(old: PlannedJob, new: PlannedJob) -> bool:
    """Say whether preparation is for another day's cook now: what was due before is not late."""
    return new.kind is JobKind.PREPARE and old.for_day != new.for_day


def is_over(
    job: PlannedJob,
    done: int,
    asked: Iterable[PlannedJob],
    today: date,
    loaded: Collection[str],
    is_too_soon: TooSoon,
) -> bool:
    """Say whether the rest of a begun preparation is not to be done any more.

    Its cook was loaded, or what was prepared is too old, or the rest is asked for anew, or it would
    have to last longer than until its cook: what was done of it goes on without it.

    Parameters
    ----------
    job : PlannedJob
        A stored job that the new plan does not ask for as it is.
    done : int
        Units that were done of it. [unit]
    asked : iterable of PlannedJob
        The jobs of the new plan.
    today : date
        The farm's day.
    loaded : collection of str
        Keys of the cooks that were loaded in the last days.
    is_too_soon : callable
        Says of a mix and a day that nothing new can be ready for its cook.
    """
    is_begun = job.kind is JobKind.PREPARE and done > 0 and job.task != THROW_OUT
    if not is_begun or job.follows_a_cook or job.for_day is None:
        return False
    days = {key.split(":")[DAY_IN_KEY] for key in loaded if key.count(":") >= DAY_IN_KEY}
    if job.for_day.isoformat() in days:
        return True
    if job.for_day + timedelta(days=UNCOOKED_KEEPS_DAYS) < today:
        return True
    if job.task not in LOADED_AT_ONCE and is_too_soon(mix_in(job), job.for_day):
        return True
    return any(each.kind is JobKind.PREPARE and _work(each) == _work(job) for each in asked)
