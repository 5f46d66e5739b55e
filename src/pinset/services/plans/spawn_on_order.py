"""Spawn that is on order stands in plans under its order; once counted in, as the lot it became."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from pinset.errors import RefusedError
from pinset.farm import whereabouts
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.jobs.state import StoredJob
from pinset.services.plans.order_codes import code_of_order, is_order, start_of_order
from pinset.services.words import joined

WAITS = "waits for the delivery: count it in first"


def after_its_delivery(first: PlannedJob, second: PlannedJob) -> bool:
    """Say whether one job counts in what another uses."""
    if first.kind is not JobKind.RECEIVE or not first.order:
        return False
    return code_of_order(first.order) in {lot.lot for lot in second.lots}


def with_what_arrived(lots: Sequence[LotAmount]) -> tuple[LotAmount, ...]:
    """Return the lots, those on order as the lots that were counted in for them.

    What has not arrived keeps the code of its order. More than arrived is put on the last lot: the
    ledger asks about it.
    """
    found: list[LotAmount] = []
    for lot in lots:
        arrived = whereabouts.lots_of_order(start_of_order(lot.lot)) if is_order(lot.lot) else ()
        left = lot.units
        for number, (code, units) in enumerate(arrived, start=1):
            taken = left if number == len(arrived) else min(left, units)
            found += [replace(lot, lot=code, units=taken)] if taken > 0 else []
            left -= taken
        found += [] if arrived else [lot]
    return tuple(found)


def drawn_on_delivery(job: PlannedJob, answered: Iterable[str]) -> PlannedJob:
    """Return the job with the lots that arrived for it; ``answered`` are those a person named.

    Raises
    ------
    RefusedError
        If some of it is still on order and nothing else was named in its place.
    """
    if not _is_on_order(job):
        return job
    lots = with_what_arrived(job.lots)
    named = set(answered) - {lot.lot for lot in lots}
    if not named and any(is_order(lot.lot) for lot in lots):
        raise RefusedError(
            "What this job uses is still on order.",
            "Count the delivery in first, or say which other lots were used.",
        )
    return replace(job, lots=tuple(lot for lot in lots if not is_order(lot.lot)))


def _is_on_order(job: PlannedJob) -> bool:
    return any(is_order(lot.lot) for lot in job.lots)


def with_deliveries(stored: Sequence[StoredJob]) -> tuple[StoredJob, ...]:
    """Return stored jobs that say of spawn on order whether they wait for it, or its lot."""
    return tuple(
        replace(each, job=_said(each.job)) if _is_on_order(each.job) else each for each in stored
    )


def _said(job: PlannedJob) -> PlannedJob:
    lots = with_what_arrived(job.lots)
    here = tuple(lot for lot in lots if not is_order(lot.lot))
    if len(here) < len(lots):
        words = WAITS
    else:
        planned = {lot.lot for lot in job.lots}
        words = f"delivered as {joined([lot.lot for lot in here if lot.lot not in planned])}"
    return replace(job, lots=here, detail=f"{job.detail}; {words}" if job.detail else words)
