"""Which units of a lot are taken: those that are meant, else what keeps least where it stands."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from pinset.chain.living import LivingLot
from pinset.chain.readiness import LotState, keeps_until, state
from pinset.farm.queries.alive import living
from pinset.farm.trade import Taken
from pinset.farm.whereabouts import Standing
from pinset.services.building.task import Task
from pinset.services.jobs.moves_said import GONE
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob

ANY_AGE = frozenset({JobKind.SHAKE, JobKind.LOOK, JobKind.DECIDE})
"""Kinds of work that leave the units where they are, whether they are ready or not."""

Shelf = tuple[str, str]  # code of a lot, and of a place where it stands


def places(task: Task, lots: Sequence[LotAmount]) -> list[Taken]:
    """Return what is taken from where.

    First the units that are meant: those of the shelf that was laid down. What the shelf no longer
    holds, or where none was laid down, comes from the units the work is on: in the step it is on (a
    part of the lot may fruit already), not standing where they are to be carried, ready and within
    their time (what is thrown out: past it), in the job's room. Of these go first those that keep
    least long where they stand, then those of the place with most.
    """
    standing = task.standing({lot.lot for lot in lots})
    spread = [code for code, found in standing.items() if len(found) > 1]
    parts = living(task.day, lots=spread) if spread else ()
    left = {(code, each.place): each.quantity for code, at in standing.items() for each in at}
    taken: dict[Shelf, int] = {}
    wanted: list[tuple[LotAmount, int]] = []
    for lot in lots:
        meant = _take(taken, left, (lot.lot, lot.place), lot.units)
        wanted.append((lot, lot.units - meant))
    for lot, units in wanted:
        still, found = units, standing.get(lot.lot, ())
        own = [part for part in parts if part.code == lot.lot]
        for place, there in _in_turn(task, lot, own, found):
            still -= _take(taken, left, (lot.lot, place), min(still, there))
        if still > 0:  # more than the books know of: said as it was said, the ledger asks about it
            first = next((key for key in taken if key[0] == lot.lot), None)
            shelf = first or (lot.lot, found[0].place if found else "")
            taken[shelf] = taken.get(shelf, 0) + still
    return [Taken(code, units, place) for (code, place), units in taken.items()]


def least_keeping_first(standing: Sequence[Standing], day: date) -> list[Standing]:
    """Return where units stand, first those of which some keep least long there."""
    if len(standing) <= 1:
        return list(standing)
    until: dict[Shelf, date] = {}
    for part in living(day, lots={each.lot for each in standing}):
        key = (part.code, part.place)
        until[key] = min(until.get(key, date.max), _until(part))
    return sorted(standing, key=lambda each: until.get((each.lot, each.place), date.max))


def keeping_least(parts: Iterable[LivingLot]) -> list[LivingLot]:
    """Return units in the order in which they are to be used; alike ones stay in theirs."""
    return sorted(parts, key=_until)


def _take(taken: dict[Shelf, int], left: dict[Shelf, int], shelf: Shelf, wanted: int) -> int:
    """Take up to so many units of a shelf; return how many it gives."""
    units = min(wanted, left.get(shelf, 0))
    if units > 0:
        left[shelf] -= units
        taken[shelf] = taken.get(shelf, 0) + units
    return max(0, units)


def _in_turn(
    task: Task, lot: LotAmount, parts: Sequence[LivingLot], standing: Sequence[Standing]
) -> list[tuple[str, int]]:
    """Return places with the units that may be taken there, in turn; at last whatever stands."""
    most = {each.place: number for number, each in enumerate(standing)}
    turns = sorted(
        parts, key=lambda part: (*_distance(task, lot, part), most.get(part.place, len(most)))
    )
    found = [(part.place, part.alive) for part in turns]
    return [*found, *((each.place, each.quantity) for each in standing)]


def _distance(task: Task, lot: LotAmount, part: LivingLot) -> tuple[bool, bool, int, bool, date]:
    """Return how far units are from those that the work is on; the least goes first."""
    job = task.job
    other_step = (
        part.step == job.to_step if job.to_step else bool(lot.step) and part.step != lot.step
    )
    is_there = bool(job.to_room) and not job.to_step and part.room == job.to_room
    elsewhere = bool(job.room) and part.room != job.room
    since = part.step_since if job.kind is JobKind.CLEAR else _until(part)
    return other_step, is_there, _unfit(job, part, task.day), elsewhere, since


def _unfit(job: PlannedJob, part: LivingLot, day: date) -> int:
    """Return 0 for units that are fit for the work, more for others; not ready ones come last."""
    if job.kind in ANY_AGE or job.kind is JobKind.CLEAR:
        return 0
    now = state(part, day).state
    if job.kind is JobKind.DISCARD:
        return 0 if now in GONE else 1
    return {LotState.READY: 0, LotState.NOT_READY: 2}.get(now, 1)


def _until(part: LivingLot) -> date:
    return keeps_until(part) or date.max
