"""Why something is different from the plan before."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date, datetime

from pinset.chain.register import FarmBook
from pinset.farm import since
from pinset.farm.entries import Account, Measure
from pinset.services.jobs.matching import KnownJob
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.words import first_upper, joined, kilograms, plural, short_day

MOST_NAMED = 3
"""Lots that are named in one reason."""

WORDS = {Account.GROWN: "picked"}


def reasons(
    last_entry: int,
    made_at: datetime,
    known: Sequence[KnownJob],
    today: date,
    planned_for: date,
    book: FarmBook | None = None,
) -> Callable[[PlannedJob], str]:
    """Return a function that names what happened to a variety since the last plan.

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
    taken = since.taken_out_since(last_entry)
    recorded = since.recorded_since(last_entry)
    units = book.farm.units if book else "metric"
    routes = {v.code: v.route for v in book.varieties} if book else {}
    promised = {str(body.get("variety", "")) for body in since.promises_changed_since(made_at)}
    pinned = {str(body.get("variety", "")) for body in since.pins_changed_since(made_at)}
    has_outages = bool(since.outages_changed_since(made_at))
    left_undone = [
        replace(each, job=replace(each.job, day=each.job.first_day or each.job.day))
        for each in known
        if each.job.day < today
        and each.job.kind in {JobKind.TRANSFER, JobKind.MOVE, JobKind.COOK}
        and not each.job.into_store
    ]
    otherwise = (
        "The plan takes in what was recorded since and weighs all varieties together anew."
        if planned_for == today
        else "The plan now sees a day further and weighs all varieties together anew."
    )

    def reason(job: PlannedJob) -> str:
        if job.missed_at:
            return f"It was not loaded at {job.missed_at}."
        fed = {feed.route for feed in job.feeds}
        about = {job.variety, *(code for code, route in routes.items() if route in fed)} - {""}
        parts = [
            f"{plural(each.units, 'unit')} of {each.lot} {each.account.value}"
            for each in taken
            if each.variety in about
        ][:MOST_NAMED]
        if about & promised:
            parts.append("a promise of this variety changed")
        if about & pinned:
            parts.append("a pin of this variety was set or taken off")
        if has_outages:
            parts.append("what is out of use changed")
        parts += [_undone(each) for each in left_undone if each.job.variety == job.variety][:2]
        if parts:
            return f"{first_upper(joined(parts))}."
        came = [_came(each, units) for each in recorded if each.variety in about]
        more = len(came) - MOST_NAMED
        named = [*came[:MOST_NAMED], *([f"{more} more"] if more > 0 else [])]
        return f"Recorded since the last plan: {joined(named)}." if came else otherwise

    return reason


def _came(recorded: since.Recorded, units: str) -> str:
    """Return what came or went: ``24 units of ABCDE made``, ``3 kg of ABCDE picked``."""
    if recorded.measure is Measure.GRAM:
        what = kilograms(recorded.quantity, units)
    else:
        what = plural(recorded.quantity, recorded.measure.value)
    return f"{what} of {recorded.lot} {WORDS.get(recorded.account, recorded.account.value)}"


def _undone(known: KnownJob) -> str:
    """Return what was left of a job: all of it, or what was not done of it."""
    job, done = known.job, known.done_count
    what = f"{job.step or job.cook_kind} of {short_day(job.day)}"
    return f"of {what} {done} of {job.count} were done" if done else f"{what} was not done"
