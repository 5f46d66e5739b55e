"""The job that an answer is for: found, and still open."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from pinset.chain.register import FarmBook
from pinset.errors import RefusedError
from pinset.farm import job_store
from pinset.farm.job_store import JobRow
from pinset.services.jobs.state import StoredJob, state_of, stored_jobs
from pinset.services.jobs.units_standing import with_units_standing
from pinset.services.loads.carried import with_what_was_done
from pinset.services.plans.fallen_short import with_what_came
from pinset.services.promises.picked_today import with_what_was_picked
from pinset.services.views import Done, JobState


@dataclass(frozen=True, slots=True)
class FoundJob:
    """A job that an answer is for, and where it stands."""

    stored: StoredJob
    state: JobState


def find_job(job: str | JobRow, today: date, book: FarmBook) -> FoundJob:
    """Return a job with the numbers of what was done before it.

    ``job`` is its code, or its row where that was read in the same transaction.

    Raises
    ------
    RefusedError
        If there is no such job.
    """
    row = job_store.job_by_code(job) if isinstance(job, str) else job
    if row is None:
        raise RefusedError(f"There is no job {job}.", "Today lists the jobs there are.")
    asked = with_units_standing(with_what_was_done(stored_jobs((row,)), book), book)
    [stored] = with_what_was_picked(with_what_came(asked), book, today)
    return FoundJob(stored, state_of(stored, today))


def refuse_finished(found: FoundJob) -> None:
    """Refuse another answer to a job that is finished.

    Raises
    ------
    RefusedError
        If it is done, or dropped.
    """
    if found.state is JobState.PASSED:
        raise RefusedError(
            f"What comes after {found.stored.row.code} is written down as done, so it is not "
            "asked for any more.",
            "Take that entry back first, if it is wrong.",
        )
    if found.state in {JobState.DONE, JobState.NOT_AT_ALL}:
        raise RefusedError(
            f"Job {found.stored.row.code} is recorded as {found.state.value}.",
            "Take that entry back first, if it is wrong.",
        )


def already_said(client_id: str) -> Done:
    """Return what is said of a tap that was written down before."""
    return Done(client_id, already=True, sentence="This was recorded already.", findings=())
