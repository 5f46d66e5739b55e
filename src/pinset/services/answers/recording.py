"""Recording what was done of a job: all of it, or a part.

Each call writes one entry through the door, whatever becomes of the job. The same client id sent
again is the same entry.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from types import MappingProxyType

from django.db import transaction

from pinset.chain.register import FarmBook
from pinset.errors import InputError, RefusedError
from pinset.farm import door, job_store
from pinset.farm.entries import NewEntry
from pinset.farm.trade import Tap, with_units
from pinset.services.answers.after_filling import settle_steps_before
from pinset.services.answers.after_loading import settle_preparation
from pinset.services.answers.answered_job import FoundJob, already_said, find_job, refuse_finished
from pinset.services.answers.done_said import said_of
from pinset.services.answers.gone_missing import gone_missing
from pinset.services.answers.known_taps import as_said, is_known
from pinset.services.answers.parts_by_weight import counted_part
from pinset.services.answers.same_answer import keep_answer
from pinset.services.answers.when_said import asked_about_when, refuse_ahead
from pinset.services.building import Answer, build_entry
from pinset.services.clock import now_utc
from pinset.services.day.weights_said import KG
from pinset.services.jobs.parents_left import are_named, as_taken, parents_before
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.jobs.state import StoredJob, done_by_lot, done_count
from pinset.services.jobs.to_decide import settle_deciding, settle_made
from pinset.services.jobs.to_judge import lay_after_opening
from pinset.services.loads.loaded_ahead import bring_opening_forward
from pinset.services.loads.prepared_said import as_prepared
from pinset.services.plans import planning_day
from pinset.services.texts import LONGEST_NOTE, LONGEST_REASON, written
from pinset.services.views import Done

Units = Mapping[str, Sequence[int]]
NO_UNITS: Units = MappingProxyType({})


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
    units: Units = NO_UNITS,
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
    units : mapping of str to sequence of int
        Numbers of the units worked on by lot, where their labels were read.

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
    return _record(job, person, client_id, answer, units, at=at, note=note, finish=True)


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
    units: Units = NO_UNITS,
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
    return _record(job, person, client_id, answer, units, at=at, note=note, finish=False)


def transferred(
    job: str,
    answer: Answer,
    *,
    person: str,
    client_id: str,
    at: datetime | None = None,
    note: str = "",
    units: Units = NO_UNITS,
) -> Done:
    """Record what a bench session made of a transfer; it stays open for the rest, if any.

    Raises
    ------
    InputError, RefusedError
        As :func:`part_done`.
    """
    return _record(job, person, client_id, answer, units, at=at, note=note, finish=False)


def _stays_open(stored: StoredJob, book: FarmBook, now: datetime) -> None:
    """Leave a job open for the rest; one of deciding names only what is left."""
    job_store.reopen(stored.row.code)
    if stored.job.kind is JobKind.DECIDE:
        settle_deciding([stored.job.cook], book, now)


def _record(
    code: str,
    person: str,
    client_id: str,
    answer: Answer,
    units: Units,
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
            return already_said(client_id)
        found = find_job(code, today, book)
        refuse_finished(found)
        _ask_about_withdrawn(found, answer)
        stored = found.stored
        tap = Tap(
            client_id, at or now, person, stored.row.code, written("note", note, LONGEST_NOTE)
        )
        left = max(0, stored.job.count - done_count(stored.entries))
        refuse_ahead(at, now, book)
        finish = finish and not _more_is_expected(stored.job, answer, left)
        entry = build_entry(
            tap,
            stored.job,
            answer,
            left=left,
            before=parents_before(stored, book),
            done_of=done_by_lot(stored),
            book=book,
            today=today,
        )
        entry = with_units(asked_about_when(entry, now, book, answer.reason), units)
        if finish:
            entry.details["finishes"] = True
        else:
            count, grams = (int(entry.details.get(name, 0)) for name in ("count", "grams"))
            entry.details["count"] = counted_part(stored.job, stored.entries, count, grams)
        keep_answer(entry, said)
        gone = gone_missing(stored.job, entry, answer, tap, left) if finish else None
        recorded, *_ = door.record([entry, *([gone.entry] if gone else [])], now=now)
        settle_made((lot.code for lot in entry.lots), book, now)
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
            _stays_open(stored, book, now)
    job = as_prepared(stored.job, int(entry.details.get("count", 0)), book)
    named = answer.lots if are_named(entry, answer.lots) else ()
    if not named:
        job = as_taken(job, entry, book)
    sentence = said_of(job, entry, named, book.farm.units, finish=finish)
    return Done(
        entry=client_id,
        already=recorded.already,
        sentence=f"{sentence} {gone.words}" if gone else sentence,
        findings=(
            *(f"{f.record}: {f.sentence} {f.hint}".strip() for f in recorded.findings),
            *entry.details.get("against", ()),
            *(_left_behind(stored.job, entry, left) if finish else ()),
        ),
        new_lots=tuple(lot.code for lot in entry.lots),
    )


def _left_behind(job: PlannedJob, entry: NewEntry, left: int) -> tuple[str, ...]:
    """Return what is said where fewer units were moved than the job was for."""
    behind = left - int(entry.details.get("count", 0))
    if job.kind is not JobKind.MOVE or behind < 1:
        return ()
    if behind == 1:
        said = "1 unit stays in the books where it stood: if it is lost, say so on the lot's page."
    else:
        said = (
            f"{behind} units stay in the books where they stood: if they are lost, say so on the "
            "lot's page."
        )
    return (said,)


def _more_is_expected(job: PlannedJob, answer: Answer, left: int) -> bool:
    """Say whether the rest of what was ordered is still to come after a delivery."""
    return job.kind is JobKind.RECEIVE and bool(job.order) and 0 < (answer.count or left) < left


def _ask_about_withdrawn(found: FoundJob, answer: Answer) -> None:
    if found.stored.row.is_withdrawn and not answer.reason:
        raise RefusedError(
            f"The plan no longer asks for {found.stored.row.code}; other work may stand for it.",
            "Look at Today; if it was done all the same, give a reason.",
        )


def is_weighed(job: str) -> bool:
    """Say whether a job counts weight, so that its lots are given with weights, too."""
    row = job_store.job_by_code(job)
    return row is not None and row.body.get("unit") == KG
