"""Stored jobs with the entries that answer them, and where each stands."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from pinset.chain.plain import from_plain
from pinset.farm import job_store
from pinset.farm.entries import Kind
from pinset.farm.job_store import JobEntry, JobRow
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.views import JobState


@dataclass(frozen=True, slots=True)
class StoredJob:
    """A stored job with its content and the entries that answer it."""

    row: JobRow
    job: PlannedJob
    entries: tuple[JobEntry, ...]


def stored_jobs(rows: Sequence[JobRow]) -> tuple[StoredJob, ...]:
    """Return stored jobs with their content and the standing entries that answer them."""
    answers: dict[str, list[JobEntry]] = defaultdict(list)
    for entry in job_store.entries_of([row.code for row in rows]):
        answers[entry.job].append(entry)
    return tuple(
        StoredJob(row, from_plain(PlannedJob, row.body), tuple(answers[row.code])) for row in rows
    )


def done_count(entries: Iterable[JobEntry]) -> int:
    """Return how many units (or kilograms, as the job counts) were done."""
    return sum(entry.count for entry in entries if entry.kind not in {Kind.PUT_OFF, Kind.DROP})


def state_of(stored: StoredJob, today: date) -> JobState:
    """Return where a job stands, from its entries."""
    kinds = {entry.kind for entry in stored.entries}
    if Kind.DROP in kinds:
        return JobState.NOT_AT_ALL
    if stored.row.is_closed:
        is_passed = stored.job.kind is JobKind.PREPARE and not done_count(stored.entries)
        return JobState.PASSED if is_passed else JobState.DONE
    put_off = [entry for entry in stored.entries if entry.kind is Kind.PUT_OFF]
    if put_off and str(put_off[-1].details.get("until", "")) > today.isoformat():
        return JobState.NOT_TODAY
    return JobState.PART if is_begun(stored.entries) else JobState.OPEN


def is_begun(entries: Iterable[JobEntry]) -> bool:
    """Say whether something of a job was done: units, or a weight too small to count."""
    told = tuple(entries)
    return bool(done_count(told)) or any(each.details.get("grams") for each in told)


def done_by_lot(stored: StoredJob) -> dict[str, int]:
    """Return the units of each lot of a job that were done, as far as its lots hold them still.

    What was done before the last plan is no longer among the lots that plan laid.
    """
    passed = stored.job.count - sum(lot.units for lot in stored.job.lots)
    found: dict[str, int] = {}
    for entry in stored.entries:
        if passed > 0:
            passed -= entry.count
            continue
        for lot, units in dict(entry.details.get("of_lots", {})).items():
            found[lot] = found.get(lot, 0) + int(units)
    return found
