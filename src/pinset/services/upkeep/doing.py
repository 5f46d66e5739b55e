"""Writing down that a chore was done, with its reading, by the one door."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import transaction

from pinset.chain.register import FarmBook
from pinset.chain.upkeep import Chore, ChoreAt, Reads
from pinset.errors import InputError, RefusedError
from pinset.farm import door, trade, whereabouts
from pinset.farm.entries import NewEntry
from pinset.farm.queries import story
from pinset.farm.queries.upkeep import chore_history
from pinset.farm.trade import ChoreReading, Tap
from pinset.services.answers.same_answer import keep_answer, refuse_another
from pinset.services.answers.shown_doubts import written_although
from pinset.services.answers.when_said import asked_about_when, refuse_ahead
from pinset.services.clock import now_utc
from pinset.services.plans import planning_day
from pinset.services.texts import LONGEST_NOTE, LONGEST_REASON, written
from pinset.services.upkeep.due import chores_now
from pinset.services.upkeep.in_step import bring_in_step, open_job
from pinset.services.upkeep.jobs import chore_key
from pinset.services.upkeep.readings import SAYS, reading_of, refuse_nonsense
from pinset.services.upkeep.words import read_words, thing_of, title_of, when_due
from pinset.services.views import Done
from pinset.services.words import sentences

LONGEST_REFERENCE = 200


@dataclass(frozen=True, slots=True)
class ChoreTap:
    """Who says that which chore was done, by which tap."""

    chore: str
    person: str
    client_id: str
    at: datetime | None = None
    reading: str = ""  # as it was typed
    is_changed: bool = False  # a new one was put in, or it was mended
    is_amiss: bool = False  # something was found that is not mended yet
    reference: str = ""  # of a probe or gauge: what it was compared with
    note: str = ""
    why: str = ""  # where something speaks against it


def chore_of(code: str, book: FarmBook) -> Chore:
    """Return a chore of the register.

    Raises
    ------
    RefusedError
        If there is none of that code.
    """
    found = next((each for each in book.upkeep if each.code == code.strip().lower()), None)
    if found is None:
        raise RefusedError(f"There is no chore {code}.", "Books, Upkeep lists those there are.")
    return found


def done(tap: ChoreTap) -> Done:
    """Write down that a chore was done; it answers the job of the day, if there is one.

    Raises
    ------
    InputError
        If its reading is missing, cannot be, or something else was typed wrong.
    UnlikelyReadingError
        If a pressure drop fell and no reason is given.
    RefusedError
        If there is no such chore, or the tap said something else before.
    """
    now = now_utc()
    book, today = planning_day.farm_book(now)
    chore = chore_of(tap.chore, book)
    refuse_ahead(tap.at, now, book)
    said = _said(tap)
    with transaction.atomic():
        whereabouts.wait_for_the_pen()
        if _is_known(tap.client_id, chore.code, said):
            return Done(tap.client_id, already=True, sentence="Recorded already.", findings=())
        row = open_job(chore_key(chore.code))
        on_paper = Tap(
            tap.client_id,
            tap.at or now,
            tap.person,
            row.code if row else "",
            written("note", tap.note, LONGEST_NOTE),
        )
        entry = entry_of(on_paper, chore, tap, book)
        entry = asked_about_when(entry, now, book, tap.why)
        keep_answer(entry, said)
        [recorded] = door.record([entry], now=now)
        bring_in_step(book, now)
    [after] = [each for each in chores_now(book, today) if each.chore.code == chore.code]
    reading = entry.details.get("reading")
    read = "" if reading is None else read_words(reading, chore.reads, book.farm.units)
    what = title_of(chore, book)
    did = "changed or mended" if tap.is_changed else "found amiss" if tap.is_amiss else "done"
    again = "" if after.due.is_due else f"Next {when_due(after.due, today)}"
    return Done(
        entry=tap.client_id,
        already=recorded.already,
        sentence=sentences([f"{what}: {did}{f', {read}' if read else ''}", again]),
        findings=(
            *written_although(entry.details),
            *(_asks_more(tap) if after.due.asks_change else ()),
        ),
    )


def _asks_more(tap: ChoreTap) -> tuple[str, ...]:
    if tap.is_amiss:
        return ("It stays on the list until somebody says that it was mended.",)
    return ("It is at its limit: it stays on the list until somebody says that it was changed.",)


def entry_of(on_paper: Tap, chore: Chore, tap: ChoreTap, book: FarmBook) -> NewEntry:
    """Return the entry of a chore that was done.

    Raises
    ------
    InputError, RefusedError
        As :func:`done`.
    """
    if tap.is_changed and tap.is_amiss:
        raise InputError("amiss", "yes", "one of the two: mended, or still amiss")
    value = reading_of(tap.reading, chore.reads, book.farm.units)
    if value is None and chore.reads is not Reads.NOTHING:
        raise InputError("reading", "", SAYS[chore.reads])
    if value is not None:
        refuse_nonsense(
            chore,
            value,
            chore_history(chore.code),
            on_paper.at,
            book.farm.time_zone,
            is_changed=tap.is_changed,
            why=tap.why,
        )
    if tap.is_amiss and not tap.note.strip():
        raise InputError("note", "", "a few words on what is amiss")
    is_instrument = chore.at is ChoreAt.INSTRUMENT
    if tap.reference.strip() and not is_instrument:
        raise InputError("reference", tap.reference, "nothing: only probes and gauges are compared")
    _, room_kind = thing_of(chore, book)
    details: dict[str, Any] = {"room_kind": room_kind.value}
    if tap.why.strip():
        details["reason"] = written("reason", tap.why, LONGEST_REASON)
    return trade.chore_done(
        on_paper,
        chore.code,
        reading=None if value is None else ChoreReading(value, chore.reads.value),
        is_changed=tap.is_changed,
        is_amiss=tap.is_amiss,
        instrument=chore.which if is_instrument else "",
        reference=written("reference", tap.reference, LONGEST_REFERENCE),
        details=details,
    )


def _said(tap: ChoreTap) -> dict[str, Any]:
    told = {"reading": tap.reading.strip(), "changed": tap.is_changed, "amiss": tap.is_amiss}
    said = {name: value for name, value in told.items() if value}
    return {"how": "done", "chore": tap.chore, **said}


def _is_known(client_id: str, chore: str, said: dict[str, Any]) -> bool:
    """Say whether this tap was written down.

    Raises
    ------
    InputError
        If the id belongs to an entry about something else.
    RefusedError
        If it said something else of the same chore.
    """
    known = story.entry(client_id)
    if known is None:
        return False
    if known.details.get("chore") != chore:
        raise InputError("client id", client_id, "a fresh random id for every tap")
    refuse_another(known.details, said)
    return True
