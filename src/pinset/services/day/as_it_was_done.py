"""Jobs that are done are shown with the lots they were done on, where those came to stand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pinset.farm.queries.moves import moved_to
from pinset.services.answers.done_said import as_done
from pinset.services.jobs.records import ON_ITS_LOTS, JobKind, LotAmount
from pinset.services.jobs.state import StoredJob

Shelves = dict[tuple[str, str], tuple[str, ...]]


def with_lots_done(stored: Sequence[StoredJob]) -> tuple[StoredJob, ...]:
    """Return the jobs, those closed with the lots and units that their entries name."""
    return tuple(_as_done(each) for each in stored)


def shelves_reached(stored: Sequence[StoredJob]) -> Shelves:
    """Return, of moves that are closed, the shelves that were carried to, by job and lot."""
    return moved_to(
        [each.row.code for each in stored if each.row.is_closed and each.job.kind is JobKind.MOVE]
    )


def _as_done(stored: StoredJob) -> StoredJob:
    job = stored.job
    if not stored.row.is_closed or job.kind not in ON_ITS_LOTS:
        return stored
    units: dict[str, int] = {}
    for entry in stored.entries:
        for lot, count in dict(entry.details.get("of_lots", {})).items():
            units[lot] = units.get(lot, 0) + int(count)
    planned: dict[str, int] = {}
    for each in job.lots:
        planned[each.lot] = planned.get(each.lot, 0) + each.units
    if not units or units == planned:
        return stored
    steps = {each.lot: each.step for each in job.lots}
    usual = next(iter(steps.values()), "")
    lots = tuple(LotAmount(lot, count, steps.get(lot, usual)) for lot, count in units.items())
    what = as_done(job, tuple(units.items()))
    return replace(stored, job=replace(job, what=what, lots=lots))
