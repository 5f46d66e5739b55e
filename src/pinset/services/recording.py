"""Recording what happened with a job: done, part done, not today, not at all, taken back.

Each call writes one entry through the door, whatever becomes of the job. The same client id sent
again is the same entry.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db import transaction

from pinset.chain.register import FarmBook
from pinset.errors import InputError, RefusedError
from pinset.farm import door, job_store, trade, whereabouts
from pinset.farm.corrections import undo_of
from pinset.farm.trade import Tap
from pinset.services import planning_day
from pinset.services.after_filling import is_answered, settle_steps_before
from pinset.services.after_loading import settle_preparation
from pinset.services.after_undo import take_off_what_followed
from pinset.services.book_reader import Reader
from pinset.services.building import Answer, build_entry
from pinset.services.built_on import refuse_if_built_on
from pinset.services.carried import with_what_was_done
from pinset.services.clock import now_utc
from pinset.services.counted_since import refuse_if_counted_since
from pinset.services.done_said import said_of
from pinset.services.job_records import JobKind
from pinset.services.job_state import StoredJob, done_by_lot, done_count, state_of, stored_jobs
from pinset.services.jobs_to_decide import settle_deciding
from pinset.services.jobs_to_judge import lay_after_opening
from pinset.services.known_taps import as_said, is_known
from pinset.services.late_deliveries import next_working_day
from pinset.services.loaded_ahead import bring_opening_forward
from pinset.services.parts_by_weight import counted_part
from pinset.services.picked_today import with_what_was_picked
from pinset.services.prepared_said import as_prepared
from pinset.services.same_answer import keep_answer
from pinset.services.texts import LONGEST_NOTE, LONGEST_REASON, written
from pinset.services.views import Done, JobState
from pinset.services.weights_said import KG, counted
from pinset.services.when_said import asked_about_when, refuse_ahead
from pinset.services.words import near_day


@dataclass(frozen=True, slots=True)
class _Found:
    stored: StoredJob
    state: JobState


def done(
    job: str,
    *,
    person: str,
    client_id: str,
    count: int | None = None,
    grams: int | None = None,
    lots: Sequence[tuple[str, int]] = (),
    flush: int | None = None,
    mixes: Sequence[tuple[str, int]] = (),
    at: datetime | None = None,
    note: str = "",
    reason: str = "",
    verdict: str = "",
) -> Done:
    """Record that a job is finished, with what was really done.

    Parameters
    ----------
    job : str
        Code of the job.
    person : str
        Worker code of who did it; empty if it is not known.
    client_id : str
        Random id of this tap, 32 hexadecimal signs.
    count : int, optional
        Units done, if other than what is left of the job.
    grams : int, optional
        Weight picked, packed or handed over. [g]
    lots : sequence of (lot code, units or grams)
        Lots that were used or worked on, if others than planned.
    flush : int, optional
        Flush picked, if not the next one.
    mixes : sequence of (name of a mix, units)
        What went into a load of each mix, where it holds several.
    at : datetime, optional
        When it happened; now if not given.
    note, reason : str
        Free text, and why it differs from what was planned.
    verdict : str
        Of a cook that is judged by hand: ``pass`` (if nothing is said) or ``fail``; of lots whose
        cook was too short: ``hold`` or ``keep``.

    Raises
    ------
    InputError, RefusedError
        If there is no such job, it is finished already, or a number cannot be.
    """
    answer = Answer(
        count=count,
        grams=grams,
        lots=tuple(lots),
        flush=flush,
        mixes=tuple(mixes),
        reason=written("reason", reason, LONGEST_REASON),
        verdict=verdict,
    )
    return _record(job, person, client_id, answer, at=at, note=note, finish=True)


def part_done(
    job: str,
    *,
    person: str,
    client_id: str,
    count: int | None = None,
    grams: int | None = None,
    lots: Sequence[tuple[str, int]] = (),
    flush: int | None = None,
    mixes: Sequence[tuple[str, int]] = (),
    at: datetime | None = None,
    note: str = "",
    reason: str = "",
    verdict: str = "",
) -> Done:
    """Record a part of a job; it stays open for the rest. Arguments as in :func:`done`."""
    if count is None and grams is None and not lots and not mixes:
        raise InputError("count", count, "how many of it were done")
    answer = Answer(
        count=count,
        grams=grams,
        lots=tuple(lots),
        flush=flush,
        mixes=tuple(mixes),
        reason=written("reason", reason, LONGEST_REASON),
        verdict=verdict,
    )
    return _record(job, person, client_id, answer, at=at, note=note, finish=False)


def _record(
    code: str,
    person: str,
    client_id: str,
    answer: Answer,
    *,
    at: datetime | None,
    note: str,
    finish: bool,
) -> Done:
    now = now_utc()
    book, today = planning_day.farm_book(now)
    said = as_said(answer, finish=finish)
    with transaction.atomic():
        if is_known(client_id, code, said):
            return _already(client_id)
        found = _find(code, today, book)
        _refuse_finished(found)
        _ask_about_withdrawn(found, answer)
        stored = found.stored
        tap = Tap(
            client_id, at or now, person, stored.row.code, written("note", note, LONGEST_NOTE)
        )
        left = max(0, stored.job.count - done_count(stored.entries))
        refuse_ahead(at, now, book)
        used = sum(int(each.details.get("parents", 0)) for each in stored.entries)
        entry = build_entry(
            tap,
            stored.job,
            answer,
            left=left,
            used=used,
            made=done_count(stored.entries),
            done_of=done_by_lot(stored),
            book=book,
            today=today,
        )
        entry = asked_about_when(entry, now, book, answer.reason)
        if finish:
            entry.details["finishes"] = True
        else:
            count, grams = (int(entry.details.get(name, 0)) for name in ("count", "grams"))
            entry.details["count"] = counted_part(stored.job, stored.entries, count, grams)
        keep_answer(entry, said)
        [recorded] = door.record([entry], now=now)
        if stored.job.kind is JobKind.COOK:
            bring_opening_forward(stored.row.code, stored.job, tap.at, book)
        whole = done_count(stored.entries) + int(entry.details.get("count", 0))
        if finish or whole >= stored.job.count:
            job_store.close(stored.row.code, now)
            if stored.job.kind is JobKind.OPEN:
                lay_after_opening(stored.job, book, today)
            elif stored.job.kind is JobKind.COOK:
                settle_preparation(stored.job, book, now)
            elif stored.job.kind is JobKind.PREPARE:
                settle_steps_before(stored.job, now)
            elif stored.job.kind is JobKind.JUDGE:
                settle_deciding([stored.job.cook], book, now)
        else:
            job_store.reopen(stored.row.code)
    job = as_prepared(stored.job, int(entry.details.get("count", 0)), book)
    return Done(
        entry=client_id,
        already=recorded.already,
        sentence=said_of(job, entry, answer.lots, book.farm.units, finish=finish),
        findings=(
            *(f"{f.record}: {f.sentence} {f.hint}".strip() for f in recorded.findings),
            *entry.details.get("against", ()),
        ),
        new_lots=tuple(lot.code for lot in entry.lots),
    )


def _already(client_id: str) -> Done:
    return Done(client_id, already=True, sentence="This was recorded already.", findings=())


def _find(code: str, today: date, book: FarmBook) -> _Found:
    row = job_store.job_by_code(code)
    if row is None:
        raise RefusedError(f"There is no job {code}.", "Today lists the jobs there are.")
    asked = with_what_was_done(stored_jobs((row,)), book)
    [stored] = with_what_was_picked(asked, book, today)
    return _Found(stored, state_of(stored, today))


def _is_finished(job: str) -> bool:
    """Say whether the entries that stand still finish a job."""
    row = job_store.job_by_code(job)
    if row is None:
        return True
    [stored] = stored_jobs((row,))
    return is_answered(stored)


def _ask_about_withdrawn(found: _Found, answer: Answer) -> None:
    if found.stored.row.is_withdrawn and not answer.reason:
        raise RefusedError(
            f"The plan no longer asks for {found.stored.row.code}; other work may stand for it.",
            "Look at Today; if it was done all the same, give a reason.",
        )


def _refuse_finished(found: _Found) -> None:
    if found.state in {JobState.DONE, JobState.NOT_AT_ALL}:
        raise RefusedError(
            f"Job {found.stored.row.code} is recorded as {found.state.value}.",
            "Take that entry back first, if it is wrong.",
        )


def not_today(
    job: str, *, person: str, client_id: str, reason: str, at: datetime | None = None
) -> Done:
    """Put a job off to tomorrow, with the reason."""
    return _answer_without(job, person, client_id, reason, at, is_dropped=False)


def not_at_all(
    job: str, *, person: str, client_id: str, reason: str, at: datetime | None = None
) -> Done:
    """Drop a job, with the reason."""
    return _answer_without(job, person, client_id, reason, at, is_dropped=True)


def _answer_without(
    code: str, person: str, client_id: str, reason: str, at: datetime | None, *, is_dropped: bool
) -> Done:
    if not reason.strip():
        raise InputError("reason", reason, "a few words on why")
    now = now_utc()
    book, today = planning_day.farm_book(now)
    again = today + timedelta(days=1)
    said = {"how": "not at all" if is_dropped else "not today"}
    with transaction.atomic():
        if is_known(client_id, code, said):
            return _already(client_id)
        found = _find(code, today, book)
        _refuse_finished(found)
        refuse_ahead(at, now, book)
        tap = Tap(client_id, at or now, person, found.stored.row.code)
        if found.stored.job.kind is JobKind.DELIVER:
            again = next_working_day(again, Reader(book, today))
        if is_dropped:
            entry = trade.drop(tap, written("reason", reason, LONGEST_REASON))
        else:
            entry = trade.put_off(
                tap,
                written("reason", reason, LONGEST_REASON),
                details={"until": again.isoformat()},
            )
        keep_answer(entry, said)
        [recorded] = door.record([entry], now=now)
        if is_dropped:
            job_store.close(found.stored.row.code, now)
    when = "not at all" if is_dropped else f"not today, {near_day(again, today)} again"
    what = counted(found.stored.job, book.farm.units).words
    return Done(client_id, recorded.already, f"{what}: {when}.", ())


def undo(entry: str, *, person: str, client_id: str, reason: str) -> Done:
    """Take an entry back by a correcting entry, and open its job again.

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
            return _already(client_id)
        refuse_if_counted_since(entry)
        refuse_if_built_on(entry, book)
        correcting = undo_of(
            entry, Tap(client_id, now, person, note=written("reason", reason, LONGEST_NOTE))
        )
        [recorded] = door.record([correcting], now=now)
        if correcting.job and not _is_finished(correcting.job):
            job_store.reopen(correcting.job)
        take_off_what_followed(entry, book, now)
    return Done(
        client_id,
        recorded.already,
        "Taken back. The entry stays visible as corrected.",
        tuple(f"{f.record}: {f.sentence} {f.hint}".strip() for f in recorded.findings),
    )


def claim(job: str, person: str) -> bool:
    """Claim a job; False if somebody else holds it or it is finished."""
    return job_store.claim(job.upper(), person, now_utc())


def release(job: str, person: str) -> bool:
    """Give a claimed job back; False if this person did not hold it."""
    return job_store.release(job.upper(), person)


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


def is_weighed(job: str) -> bool:
    """Say whether a job counts weight, so that its lots are given with weights, too."""
    row = job_store.job_by_code(job)
    return row is not None and row.body.get("unit") == KG
