"""Loads whose hold a newer log speaks against: said with the job, with the longer hold.

The farm's own figure for a cook is a number somebody wrote down. A log that heated slower than what
was learnt of that load may show that it is too short.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

from pinset.chain.register import CookKind, FarmBook
from pinset.errors import InputError
from pinset.services.cooks.learn.learnt_said import learnt_said
from pinset.services.jobs.of_cooks import own_hold
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.jobs.state import StoredJob
from pinset.services.words import minutes_in_words

if TYPE_CHECKING:
    from pinset.services.cooks.loads import LoadPlan

FIVE_MIN = 5  # a hold that is said is rounded up to so many minutes


@dataclass(frozen=True, slots=True)
class DoubtedHold:
    """A hold that newer logs speak against."""

    own: int  # the farm's own figure [min]
    longest: float | None  # that follows from the logs; None: not known [min]
    logs: str  # what they say, in sentences

    @property
    def longer_min(self) -> float:
        """By how much the load is held longer, as far as it is known."""
        return max(0.0, (self.longest or 0.0) - self.own)


def with_newer_logs(stored: Iterable[StoredJob], book: FarmBook) -> tuple[StoredJob, ...]:
    """Return jobs; those that load a cook with what newer slower logs say against their hold."""
    found = tuple(stored)
    if not any(_is_to_load(each) for each in found) or not learnt_said():
        return found
    return tuple(
        replace(each, job=_said(each.job, book)) if _is_to_load(each) else each for each in found
    )


def _is_to_load(stored: StoredJob) -> bool:
    return stored.job.kind is JobKind.COOK and not stored.row.is_closed


def doubted_hold(job: PlannedJob, book: FarmBook) -> DoubtedHold | None:
    """Return what newer slower logs say against the hold of a job's load; None: nothing."""
    kind = _kind_of(job, book)
    doubted = _doubted(job, book)
    if kind is None or not doubted:
        return None
    logs = " ".join(dict.fromkeys(said for load, _ in doubted for said in load.unlike))
    longest = max((_hold(load, rule) for load, rule in doubted), key=_long)
    return DoubtedHold(kind.hold_minutes, longest, logs)


def _said(job: PlannedJob, book: FarmBook) -> PlannedJob:
    found = doubted_hold(job, book)
    if found is None:
        return job
    longest, hold_minutes = found.longest, found.own
    own = minutes_in_words(hold_minutes)
    if longest is None:
        words = (
            f"Hold at least {own}, the farm's own figure: a newer log disagrees with what was "
            "learnt, and by it that may be too short."
        )
    elif longest > hold_minutes:
        words = (
            f"Hold {minutes_in_words(longest)}, not {own}, the farm's own figure: a newer log "
            "disagrees with what was learnt, and by it that is too short."
        )
    else:
        words = (
            f"{own_hold(hold_minutes)} A newer log disagrees with what was learnt; by it "
            f"{minutes_in_words(longest)} are reckoned, and the longer figure stays."
        )
    words += f" {found.logs} Reckoned, not a proof."
    plain = own_hold(hold_minutes)
    is_there = plain in job.detail
    return replace(
        job, detail=job.detail.replace(plain, words, 1) if is_there else f"{words} {job.detail}"
    )


def _long(minutes: float | None) -> float:
    return float("inf") if minutes is None else minutes


def _kind_of(job: PlannedJob, book: FarmBook) -> CookKind | None:
    return next(
        (
            kind
            for steriliser in book.sterilisers
            if steriliser.code == job.steriliser
            for kind in steriliser.cooks
            if kind.code == job.cook_kind
        ),
        None,
    )


def _doubted(job: PlannedJob, book: FarmBook) -> list[tuple[LoadPlan, str]]:
    """Return the loads a job may hold of which a newer log heated slower, with their rules."""
    from pinset.services.cooks.ahead.newer_logs import with_learnt
    from pinset.services.cooks.typed import load_of  # with numpy, where a log was learnt from only
    from pinset.services.cooks.usual import usual_loads

    alike = [
        each
        for each in usual_loads(book)
        if (each.steriliser, each.cook_kind) == (job.steriliser, job.cook_kind)
    ]
    steps = {feed.step for feed in job.feeds}
    held = [each for each in alike if each.code.split(":")[3] in steps] or alike
    found = [(with_learnt(load_of(each.typed)), each.rule) for each in held]
    return [(load, rule) for load, rule in found if load.is_doubted]


@lru_cache(maxsize=32)
def _hold(load: LoadPlan, rule: str) -> float | None:
    """Return the minutes a load is to be held, as a plan of it says.

    None: no hold is long enough, or the farm has no rule to reckon by.
    """
    from pinset.services.cooks.ahead.planning import plan_cook
    from pinset.services.cooks.judge.judging import read_rule

    if not rule:
        return None
    try:
        minutes = plan_cook(load, read_rule(rule)).ruling.hold_min
    except InputError:
        return None  # then no figure is said, and the flag all the same
    return None if minutes is None else float(-(-minutes // FIVE_MIN) * FIVE_MIN)
