"""Which parents the rest of a transfer takes: new ones, or one that an earlier part opened."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import ceil, floor

from pinset.chain.register import FarmBook, Step
from pinset.chain.step_nouns import step_noun, step_units
from pinset.farm.entries import NewEntry
from pinset.services.book_reader import Reader
from pinset.services.building.parents_opened import OF_PARENTS, Before, parents_opened
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob, units_by_lot
from pinset.services.jobs.state import StoredJob, done_count
from pinset.services.plans.order_codes import is_order
from pinset.services.words import joined

_NEARLY = 1e-6


def parents_before(stored: StoredJob, book: FarmBook) -> Before:
    """Return what earlier parts of a transfer made, and which parents they opened for it."""
    job = stored.job
    made_then = used_then = made = used = 0
    opened: LotAmount | None = None
    for entry in stored.entries:
        count, parents = done_count([entry]), int(entry.details.get("parents", 0))
        if made_then < job.laid_after:
            made_then, used_then = made_then + count, used_then + parents
        else:
            made, used = made + count, used + parents
        for lot, units in dict(entry.details.get(OF_PARENTS, {})).items():
            if units:
                opened = LotAmount(lot, units, _step_of(job, lot))
    rest = _rest(_units_per_parent(job, book), made_then, used_then)
    return Before(made, used, opened, rest)


def _step_of(job: PlannedJob, lot: str) -> str:
    steps = {each.lot: each.step for each in job.lots}
    return steps.get(lot, next((each.step for each in job.lots), ""))


def _units_per_parent(job: PlannedJob, book: FarmBook) -> float:
    """Return how many units the route makes of one parent; 0 where it does not say."""
    made_of = {lot.step for lot in job.lots}
    step = _step(job, job.step, book)
    ways = step.parents if step else ()
    return next((way.units_per_parent for way in ways if way.step in made_of), 0.0)


def _rest(per_parent: float, made: int, used: int) -> int:
    """Return the units that the last of the parents still gives, if they went as far as planned."""
    if per_parent <= 0.0 or used != ceil(made / per_parent - _NEARLY):
        return 0
    return max(0, floor(used * per_parent + _NEARLY) - made)


def with_parents_left(stored: Sequence[StoredJob], book: FarmBook) -> tuple[StoredJob, ...]:
    """Return the jobs, transfers that are part done with the parents of what is left of them."""
    return tuple(_left(each, book) if _is_part_done(each) else each for each in stored)


def _is_part_done(stored: StoredJob) -> bool:
    job = stored.job
    is_open = job.kind is JobKind.TRANSFER and not stored.row.is_closed and bool(job.lots)
    return is_open and 0 < done_count(stored.entries) < job.count


def _left(stored: StoredJob, book: FarmBook) -> StoredJob:
    job = stored.job
    left = job.count - done_count(stored.entries)
    return replace(
        stored, job=_taken(job, parents_opened(job, left, parents_before(stored, book)), book)
    )


def are_named(entry: NewEntry, lots: Sequence[tuple[str, int]]) -> bool:
    """Say whether the lots of an answer were used; those of a plan repeated say nothing."""
    of_each = entry.details.get(OF_PARENTS)
    return bool(lots) and (of_each is None or of_each == dict(lots))


def as_taken(job: PlannedJob, entry: NewEntry, book: FarmBook) -> PlannedJob:
    """Return a transfer with the parents that were really opened for what was made."""
    if job.kind is not JobKind.TRANSFER or OF_PARENTS not in entry.details:
        return job
    of_each = dict(entry.details[OF_PARENTS])
    return _taken(
        job,
        tuple(LotAmount(lot, units, _step_of(job, lot)) for lot, units in of_each.items()),
        book,
    )


def _taken(job: PlannedJob, lots: Sequence[LotAmount], book: FarmBook) -> PlannedJob:
    if units_by_lot(lots) == units_by_lot(job.lots):
        return job
    what, has_parents, _ = job.what.partition(" from ")
    said = f"{what} from {_in_words(job, lots, book)}" if has_parents else job.what
    return replace(job, what=said, lots=tuple(lots))


def _in_words(job: PlannedJob, lots: Sequence[LotAmount], book: FarmBook) -> str:
    """Return ``1 grain jar 7K4MV``, or ``the grain jar already opened, 7K4MV``."""
    of_step: dict[str, list[LotAmount]] = {}
    for lot in lots:
        if lot.units:
            of_step.setdefault(lot.step, []).append(lot)
    said = []
    for code, same in of_step.items():
        units, step = sum(lot.units for lot in same), _step(job, code, book)
        noun = step_units(step, units) if step else str(units)
        said.append(f"{noun} {joined(_codes(same))}".strip())
    for lot in lots:
        if not lot.units:
            step = _step(job, lot.step, book)
            noun = step_noun(step, 1) if step else "parent"
            said.append(f"the {noun} already opened, {lot.lot}")
    return joined(said)


def _codes(lots: Sequence[LotAmount]) -> list[str]:
    return list(dict.fromkeys(lot.lot for lot in lots if not is_order(lot.lot)))


def _step(job: PlannedJob, code: str, book: FarmBook) -> Step | None:
    """Return a step of the job's variety; None if it is no longer described."""
    reader = Reader(book, job.day)
    variety = reader.varieties.get(job.variety)
    route = reader.routes.get(variety.route) if variety else None
    return next((step for step in route.steps if step.code == code), None) if route else None
