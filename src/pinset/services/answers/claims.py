"""Who is at a job, so that nobody does it twice."""

from __future__ import annotations

from pinset.farm import job_store, whereabouts
from pinset.services.clock import now_utc


def claim(job: str, person: str) -> bool:
    """Claim a job; False if somebody else holds it or it is finished."""
    return job_store.claim(job.upper(), person, now_utc())


def release(job: str, person: str) -> bool:
    """Give a claimed job back; False if this person did not hold it."""
    return job_store.release(job.upper(), person)


def in_hand_of(row: job_store.JobRow, person: str) -> tuple[str, ...]:
    """Return what is said where a job is answered that somebody else has claimed; else nothing."""
    if row.claimed_by in {"", person}:
        return ()
    return (f"{row.claimed_name} has that job in hand: say that it is done.",)


def held_by_other(job: str, person: str, client_id: str = "") -> str:
    """Return the name of who else holds an open job; empty if nobody does.

    Also empty for a tap that was written down before: it only gets the same answer again.
    """
    row = job_store.job_by_code(job)
    if row is None or row.is_closed or row.claimed_by in {"", person}:
        return ""
    if client_id and whereabouts.entry_known(client_id):
        return ""
    return row.claimed_name
