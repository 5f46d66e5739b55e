"""A transfer from spawn of which fewer came than were ordered is asked for with what came."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import floor

from pinset.farm import whereabouts
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.jobs.state import StoredJob, done_count
from pinset.services.plans.order_codes import (
    arrived_before,
    code_of_order,
    is_order,
    start_of_order,
)

NEARLY = 1e-6


def with_what_came(stored: Sequence[StoredJob]) -> tuple[StoredJob, ...]:
    """Return the jobs, transfers not begun with no more than their deliveries can still give.

    A delivery gives less once what is missing of it was dropped: until then the rest is expected.
    """
    waiting = [each for each in stored if _is_from_an_order(each)]
    if not waiting:
        return tuple(stored)
    expected = {start_of_order(code_of_order(e.order)) for e in whereabouts.orders_underway()}
    return tuple(
        replace(each, job=_with_what_came(each.job, expected)) if each in waiting else each
        for each in stored
    )


def _is_from_an_order(stored: StoredJob) -> bool:
    is_open = stored.job.kind is JobKind.TRANSFER and not stored.row.is_closed
    is_new = is_open and not done_count(stored.entries)
    return is_new and any(is_order(lot.lot) for lot in stored.job.lots)


def _with_what_came(job: PlannedJob, expected: set[str]) -> PlannedJob:
    lots = tuple(_come(lot, expected) for lot in job.lots)
    asked, here = (sum(lot.units for lot in each) for each in (job.lots, lots))
    count = floor(job.count * here / asked + NEARLY) if asked else job.count
    if here == asked or not here or not count:
        return job
    said = f"{here} of {asked} ordered came, so {count} of {job.count}"
    return replace(
        job,
        lots=tuple(lot for lot in lots if lot.units),
        count=count,
        minutes=max(1, round(job.minutes * count / job.count)) if job.minutes else 0,
        what=job.what.replace(f" from {asked} ", f" from {here} ", 1),
        detail=f"{job.detail}; {said}" if job.detail else said,
    )


def _come(lot: LotAmount, expected: set[str]) -> LotAmount:
    """Return the units of an order with as many as came, where no more are expected."""
    start = start_of_order(lot.lot) if is_order(lot.lot) else ""
    if not start or start in expected:
        return lot
    came = sum(units for _, units in whereabouts.lots_of_order(start)) - arrived_before(lot.lot)
    return replace(lot, units=max(0, min(lot.units, came)))
