"""Which jobs of the day ask something of a lot in hand, and for how many of its units."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from pinset.chain.register import FarmBook
from pinset.errors import RefusedError
from pinset.farm import job_store
from pinset.services.book_reader import Reader
from pinset.services.jobs.parents_left import with_parents_left
from pinset.services.jobs.records import JobKind, PlannedJob, units_by_lot
from pinset.services.jobs.state import StoredJob, done_by_lot, done_count, state_of, stored_jobs
from pinset.services.views import JobState

NAMES_LOTS = frozenset({
    JobKind.SHAKE,
    JobKind.LOOK,
    JobKind.MOVE,
    JobKind.PICK,
    JobKind.CLEAR,
    JobKind.DISCARD,
    JobKind.DECIDE,
    JobKind.TRANSFER,
})  # fmt: skip
"""Kinds of work that are done on lots, or with them."""

OPEN = frozenset({JobState.OPEN, JobState.PART})


@dataclass(frozen=True, slots=True)
class AskedOf:
    """A job that is open now, with what is left of it."""

    stored: StoredJob
    left: int  # units, or kilograms
    lots: dict[str, int]  # units still asked, by lot

    @property
    def code(self) -> str:
        """Return the job's code."""
        return self.stored.row.code

    @property
    def job(self) -> PlannedJob:
        """Return what was laid out."""
        return self.stored.job


def asked_today(
    book: FarmBook, today: date, kinds: Collection[JobKind] = NAMES_LOTS
) -> tuple[AskedOf, ...]:
    """Return the jobs of some kinds that are open on a day, those due longest first.

    A transfer that is part done names the parents of what is left of it.
    """
    names = {kind.value for kind in kinds}
    rows = [row for row in job_store.open_jobs() if row.kind in names and row.day <= today]
    open_now = [each for each in stored_jobs(rows) if state_of(each, today) in OPEN]
    return tuple(_asked(each) for each in with_parents_left(open_now, book))


def _asked(stored: StoredJob) -> AskedOf:
    done = done_by_lot(stored) if stored.job.kind is not JobKind.TRANSFER else {}
    lots: dict[str, int] = defaultdict(int)
    for lot in stored.job.lots:
        units = min(lot.units, done.get(lot.lot, 0))
        done[lot.lot] = done.get(lot.lot, 0) - units
        lots[lot.lot] += lot.units - units
    left = max(0, stored.job.count - done_count(stored.entries))
    return AskedOf(stored, left, {lot: units for lot, units in lots.items() if units > 0})


def naming(asked: Iterable[AskedOf], lot: str, kind: JobKind) -> AskedOf | None:
    """Return the first job of a kind that asks something of a lot."""
    return next((each for each in asked if each.job.kind is kind and lot in each.lots), None)


def transfers_from(
    asked: Iterable[AskedOf], variety: str, step: str, reader: Reader
) -> tuple[AskedOf, ...]:
    """Return the transfers for which a lot of that variety and step is a parent."""
    return tuple(
        each
        for each in asked
        if each.job.kind is JobKind.TRANSFER
        and each.job.variety == variety
        and step in _parent_steps(each.job, reader)
    )


def _parent_steps(job: PlannedJob, reader: Reader) -> set[str]:
    try:
        return {parent.step for parent in reader.step(job.variety, job.step).parents}
    except RefusedError:  # its route is no longer described: the lots laid for it tell
        return {lot.step for lot in job.lots}


def parents_wanted(asked: AskedOf, lots: Sequence[str]) -> dict[str, int]:
    """Return how many units of each lot in hand a transfer takes, if nothing else is said.

    Lots laid out for it give what was laid out; another lot in their place gives as many as are
    laid out of those that are not in hand, one at least.
    """
    laid = units_by_lot(asked.job.lots)
    missing = sum(units for lot, units in laid.items() if lot not in lots)
    wanted = {}
    for lot in lots:
        if lot in laid:
            wanted[lot] = laid[lot]
        else:
            others = sum(each not in laid for each in lots)
            wanted[lot] = max(1, missing // others)
    return wanted


def made_of(asked: AskedOf, wanted: dict[str, int]) -> int:
    """Return how many units a transfer makes of these parents: its share of what is left."""
    laid = sum(lot.units for lot in asked.job.lots)
    if not laid or sum(wanted.values()) >= laid:
        return asked.left
    return max(1, min(asked.left, round(asked.left * sum(wanted.values()) / laid)))
