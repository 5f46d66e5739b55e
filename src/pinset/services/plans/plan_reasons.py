"""Why something is different from the plan before."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime

from pinset.chain.register import FarmBook
from pinset.farm import since
from pinset.services.jobs.matching import KnownJob, Reason
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.loads.uncooked import mix_in, mixes_of
from pinset.services.plans.causes import Steps, causes_since
from pinset.services.plans.outage_reasons import OutagesChanged
from pinset.services.words import first_upper, joined, short_day

MOST_NAMED = 3
"""Causes that are named in one reason."""

WORK = frozenset({JobKind.TRANSFER, JobKind.MOVE, JobKind.COOK, JobKind.PREPARE})


def reasons(
    last_entry: int,
    made_at: datetime,
    known: Sequence[KnownJob],
    today: date,
    planned_for: date,
    book: FarmBook | None = None,
) -> Reason:
    """Return a function that names what happened since the last plan to what a job is about.

    It is given the job, and as it was before where both plans have it. Only what touches the lots,
    steps or vessels of a job is named; where nothing does, that no single cause is known is said.

    Parameters
    ----------
    last_entry, made_at : int, datetime
        What the plan before was made from, and when.
    known : sequence of KnownJob
        The stored jobs.
    today, planned_for : date
        Today, and the day the plan before was made for.
    book : FarmBook, optional
        The farm: a cook is for the varieties whose routes it feeds.
    """
    happened, steps = causes_since(last_entry, book), Steps(book)
    routes = {v.code: v.route for v in book.varieties} if book else {}
    promised = {str(body.get("variety", "")) for body in since.promises_changed_since(made_at)}
    pinned = {str(body.get("variety", "")) for body in since.pins_changed_since(made_at)}
    outages = OutagesChanged(made_at, book, today) if book else None
    left_undone = [
        replace(each, job=replace(each.job, day=each.job.first_day or each.job.day))
        for each in known
        if each.job.day < today and each.job.kind in WORK and not each.job.into_store
    ]
    seen = "" if planned_for == today else "sees a day further and "
    otherwise = f"No single cause is known: the plan {seen}weighs all varieties together anew."

    def reason(job: PlannedJob, before: PlannedJob | None = None) -> str:
        if job.missed_at:
            return f"It was not loaded at {job.missed_at}."
        fed = {feed.route for feed in job.feeds}
        about = {job.variety, *(code for code, route in routes.items() if route in fed)} - {""}
        own = steps.of_job(job)
        parts = [each.words for each in happened if each.about.meets(own)][:MOST_NAMED]
        if about & promised:
            parts.append("a promise of this variety changed")
        if about & pinned:
            parts.append("a pin of this variety was set or taken off")
        if outages is not None:
            parts += outages.touching([job, *([before] if before else [])])[:MOST_NAMED]
        parts += [_undone(each) for each in left_undone if _is_before(each.job, job, book)][:2]
        return f"{first_upper(joined(parts))}." if parts else otherwise

    return reason


def _is_before(undone: PlannedJob, job: PlannedJob, book: FarmBook | None) -> bool:
    """Say whether work that was left undone is of what a job is about."""
    if undone.kind is JobKind.PREPARE:
        mixes = {mix for feed in job.feeds for mix in mixes_of(book, feed)} if book else set()
        return job.kind is JobKind.COOK and not undone.follows_a_cook and mix_in(undone) in mixes
    if undone.kind is JobKind.COOK and job.kind is JobKind.COOK:
        fed = {(feed.route, feed.step) for feed in job.feeds}
        is_same_kind = undone.cook_kind == job.cook_kind
        return is_same_kind and (
            not fed or bool(fed & {(feed.route, feed.step) for feed in undone.feeds})
        )
    return bool(job.variety) and undone.variety == job.variety


def _undone(known: KnownJob) -> str:
    """Return what was left of a job: all of it, or what was not done of it."""
    job, done = known.job, known.done_count
    name = job.task if job.kind is JobKind.PREPARE else job.step or job.cook_kind
    what = f"{name} of {short_day(job.day)}"
    return f"of {what} {done} of {job.count} were done" if done else f"{what} was not done"
