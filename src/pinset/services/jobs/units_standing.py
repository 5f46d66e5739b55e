"""Looks and shakes name no more units of a lot than stand there now."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pinset.farm import whereabouts
from pinset.services.jobs.records import JobKind, LotAmount
from pinset.services.jobs.state import StoredJob, done_by_lot

MEANT = frozenset({JobKind.LOOK, JobKind.SHAKE})
"""Kinds of work on all that stands of a lot, whatever was there when it was laid."""


def with_units_standing(stored: Sequence[StoredJob]) -> tuple[StoredJob, ...]:
    """Return the jobs, open looks and shakes with the units that are left of their lots.

    One of which nothing is left to be done any more stays as it is: somebody drops it. Of one that
    is done in part the rest is no more than stands there: what was lost since may be what was done.
    """
    meant = [each for each in stored if each.job.kind in MEANT and not each.row.is_closed]
    if not meant:
        return tuple(stored)
    standing = whereabouts.units_of({lot.lot for each in meant for lot in each.job.lots})
    there = {code: sum(each.quantity for each in found) for code, found in standing.items()}
    return tuple(_as_it_stands(each, there) if each in meant else each for each in stored)


def _as_it_stands(stored: StoredJob, there: dict[str, int]) -> StoredJob:
    job, left, done = stored.job, dict(there), done_by_lot(stored)
    lots, rest = list[LotAmount](), 0
    for lot in job.lots:
        before = min(lot.units, done.get(lot.lot, 0))
        done[lot.lot] = done.get(lot.lot, 0) - before
        units = min(lot.units - before, left.get(lot.lot, 0))
        left[lot.lot] = left.get(lot.lot, 0) - units
        rest += units
        if before + units:
            lots.append(replace(lot, units=before + units))
    fewer = sum(lot.units for lot in job.lots) - sum(lot.units for lot in lots)
    if not fewer or not rest:
        return stored
    return replace(stored, job=replace(job, lots=tuple(lots), count=max(1, job.count - fewer)))
