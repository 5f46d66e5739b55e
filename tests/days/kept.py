"""What must hold from day to day: what was said is kept, what is done is not asked for again."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from itertools import pairwise

from days.robot import WAITING, Lived, jobs_of
from kept_up import ON_PAGES
from pinset.services.plans.planning_day import Planned
from pinset.services.promises import promises
from pinset.services.views import PromiseWeek

NEAR_DAYS = 10
"""What is said of so many days ahead follows from what is alive; farther ahead new work counts."""

SHARE = 0.01
"""Of a promise that rounding to whole units and kilograms may take."""

OF_LOSS = ("lost", "thrown out", "failed", "put off", "not today", "dropped", "not at all")
"""Words of causes that are none on a day on which nothing of the kind happened."""

Due = tuple[str, date]


def said_short(planned: Planned) -> dict[Due, float]:
    """Return what a plan says will be missing, by promise and due day."""
    found: dict[Due, float] = {}
    for short in planned.plan.short:
        key = (short.promise.split("@")[0], short.day)
        found[key] = found.get(key, 0.0) + short.amount
    return found


def broken_promises(days: Sequence[Lived]) -> Iterator[str]:
    """Say what was handed over less than was said, and what was said to be kept and no longer is.

    After a day lived as told nothing near is said to be shorter than before it.
    """
    rows = {(row.promise, row.day): row for row in _rows()}
    for before, after in pairwise(days):
        if not before.is_as_told:
            continue
        near = before.day + timedelta(days=NEAR_DAYS)
        said = said_short(before.planned)
        given = _beyond_what_was_said(before, rows.values())
        for (promise, due), amount in said_short(after.told).items():
            if due > near or (promise, due) not in rows:
                continue
            least = SHARE * rows[promise, due].promised
            if amount > said.get((promise, due), 0.0) + given + max(least, 1.0):
                was = said.get((promise, due), 0.0)
                yield (
                    f"{after.day:%a %d}: {promise} of {due:%a %d} is short by {amount:.0f}, "
                    f"and was by {was:.0f} the day before, which went as told"
                )
    for day in days:
        said = said_short(day.told)
        for (promise, due), row in rows.items():
            if due != day.day:
                continue
            least = row.promised - said.get((promise, due), 0.0)
            if (row.delivered or 0) < least - max(SHARE * row.promised, 1.0) and day.is_as_told:
                yield (
                    f"{due:%a %d}: {promise}: {row.delivered} of {row.promised} handed over, "
                    f"{least:.0f} were said in the morning"
                )


def _beyond_what_was_said(day: Lived, rows: Iterable[PromiseWeek]) -> float:
    """Return what was handed over beyond what was said in the morning: later ones may lack it."""
    said = said_short(day.told)
    return sum(
        max(0.0, (row.delivered or 0) - (row.promised - said.get((row.promise, row.day), 0.0)))
        for row in rows
        if row.day == day.day
    )


def _rows() -> list[PromiseWeek]:
    return [row for _, week in promises.promises_view(4).weeks for row in week]


def asked_again(days: Sequence[Lived]) -> Iterator[str]:
    """Say what is late though all that was told was done, and which causes are none."""
    waits: set[str] = set()
    first = days[0].day
    for before, after in pairwise(days):
        waits |= {job.job for job in (*before.put_off, *before.left)}
        jobs = [job for job in jobs_of(after.morning) if job.state in WAITING]
        done = {job.job for job in before.done}
        for job in jobs:
            if job.job in done:
                yield f"{after.day:%a %d}: done, and asked for again: {job.kind} {job.what}"
            # a reserve tube that is the last one now is asked for since before these days
            was_late_before = job.kind in ON_PAGES and job.late_days > (after.day - first).days
            if was_late_before or job.kind == "deliver":
                continue
            if job.late_days and job.job not in waits:
                yield f"{after.day:%a %d}: {job.late_days} days late: {job.kind} {job.what}"
        if before.is_as_told:
            for change in after.told.changes:
                if any(word in change.reason for word in OF_LOSS):
                    yield f"{after.day:%a %d}: no such cause: {change.sentence}: {change.reason}"
