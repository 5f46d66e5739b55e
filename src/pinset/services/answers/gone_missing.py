"""Vessels that went into a cook and did not come out of it whole: taken out in the same tap.

Where fewer are opened or poured than went in, the books would go on counting on the rest.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta

from pinset.errors import InputError, RefusedError
from pinset.farm import job_store, trade
from pinset.farm.entries import Kind, NewEntry
from pinset.farm.queries.alive import PreparedLot, prepared
from pinset.farm.queries.lots import lot_by_code, rows_of
from pinset.farm.trade import Taken, Tap
from pinset.services.building import Answer
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.jobs.state import StoredJob, stored_jobs
from pinset.services.loads.carried import LOOKED_BACK_DAYS, loads_of
from pinset.services.texts import LONGEST_REASON, written
from pinset.services.words import joined, plural

TIED = "tap"
"""Where an entry keeps the id of the one that it goes with, and is taken back with."""


@dataclass(frozen=True, slots=True)
class GoneMissing:
    """What is taken out with an answer, and how that is said."""

    entry: NewEntry
    words: str


def gone_missing(
    job: PlannedJob, entry: NewEntry, answer: Answer, tap: Tap, left: int
) -> GoneMissing | None:
    """Return what takes out of the books the vessels a finished job leaves nothing of.

    None where the job is no opening and no work on vessels after their cook, or all are there.

    Parameters
    ----------
    job : PlannedJob
        The opening, or the work that follows it.
    entry : NewEntry
        What was done.
    answer : Answer
        What was said of it.
    tap : Tap
        Who and when.
    left : int
        Units of the job that were not done before. [unit]

    Raises
    ------
    InputError
        If a lot is named that was not in the cook, or more of it than stand there.
    RefusedError
        If no reason is given, or it is not known which of several sorts are missing.
    """
    if job.kind is not JobKind.OPEN and not job.follows_a_cook:
        return None
    lots = _lots_of(job)
    count = int(entry.details.get("count", 0))
    standing = sum(lot.alive for lot in lots)
    missing = min(left - _gone(lots) - count, standing)
    if missing < 1:
        return None
    if not answer.reason:
        raise RefusedError(
            f"{count} of {left} are said, and {plural(missing, 'unit')} would be left out.",
            "Say with a reason what became of them, such as burst: then they are taken out of the "
            "books. If the rest is still to be done, write this down as a part.",
        )
    taken = _which(job, lots, missing, dict(answer.lots))
    cause = written("reason", answer.reason, LONGEST_REASON)
    own = replace(tap, client_id=missing_id(tap.client_id), job="", note="")
    culls = [trade.cull(own, each, cause=cause) for each in taken]
    of_each = joined([f"{each.quantity} of {each.lot}" for each in taken])
    return GoneMissing(
        replace(
            culls[0],
            postings=tuple(posting for cull in culls for posting in cull.postings),
            details={**culls[0].details, TIED: tap.client_id},
        ),
        f"{of_each} taken out of the books.",
    )


def missing_id(client_id: str) -> str:
    """Return the id of the entry that goes with an answer, always the same for the same one."""
    return hashlib.sha256(f"missing from {client_id}".encode()).hexdigest()[:32]


def _lots_of(job: PlannedJob) -> tuple[PreparedLot, ...]:
    """Return the prepared lots that stand of the cook a job opens, or does work on, by age."""
    cooks = {
        str(entry.details.get("cook", ""))
        for load in _loads(job)
        for entry in load.entries
        if entry.kind is Kind.COOK
    } - {""}
    feeds = {(feed.route, feed.step) for feed in job.feeds}
    is_all = job.kind is JobKind.OPEN
    return tuple(
        lot
        for lot in prepared()
        if lot.cook in cooks and (is_all or (lot.route, lot.step) in feeds)
    )


def _loads(job: PlannedJob) -> Sequence[StoredJob]:
    if job.kind is JobKind.OPEN:
        return loads_of(job)
    first = (job.first_day or job.day) - timedelta(days=LOOKED_BACK_DAYS)
    rows = job_store.laid_since(first, JobKind.COOK.value)
    return stored_jobs([row for row in rows if job.key.endswith(f":{row.body.get('key')}")])


def _gone(lots: Sequence[PreparedLot]) -> int:
    """Return how many of lots were lost or taken out before; the work on them is so much less."""
    rows = rows_of([lot_by_code(code) for code in {lot.code for lot in lots}])
    return sum(row.counts.lost + row.counts.culled for row in rows)


def _which(
    job: PlannedJob, lots: Sequence[PreparedLot], missing: int, done: Mapping[str, int]
) -> list[Taken]:
    """Return of which lots so many are missing: those said, or of the only sort there is."""
    if done:
        return _said(lots, missing, done)
    if len({(lot.route, lot.step) for lot in lots}) > 1:
        there = joined([f"{lot.alive} of {lot.code} ({lot.step})" for lot in lots])
        raise RefusedError(
            f"{job.place or 'The cook'} held several sorts: {there}. Nobody can tell which are "
            "missing.",
            "Answer with Done, and say how many of each lot came out.",
        )
    taken, left = list[Taken](), missing
    for lot in lots:
        units = min(lot.alive, left)
        if units:
            taken.append(Taken(lot.code, units, lot.place))
            left -= units
    return taken


def _said(lots: Sequence[PreparedLot], missing: int, done: Mapping[str, int]) -> list[Taken]:
    known = {lot.code for lot in lots}
    strange = [code for code in done if code not in known]
    if strange:
        raise InputError("lots", joined(strange), f"lots of this cook: {joined(sorted(known))}")
    taken = [
        Taken(lot.code, lot.alive - done.get(lot.code, 0), lot.place)
        for lot in lots
        if lot.alive > done.get(lot.code, 0)
    ]
    total = sum(each.quantity for each in taken)
    if total != missing:
        of_each = joined([f"{lot.alive} of {lot.code}" for lot in lots])
        raise InputError(
            "lots",
            joined([f"{code} {units}" for code, units in done.items()]),
            f"units of each lot that leave out {missing} of those there: {of_each}",
        )
    return taken
