"""Jobs that are not done: not today, or not at all."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

from django.db import transaction

from pinset.errors import InputError, RefusedError
from pinset.farm import door, job_store, trade
from pinset.farm.entries import NewEntry
from pinset.farm.trade import Tap
from pinset.services.answers.answered_job import already_said, find_job, refuse_finished
from pinset.services.answers.gone_missing import GoneMissing, gone_missing
from pinset.services.answers.known_taps import is_known
from pinset.services.answers.same_answer import keep_answer
from pinset.services.answers.when_said import refuse_ahead
from pinset.services.book_reader import Reader
from pinset.services.building import Answer
from pinset.services.clock import now_utc
from pinset.services.day.weights_said import counted
from pinset.services.jobs.records import BY_KEY, JobKind, PlannedJob
from pinset.services.jobs.state import StoredJob, done_count
from pinset.services.jobs.to_judge import lay_after_opening
from pinset.services.loads.lost_loads import put_off_words
from pinset.services.plans import planning_day
from pinset.services.promises.late_deliveries import next_working_day
from pinset.services.texts import LONGEST_REASON, written
from pinset.services.views import Done
from pinset.services.words import near_day

MOST_DAYS = 60
"""A chore is not put off for longer; our own choice."""


def not_today(
    job: str,
    *,
    person: str,
    client_id: str,
    reason: str,
    at: datetime | None = None,
    days: int = 1,
) -> Done:
    """Put a job off to the next working day, with the reason; a chore or a tube for some days.

    Raises
    ------
    InputError
        If it is put off for no day or too many, or other work for more than one.
    """
    return _answer_without(job, person, client_id, reason, at, is_dropped=False, days=days)


def not_at_all(
    job: str, *, person: str, client_id: str, reason: str, at: datetime | None = None
) -> Done:
    """Drop a job, with the reason."""
    return _answer_without(job, person, client_id, reason, at, is_dropped=True)


def _answer_without(
    code: str,
    person: str,
    client_id: str,
    reason: str,
    at: datetime | None,
    *,
    is_dropped: bool,
    days: int = 1,
) -> Done:
    if not reason.strip():
        raise InputError("reason", reason, "a few words on why")
    now = now_utc()
    book, today = planning_day.farm_book(now)
    again = today + timedelta(days=days)
    said: dict[str, Any] = {"how": "not at all" if is_dropped else "not today"}
    if days != 1:
        said["days"] = days
    with transaction.atomic():
        if is_known(client_id, code, said):
            return already_said(client_id)
        found = find_job(code, today, book)
        refuse_finished(found)
        refuse_ahead(at, now, book)
        _refuse_unfit(found.stored.job, days, is_dropped=is_dropped)
        tap = Tap(client_id, at or now, person, found.stored.row.code)
        if found.stored.job.kind not in BY_KEY:  # a chore's days are those somebody said
            again = next_working_day(again, Reader(book, today))
        if is_dropped:
            order = found.stored.job.order
            details = {"order": order} if order else None  # its spawn is not expected any more
            entry = trade.drop(tap, written("reason", reason, LONGEST_REASON), details=details)
        else:
            entry = trade.put_off(
                tap,
                written("reason", reason, LONGEST_REASON),
                details={"until": again.isoformat()},
            )
        keep_answer(entry, said)
        gone = _not_taken_out(found.stored, entry, tap) if is_dropped else None
        recorded, *_ = door.record([entry, *([gone.entry] if gone else [])], now=now)
        if is_dropped:
            job_store.close(found.stored.row.code, now)
            if _is_begun_opening(found.stored):
                lay_after_opening(found.stored.job, book, today)
    when = "not at all" if is_dropped else f"not today, {near_day(again, today)} again"
    what = counted(found.stored.job, book.farm.units).words
    sentence = f"{what}: {when}."
    costs = "" if is_dropped else put_off_words(found.stored, again, book, today)
    return Done(
        client_id,
        recorded.already,
        f"{sentence} {gone.words}" if gone else sentence,
        (costs,) if costs else (),
    )


def _refuse_unfit(job: PlannedJob, days: int, *, is_dropped: bool) -> None:
    most = MOST_DAYS if job.kind in BY_KEY else 1
    if not 1 <= days <= most:
        raise InputError("days", days, f"1 to {most}" if most > 1 else "1: until tomorrow")
    if is_dropped and job.kind is JobKind.CHORE:
        raise RefusedError(
            "A chore is done or put off.",
            "What is not to be done any more is ended under Books, Upkeep.",
        )
    if is_dropped and job.kind is JobKind.CULTURE:
        raise RefusedError(
            "A tube asks until it is woken, renewed or thrown out.",
            "Put it off; how long tubes keep is set in the tube step of the route.",
        )


def _not_taken_out(stored: StoredJob, entry: NewEntry, tap: Tap) -> GoneMissing | None:
    """Return what takes out of the books the rest of a load that was opened in part."""
    if not _is_begun_opening(stored):
        return None
    left = max(0, stored.job.count - done_count(stored.entries))
    answer = Answer(reason=str(entry.details["reason"]))
    return gone_missing(stored.job, entry, answer, tap, left)


def _is_begun_opening(stored: StoredJob) -> bool:
    return stored.job.kind is JobKind.OPEN and done_count(stored.entries) > 0
