"""Spawn that is on order stands in plans under its order; once counted in, as the lot it became."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from pinset.errors import RefusedError
from pinset.farm import whereabouts
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.jobs.state import StoredJob
from pinset.services.plans.fallen_short import with_what_came
from pinset.services.plans.order_codes import (
    arrived_before,
    code_of_order,
    is_order,
    start_of_order,
)
from pinset.services.words import joined

WAITS = "waits for the delivery: count it in first"


def after_its_delivery(first: PlannedJob, second: PlannedJob) -> bool:
    """Say whether one job counts in what another uses."""
    if first.kind is not JobKind.RECEIVE or not first.order:
        return False
    order = start_of_order(code_of_order(first.order))
    return order in {start_of_order(lot.lot) for lot in second.lots if is_order(lot.lot)}


def with_what_arrived(lots: Sequence[LotAmount]) -> tuple[LotAmount, ...]:
    """Return the lots, those on order as the lots that were counted in for them.

    What has not arrived keeps the code of its order. More than was ever expected is put on the last
    lot: the ledger asks about it.
    """
    if not any(is_order(lot.lot) for lot in lots):
        return tuple(lots)
    expected = {start_of_order(code_of_order(e.order)) for e in whereabouts.orders_underway()}
    found: list[LotAmount] = []
    for lot in lots:
        start = start_of_order(lot.lot)
        arrived = _since(lot.lot) if is_order(lot.lot) else ()
        comes, left = start in expected, lot.units
        for number, (code, units) in enumerate(arrived, start=1):
            is_all = number == len(arrived) and not comes
            taken = left if is_all else min(left, units)
            found += [replace(lot, lot=code, units=taken)] if taken > 0 else []
            left -= taken
        found += [replace(lot, units=left)] if left > 0 and (comes or not arrived) else []
    return tuple(found)


def _since(code: str) -> tuple[tuple[str, int], ...]:
    """Return the lots that arrived of an order after a code was given for what is left of it."""
    passed, found = arrived_before(code), []
    for lot, units in whereabouts.lots_of_order(start_of_order(code)):
        before = min(passed, units)
        passed -= before
        if units > before:
            found.append((lot, units - before))
    return tuple(found)


def drawn_on_delivery(
    job: PlannedJob, answered: Iterable[str], *, is_reasoned: bool = False
) -> PlannedJob:
    """Return the job with the lots that arrived for it; ``answered`` are those a person named.

    With a reason it may be done with the part that is there: its last lot stands for all that is
    missing, so that of a part of the work the right share is drawn. The ledger lets no lot give
    more than it has.

    Raises
    ------
    RefusedError
        If some of it is still on order and nothing else was named in its place.
    """
    if not _is_on_order(job):
        return job
    lots = with_what_arrived(job.lots)
    named = set(answered) - {lot.lot for lot in lots}
    here = [lot for lot in lots if not is_order(lot.lot)]
    if not named and len(here) < len(lots) and not (here and is_reasoned):
        part = "A part of what" if here else "What"
        raise RefusedError(
            f"{part} this job uses is still on order.",
            "Count the delivery in first, or say which other lots were used"
            + (", or give a reason for doing it with what is there." if here else "."),
        )
    for missing in (lot for lot in lots if is_order(lot.lot) and not named):
        same = [n for n, lot in enumerate(here) if lot.step == missing.step]
        if same:
            here[same[-1]] = replace(here[same[-1]], units=here[same[-1]].units + missing.units)
    return replace(job, lots=tuple(here))


def missing_part(job: PlannedJob, answered: Iterable[str]) -> list[str]:
    """Return what is said where a job is done with a part, the rest still on order; else nothing.

    ``answered`` are the lots a person named.
    """
    lots = with_what_arrived(job.lots) if _is_on_order(job) else ()
    missing = [lot.lot for lot in lots if is_order(lot.lot)]
    if not missing or set(answered) - {lot.lot for lot in lots}:
        return []
    return ["A part of what this job uses is still on order."]


def _is_on_order(job: PlannedJob) -> bool:
    return any(is_order(lot.lot) for lot in job.lots)


def with_deliveries(stored: Sequence[StoredJob]) -> tuple[StoredJob, ...]:
    """Return stored jobs that say of spawn on order whether they wait for it, or its lot."""
    return tuple(
        replace(each, job=_said(each.job)) if _is_on_order(each.job) else each
        for each in with_what_came(stored)
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
