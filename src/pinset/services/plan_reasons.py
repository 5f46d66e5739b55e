"""Why something is different from the plan before."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date, datetime

from pinset.farm import since
from pinset.services.job_records import JobKind, PlannedJob
from pinset.services.jobs_matching import KnownJob
from pinset.services.words import first_upper, joined, plural, short_day


def reasons(
    last_entry: int, made_at: datetime, known: Sequence[KnownJob], today: date, planned_for: date
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
    """
    taken = since.taken_out_since(last_entry)
    promised = {str(body.get("variety", "")) for body in since.promises_changed_since(made_at)}
    pinned = {str(body.get("variety", "")) for body in since.pins_changed_since(made_at)}
    has_outages = bool(since.outages_changed_since(made_at))
    left_undone = [
        replace(each, job=replace(each.job, day=each.job.first_day or each.job.day))
        for each in known
        if each.job.day < today and each.job.kind in {JobKind.TRANSFER, JobKind.MOVE, JobKind.COOK}
    ]
    otherwise = (
        "The plan takes in what was recorded since and weighs all varieties together anew."
        if planned_for == today
        else "The plan now sees a day further and weighs all varieties together anew."
    )

    def reason(job: PlannedJob) -> str:
        if job.missed_at:
            return f"It was not loaded at {job.missed_at}."
        parts = [
            f"{plural(each.units, 'unit')} of {each.lot} {each.account.value}"
            for each in taken
            if each.variety == job.variety
        ][:3]
        if job.variety in promised:
            parts.append("a promise of this variety changed")
        if job.variety in pinned:
            parts.append("a pin of this variety was set or taken off")
        if has_outages:
            parts.append("what is out of use changed")
        parts += [_undone(each) for each in left_undone if each.job.variety == job.variety][:2]
        return f"{first_upper(joined(parts))}." if parts else otherwise

    return reason


def _undone(known: KnownJob) -> str:
    """Return what was left of a job: all of it, or what was not done of it."""
    job, done = known.job, known.done_count
    what = f"{job.step or job.cook_kind} of {short_day(job.day)}"
    return f"of {what} {done} of {job.count} were done" if done else f"{what} was not done"
