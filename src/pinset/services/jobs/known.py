"""The stored jobs a new plan must know: what is open, what was done, what is not asked again."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from pinset.chain.plain import from_plain
from pinset.farm import job_store
from pinset.farm.entries import Kind
from pinset.farm.job_store import JobRow
from pinset.services.jobs.matching import KnownJob, differs
from pinset.services.jobs.of_failed_cooks import TASK
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.jobs.state import done_count
from pinset.services.loads.uncooked import mix_in
from pinset.services.loads.what_waits import Mix

PREPARED_BEFORE_DAYS = 7
"""Preparation for the same cook that was done within this many days is not asked for again."""

KEPT_DAYS = 30
"""Weight in the store that is not to be thrown out at all is not asked about for this many days,
unless more goes past its days; nor are vessels of a cook that failed."""

JUDGED_DAYS = 7
"""Units past their time that a person judged still good are not asked about for this many days;
common practice, no source."""

NOT_AGAIN = frozenset(
    kind.value
    for kind in (
        JobKind.ROUND,
        JobKind.LOOK,
        JobKind.SHAKE,
        JobKind.PICK,
        JobKind.PACK,
        JobKind.GIVE,
        JobKind.DRY,
        JobKind.PREPARE,
        JobKind.OPEN,
    )
)
"""Kinds of work that, once done today, is done for today."""

BY_LOT = frozenset({JobKind.LOOK, JobKind.SHAKE})
"""Kinds of work whose jobs are put together anew with each plan: a lot is asked for once a day."""


def known_jobs() -> tuple[KnownJob, ...]:
    """Return the stored jobs that are neither done nor dropped, with what was done of each."""
    rows = job_store.open_jobs()
    counts: dict[str, int] = {}
    grams: dict[str, int] = {}
    begun: set[str] = set()
    for entry in job_store.entries_of([row.code for row in rows]):
        counts[entry.job] = counts.get(entry.job, 0) + entry.count
        grams[entry.job] = grams.get(entry.job, 0) + int(entry.details.get("grams") or 0)
        if entry.kind is not Kind.PUT_OFF:
            begun.add(entry.job)
    return tuple(
        KnownJob(
            row.code,
            from_plain(PlannedJob, row.body),
            counts.get(row.code, 0),
            grams.get(row.code, 0),
            is_claimed=bool(row.claimed_by),
            is_begun=row.code in begun,
        )
        for row in rows
    )


@dataclass(frozen=True, slots=True)
class Settled:
    """What is not asked for again today."""

    keys: frozenset[str]
    handled: frozenset[tuple[JobKind, str]]  # kind of work and lot, where a whole job was answered
    dropped: Mapping[str, int] = field(default_factory=dict)  # units of preparation, by key

    def covers(self, job: PlannedJob) -> bool:
        """Say whether a job was answered today: itself, or each of its lots by another job."""
        if job.key in self.keys:
            return True
        if job.key in self.dropped:  # what is missing beyond that was never answered
            return not differs(self.dropped[job.key], max(job.count, self.dropped[job.key]))
        lots = {(job.kind, lot.lot) for lot in job.lots}
        return job.kind in BY_LOT and bool(lots) and lots <= self.handled


def settled_today(today: date, day_begins: datetime, counted: Collection[Mix]) -> Settled:
    """Return what is not asked for again today.

    That is what was dropped today, and work done today that uses nothing up, so that a new
    reckoning would find it undone. Vessels of the mixes that are ``counted`` until a cook takes
    them are asked for as long as some are missing beyond those that were dropped.
    """
    rows = [row for row in job_store.jobs_for(today, day_begins) if row.is_closed]
    answers = job_store.entries_of([row.code for row in rows])
    dropped = {answer.job for answer in answers if answer.kind is Kind.DROP}
    begun = (
        *job_store.closed_since(
            day_begins - timedelta(days=PREPARED_BEFORE_DAYS), JobKind.PREPARE.value
        ),
        *job_store.closed_since(day_begins - timedelta(days=KEPT_DAYS), JobKind.WASTE.value),
        *_judged_good(day_begins),
    )
    dropped |= {
        answer.job
        for answer in job_store.entries_of([row.code for row in begun])
        if answer.kind is Kind.DROP
    }
    by_units = {row.code for row in (*rows, *begun) if _is_counted(row, counted)}
    return Settled(
        frozenset(
            str(row.body["key"])
            for row in (*rows, *begun)
            if row.code not in by_units and (row.code in dropped or row.kind in NOT_AGAIN)
        ),
        frozenset(
            (JobKind(row.kind), str(lot["lot"]))
            for row in rows
            if JobKind(row.kind) in BY_LOT
            for lot in row.body.get("lots", ())
        ),
        _dropped_units(row for row in (*rows, *begun) if row.code in by_units & dropped),
    )


def _dropped_units(rows: Iterable[JobRow]) -> dict[str, int]:
    """Return the units that jobs were dropped with, by their key."""
    found: dict[str, int] = {}
    for row in {row.code: row for row in rows}.values():
        left = int(row.body["count"]) - done_count(job_store.entries_of([row.code]))
        found[str(row.body["key"])] = found.get(str(row.body["key"]), 0) + max(0, left)
    return found


def _judged_good(day_begins: datetime) -> list[JobRow]:
    """Return the closed jobs of throwing out, whose answer holds still.

    That of vessels of a cook that failed holds longer than that of units past their time.
    """
    longest = job_store.closed_since(day_begins - timedelta(days=KEPT_DAYS), JobKind.DISCARD.value)
    last = job_store.closed_since(day_begins - timedelta(days=JUDGED_DAYS), JobKind.DISCARD.value)
    recent = {row.code for row in last}
    return [row for row in longest if row.body.get("task") == TASK or row.code in recent]


def _is_counted(row: JobRow, counted: Collection[Mix]) -> bool:
    if row.kind != JobKind.PREPARE.value:
        return False
    job = from_plain(PlannedJob, row.body)
    return mix_in(job) in counted


def dropped_lots(kind: JobKind, since: datetime) -> frozenset[str]:
    """Return the lots of jobs of a kind that were dropped since a moment."""
    rows = job_store.closed_since(since, kind.value)
    answers = job_store.entries_of([row.code for row in rows])
    dropped = {answer.job for answer in answers if answer.kind is Kind.DROP}
    return frozenset(
        str(lot["lot"]) for row in rows if row.code in dropped for lot in row.body.get("lots", ())
    )
