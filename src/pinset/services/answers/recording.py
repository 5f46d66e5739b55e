"""Recording what was done of a job: all of it, or a part.

Each call writes one entry through the door, whatever becomes of the job. The same client id sent
again is the same entry.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from types import MappingProxyType
from typing import TypedDict, Unpack

from django.db import transaction

from pinset.chain.register import FarmBook
from pinset.errors import InputError, RefusedError
from pinset.farm import door, job_store
from pinset.farm.entries import NewEntry
from pinset.farm.job_store import JobRow
from pinset.farm.trade import Tap, with_units
from pinset.services.answers.after_filling import settle_steps_before
from pinset.services.answers.after_loading import settle_preparation
from pinset.services.answers.answered_job import FoundJob, already_said, find_job, refuse_finished
from pinset.services.answers.done_said import said_of
from pinset.services.answers.gone_missing import gone_missing
from pinset.services.answers.known_taps import as_said, is_known
from pinset.services.answers.parts_by_weight import counted_part
from pinset.services.answers.same_answer import keep_answer
from pinset.services.answers.shown_doubts import refuse_unseen, written_although
from pinset.services.answers.split_vessels import left_as_good, split_vessels
from pinset.services.answers.when_said import asked_about_when, refuse_ahead
from pinset.services.building import Answer, build_entry
from pinset.services.building.suitable import note_against
from pinset.services.clock import hour_is_known, now_utc
from pinset.services.day.weights_said import KG
from pinset.services.jobs.parents_left import are_named, as_taken, parents_before
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.jobs.state import StoredJob, done_by_lot, done_count
from pinset.services.jobs.to_decide import settle_deciding, settle_made
from pinset.services.jobs.to_judge import lay_after_opening
from pinset.services.loads.despite import Despite, despite_in_words
from pinset.services.loads.loaded_ahead import lay_opening
from pinset.services.loads.lost_loads import loaded_words
from pinset.services.loads.prepared_said import as_prepared
from pinset.services.plans import planning_day
from pinset.services.texts import LONGEST_NOTE, LONGEST_REASON, written
from pinset.services.views import Done

Units = Mapping[str, Sequence[int]]
NO_UNITS: Units = MappingProxyType({})


class Said(TypedDict, total=False):
    """What can be said of a job beside who said it; what is left out is as planned."""

    count: int | None  # units done, if other than what is left of the job
    grams: int | None  # weight picked, packed or handed over
    lots: Sequence[tuple[str, int]]  # used or worked on, with units or grams, if others
    shelves: Sequence[tuple[str, str, int]]  # of lots said: units taken from a shelf, where it was
    flush: int | None  # picked, if not the next one
    mixes: Sequence[tuple[str, int]]  # what went into a load of each mix, where it holds several
    at: datetime | None  # when it happened; now if not given
    note: str  # free text
    reason: str  # why it differs from what was planned
    shown: str | None  # doubts that were shown: a reason overrules no others; None: it may all
    held: Sequence[str] | None  # lots held back that are named; None: a reason stands for any
    verdict: str  # of a cook judged by hand: pass or fail; of lots of a short cook: hold or keep
    despite: Sequence[Despite]  # why vessels of cooks that did not pass are used, of each cook
    units: Units  # numbers of the units worked on by lot, where their labels were read


def done(job: str | JobRow, *, person: str, client_id: str, **said: Unpack[Said]) -> Done:
    """Record that a job is finished, with what was really done.

    Parameters
    ----------
    job : str or JobRow
        Code of the job, or its row as this transaction read it.
    person : str
        Worker code of who did it; empty if it is not known.
    client_id : str
        Random id of this tap, 32 hexadecimal signs.
    **said : Said
        What differs from the plan, if anything.

    Raises
    ------
    InputError, RefusedError
        If there is no such job, it is finished already, or a number cannot be.
    """
    return _said(job, person, client_id, said, finish=True)


def part_done(job: str | JobRow, *, person: str, client_id: str, **said: Unpack[Said]) -> Done:
    """Record a part of a job; it stays open for the rest. Arguments as in :func:`done`."""
    if not any((said.get("lots"), said.get("mixes"))) and (
        said.get("count") is None and said.get("grams") is None
    ):
        raise InputError("count", None, "how many of it were done")
    return _said(job, person, client_id, said, finish=False)


def _said(job: str | JobRow, person: str, client_id: str, said: Said, *, finish: bool) -> Done:
    answer = Answer(
        count=said.get("count"),
        grams=said.get("grams"),
        lots=tuple(said.get("lots", ())),
        shelves=tuple(said.get("shelves", ())),
        flush=said.get("flush"),
        mixes=tuple(said.get("mixes", ())),
        reason=written("reason", said.get("reason", ""), LONGEST_REASON),
        shown=said.get("shown"),
        held=_named(said.get("held")),
        verdict=said.get("verdict", ""),
        despite=tuple(said.get("despite", ())),
    )
    at, note, units = said.get("at"), said.get("note", ""), said.get("units", NO_UNITS)
    return _record(job, person, client_id, answer, units, at=at, note=note, finish=finish)


def _named(lots: Sequence[str] | None) -> tuple[str, ...] | None:
    return None if lots is None else tuple(lots)


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
    asked: str | JobRow,
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
    code = asked if isinstance(asked, str) else asked.code
    with transaction.atomic():
        if is_known(client_id, code, said):
            return already_said(client_id)
        found = find_job(asked, today, book)
        refuse_finished(found)
        withdrawn = _withdrawn(found, answer)
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
        note_against(entry.details, withdrawn)
        refuse_unseen(entry.details, answer.shown)
        if finish:
            entry.details["finishes"] = True
        else:
            count, grams = (int(entry.details.get(name, 0)) for name in ("count", "grams"))
            entry.details["count"] = counted_part(stored.job, stored.entries, count, grams)
        keep_answer(entry, said)
        gone = gone_missing(stored.job, entry, answer, tap, left) if finish else None
        split = split_vessels(stored.job, entry, answer, tap, left) if finish else None
        as_good = left_as_good(stored.job, entry, left) if finish and not split else ()
        gone = gone or split
        recorded, *_ = door.record([entry, *([gone.entry] if gone else [])], now=now)
        settle_made((lot.code for lot in entry.lots), book, now)
        if stored.job.kind is JobKind.COOK:
            lay_opening(stored.row.code, stored.job, tap.at, book)
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
            *written_although(entry.details),
            *despite_in_words(entry.details),
            *(_left_behind(stored.job, entry, left) if finish else ()),
            *as_good,
            *_lost_by_then(stored.job, tap.at, book, is_said=at is not None),
        ),
        new_lots=tuple(lot.code for lot in entry.lots),
    )


def _lost_by_then(
    job: PlannedJob, at: datetime, book: FarmBook, *, is_said: bool
) -> tuple[str, ...]:
    """Return what is said where a load went in so late that nobody can use it in its time."""
    if job.kind is not JobKind.COOK or not (is_said or hour_is_known()):
        return ()
    words = loaded_words(job, at, book)
    return (words,) if words else ()


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


def _withdrawn(found: FoundJob, answer: Answer) -> list[str]:
    """Return what speaks against a job that the plan no longer asks for; refused if unexplained."""
    if not found.stored.row.is_withdrawn:
        return []
    said = f"The plan no longer asks for {found.stored.row.code}; other work may stand for it."
    if not answer.reason:
        hint = "Look at Today; if it was done all the same, give a reason."
        raise RefusedError(said, hint)
    return [said]


def is_weighed(job: str) -> bool:
    """Say whether a job counts weight, so that its lots are given with weights, too."""
    row = job_store.job_by_code(job)
    return row is not None and row.body.get("unit") == KG
