"""Taking back what was recorded: a correcting entry, and the job open again."""

from __future__ import annotations

import hashlib
from datetime import datetime

from django.db import transaction

from pinset.errors import InputError
from pinset.farm import door, job_store
from pinset.farm.corrections import undo_of
from pinset.farm.entries import NewEntry
from pinset.farm.queries.looks import tied_to
from pinset.farm.trade import Tap
from pinset.services.answers.after_filling import is_answered
from pinset.services.answers.after_undo import take_off_what_followed
from pinset.services.answers.answered_job import already_said
from pinset.services.answers.built_on import refuse_if_built_on
from pinset.services.answers.counted_since import refuse_if_counted_since
from pinset.services.answers.known_taps import is_known
from pinset.services.clock import now_utc
from pinset.services.jobs.state import stored_jobs
from pinset.services.plans import planning_day
from pinset.services.texts import LONGEST_NOTE, written
from pinset.services.views import Done


def undo(entry: str, *, person: str, client_id: str, reason: str) -> Done:
    """Take an entry back by a correcting entry, and open its job again.

    What a look took out in the same tap is put back with it.

    Raises
    ------
    RefusedError
        If there is no such entry, it was taken back already, or something stands on it; the
        sentence names what.
    """
    if not reason.strip():
        raise InputError("reason", reason, "a few words on why it is taken back")
    now = now_utc()
    book, _ = planning_day.farm_book(now)
    with transaction.atomic():
        if is_known(client_id, corrects=entry):
            return already_said(client_id)
        refuse_if_counted_since(entry)
        refuse_if_built_on(entry, book)
        correcting = undo_of(
            entry, Tap(client_id, now, person, note=written("reason", reason, LONGEST_NOTE))
        )
        tied = _tied(entry, client_id, person, now)
        recorded, *_ = door.record([correcting, *tied], now=now)
        if correcting.job and not _is_finished(correcting.job):
            job_store.reopen(correcting.job)
        take_off_what_followed(entry, book, now)
    return Done(
        client_id,
        recorded.already,
        "Taken back. The entry stays visible as corrected.",
        tuple(f"{f.record}: {f.sentence} {f.hint}".strip() for f in recorded.findings),
    )


def _tied(entry: str, client_id: str, person: str, now: datetime) -> list[NewEntry]:
    """Return the taking back of what went with an entry in the same tap."""
    found = []
    for other in tied_to(entry):
        refuse_if_counted_since(other)
        own = hashlib.sha256(f"{client_id} takes back {other}".encode()).hexdigest()[:32]
        found.append(undo_of(other, Tap(own, now, person)))
    return found


def _is_finished(job: str) -> bool:
    """Say whether the entries that stand still finish a job."""
    row = job_store.job_by_code(job)
    if row is None:
        return True
    [stored] = stored_jobs((row,))
    return is_answered(stored)
