"""What hangs on work that the plan does not ask for itself: openings, judging, deciding on lots.

Such a job names vessels or lots, and the plan says which promises it means to keep with them.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date

from pinset.planning.plan import Plan
from pinset.planning.reading.shortage_words import is_said
from pinset.services.book_reader import Reader
from pinset.services.jobs.preparing import slack_of
from pinset.services.jobs.records import JobKind, PlannedJob

BY_VESSELS = frozenset({JobKind.OPEN, JobKind.JUDGE})
"""Work on the vessels of a cook: what is made in them hangs on it."""

NAMING = BY_VESSELS | {JobKind.DECIDE}
"""Work that is not of the plan, but that the plan counts on."""


@dataclass(frozen=True, slots=True)
class _Use:
    """One start or move for which the plan counts on the work."""

    slack_days: int  # days the work may slip before what it serves is touched
    at_stake: float
    measure: str
    serves: tuple[str, ...]  # codes of promises


def with_what_hangs(job: PlannedJob, plan: Plan | None, reader: Reader) -> PlannedJob:
    """Return a job of opening, judging or deciding with the promises the plan counts on it for.

    Parameters
    ----------
    job : PlannedJob
        Of any kind; others stay as they are.
    plan : Plan, optional
        The newest plan.
    reader : Reader
        The farm's book; its day is when the job would be done at the soonest.
    """
    if plan is None or job.kind not in NAMING:
        return job
    by_vessels = job.kind in BY_VESSELS
    uses = [*(_of_vessels(job, plan, reader) if by_vessels else _of_lots(job, plan, reader.today))]
    serves = (
        *reader.promise_words(code for use in uses for code in use.serves),
        *(() if by_vessels else _expected(job, plan, reader)),
    )
    staked = [use for use in uses if is_said(use.at_stake, use.measure)]
    if not staked:
        return replace(job, serves=serves or job.serves)
    least = min(use.slack_days for use in staked)
    first = [use for use in staked if use.slack_days == least]
    amount = sum(use.at_stake for use in first if use.measure == first[0].measure)
    words = reader.about(amount, first[0].measure)
    return replace(job, serves=serves, slack_days=least, stake=words)


def _of_vessels(job: PlannedJob, plan: Plan, reader: Reader) -> Iterator[_Use]:
    """Yield the starts, soonest first, that fill the vessels of a cook."""
    left: dict[tuple[str, str], int] = defaultdict(int)
    for feed in job.feeds:
        left[feed.route, feed.step] += feed.units
    for start in sorted(plan.starts, key=lambda each: each.day):
        variety = reader.varieties.get(start.variety)
        key = (variety.route if variety else "", start.step)
        if start.is_purchase or left.get(key, 0) <= 0:
            continue
        left[key] -= round(start.count)
        cook_day = reader.today if job.kind is JobKind.OPEN else None
        slack = slack_of(start, cook_day, reader)
        if cook_day is None:
            slack += max(0, (start.day - reader.today).days)
        yield _Use(slack, start.at_stake, start.at_stake_measure, start.serves)


def _of_lots(job: PlannedJob, plan: Plan, today: date) -> Iterator[_Use]:
    """Yield the starts that take units of the lots, and the moves of them."""
    lots = {each.lot for each in job.lots}
    for start in plan.starts:
        if any(share.lot in lots for parent in start.parents for share in parent.lots):
            slack = max(0, (start.day - today).days) + start.slack_days
            yield _Use(slack, start.at_stake, start.at_stake_measure, start.serves)
    for move in plan.moves:
        if any(share.lot in lots for share in move.lots):
            slack = max(0, (move.day - today).days) + move.slack_days
            yield _Use(slack, move.at_stake, move.at_stake_measure, move.serves)


def _expected(job: PlannedJob, plan: Plan, reader: Reader) -> tuple[str, ...]:
    """Return what is expected to be picked of the lots, in words; nothing where they do not bear.

    A pick of several lots counts by the units they have in it.
    """
    lots = {each.lot for each in job.lots}
    grams = 0.0
    for pick in plan.picks:
        whole = sum(share.units for share in pick.lots)
        if whole > 0:
            grams += pick.grams * sum(s.units for s in pick.lots if s.lot in lots) / whole
    return (f"{reader.about(grams)} expected to be picked",) if is_said(grams, "gram") else ()
