"""Looks, shakes and moves name no more units of a lot than stand there now."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from pinset.chain.register import FarmBook
from pinset.farm import whereabouts
from pinset.farm.queries.seen_bad import seen_bad_at
from pinset.farm.whereabouts import Standing
from pinset.services.jobs.records import JobKind, LotAmount
from pinset.services.jobs.state import StoredJob, done_by_lot
from pinset.services.plans.order_codes import is_order

MEANT = frozenset({JobKind.LOOK, JobKind.SHAKE, JobKind.MOVE})
"""Kinds of work on all that stands of a lot, whatever was there when it was laid."""


def with_units_standing(stored: Sequence[StoredJob], book: FarmBook) -> tuple[StoredJob, ...]:
    """Return the jobs, open looks, shakes and moves with the units that are left of their lots.

    One of which nothing is left to be done any more stays as it is: somebody drops it. Of one that
    is done in part the rest is no more than stands there: what was lost since may be what was done.
    What is on order does not stand anywhere yet. No move is for units that were seen contaminated
    and left standing; where no others are left of it, nothing hangs on it.
    """
    meant = [each for each in stored if each.job.kind in MEANT and not each.row.is_closed]
    if not meant:
        return tuple(stored)
    found = whereabouts.units_of({lot.lot for each in meant for lot in each.job.lots})
    rooms = {shelf.code: room.code for room in book.rooms for shelf in room.shelves}
    moved = {lot.lot for each in meant if each.job.kind is JobKind.MOVE for lot in each.job.lots}
    bad = seen_bad_at(moved) if moved else {}
    return tuple(
        _as_it_stands(each, _there(each, found, rooms, bad)) if each in meant else each
        for each in stored
    )


def _there(
    stored: StoredJob,
    found: dict[str, tuple[Standing, ...]],
    rooms: dict[str, str],
    bad: Mapping[tuple[str, str], int],
) -> dict[str, int]:
    """Return the units of each lot that the work can still be done on.

    Of a move what stands elsewhere than in its room; where a lot stays in its room, what is left
    after what was done; and of that only what was not seen contaminated.
    """
    job, done = stored.job, done_by_lot(stored)
    left: dict[str, int] = {}
    for code in {lot.lot for lot in job.lots}:
        standing = found.get(code, ())
        whole = sum(each.quantity for each in standing)
        if job.kind is not JobKind.MOVE:
            left[code] = whole
            continue
        apart = [each for each in standing if rooms.get(each.place) != job.to_room]
        here = sum(each.quantity for each in apart) or max(0, whole - done.get(code, 0))
        seen = sum(bad.get((code, each.place), 0) for each in apart or standing)
        left[code] = max(0, here - seen)
    return left


def _as_it_stands(stored: StoredJob, left: dict[str, int]) -> StoredJob:
    job, done = stored.job, done_by_lot(stored)
    lots, rest = list[LotAmount](), 0
    for lot in job.lots:
        before = min(lot.units, done.get(lot.lot, 0))
        done[lot.lot] = done.get(lot.lot, 0) - before
        units = lot.units - before
        if not is_order(lot.lot):
            units = min(units, left.get(lot.lot, 0))
            left[lot.lot] = left.get(lot.lot, 0) - units
        rest += units
        if before + units:
            lots.append(replace(lot, units=before + units))
    fewer = _units(job.lots) - _units(lots)
    if fewer and not rest and job.kind is JobKind.MOVE:
        return replace(stored, job=replace(job, stake="", serves=(), slack_days=0))
    if not fewer or not rest:
        return stored
    count = max(1, job.count - fewer)
    minutes = round(job.minutes * count / max(1, job.count))
    return replace(stored, job=replace(job, lots=tuple(lots), count=count, minutes=minutes))


def _units(lots: Iterable[LotAmount]) -> int:
    return sum(lot.units for lot in lots)
