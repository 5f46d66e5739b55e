"""Lots whose cook was too short held back or kept, from the page of the cook."""

from __future__ import annotations

from collections.abc import Sequence

from pinset.errors import InputError, RefusedError
from pinset.farm import job_store
from pinset.farm.queries import story
from pinset.services.answers import recording
from pinset.services.building.task import without
from pinset.services.jobs.records import JobKind, LotAmount, units_by_lot
from pinset.services.jobs.state import StoredJob, done_by_lot, stored_jobs
from pinset.services.views import Done


def deciding_on(cook: str) -> tuple[LotAmount, ...]:
    """Return the lots of a cook that wait for somebody to decide on them."""
    stored = _open_job(cook)
    return _left(stored) if stored else ()


def decide(
    client_id: str, worker: str, cook: str, lots: Sequence[str], verdict: str, reason: str
) -> Done:
    """Hold lots of a cook back or keep them; once all are decided on, the job is done.

    Parameters
    ----------
    client_id : str
        Random id of this tap; the same sent again is the same entry.
    worker, cook : str
        Codes of who decided, and of the cook.
    lots : sequence of str
        Which of those that wait for it.
    verdict : str
        ``hold`` or ``keep``.
    reason : str
        What was seen.

    Raises
    ------
    InputError
        If none is named, one does not wait for it, or verdict or reason cannot be.
    RefusedError
        If nothing of that cook waits to be decided on.
    """
    before = story.entry(client_id)
    if before is not None and before.details.get("cook") == cook:
        return Done(client_id, already=True, sentence="This was recorded already.", findings=())
    stored = _open_job(cook)
    if stored is None:
        known = job_store.jobs_by_key(JobKind.DECIDE.value, f"decide:{cook}")
        if not known:
            raise RefusedError(f"Nothing of cook {cook} waits to be decided on.")
        [stored] = stored_jobs(known[-1:])  # a refusal says so
    left = units_by_lot(_left(stored))
    wanted = list(dict.fromkeys(lots))
    if not wanted or not set(wanted) <= set(left):
        raise InputError("lots", ", ".join(wanted), f"one or more of {', '.join(left)}")
    record = recording.done if set(wanted) == set(left) else recording.part_done
    return record(
        stored.row.code,
        person=worker,
        client_id=client_id,
        lots=[(code, left[code]) for code in wanted],
        reason=reason,
        verdict=verdict,
    )


def _open_job(cook: str) -> StoredJob | None:
    rows = [
        row
        for row in job_store.jobs_by_key(JobKind.DECIDE.value, f"decide:{cook}")
        if not row.is_closed
    ]
    return stored_jobs(rows[-1:])[0] if rows else None


def _left(stored: StoredJob) -> tuple[LotAmount, ...]:
    return without(stored.job.lots, done_by_lot(stored))
