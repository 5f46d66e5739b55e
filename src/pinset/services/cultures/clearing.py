"""Clearing a clone for use, once its test plate and a first fruiting say so."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum
from zoneinfo import ZoneInfo

from django.db import transaction

from pinset.chain.register import Culture
from pinset.errors import InputError, RefusedError
from pinset.farm import door, trade, whereabouts
from pinset.farm.queries import story
from pinset.farm.queries.alive import living
from pinset.farm.queries.cultures import grams_picked
from pinset.farm.trade import Tap
from pinset.farm.trade.rooms import CLONED
from pinset.services.answers.lot_counts import UnlikelyError
from pinset.services.answers.same_answer import keep_answer, refuse_another
from pinset.services.books.register_change import write_record
from pinset.services.clock import now_utc
from pinset.services.cultures.kept import kept_cultures
from pinset.services.plans import planning_day
from pinset.services.texts import LONGEST_NOTE, LONGEST_REASON, written
from pinset.services.views import Done
from pinset.services.words import joined, plural
from pinset.tables.cautions import caution


class Origin(StrEnum):
    """Where the fruit grew that a clone was taken from."""

    FARM = "farm"  # here, and it looked like its lot
    WILD = "wild"  # anywhere else


@dataclass(frozen=True, slots=True)
class Clearing:
    """What is said when a clone is cleared."""

    culture: str
    origin: str
    named_by: str = ""  # of a wild one: which expert and which gene test named it
    reason: str = ""  # why, where its test plate or its fruiting is not written down


def clear(said: Clearing, person: str, client_id: str, note: str = "") -> Done:
    """Clear a clone for use; what was held back for being a clone is offered from now on.

    Raises
    ------
    InputError
        If the culture or the origin is unknown, or a wild one was named by nobody.
    UnlikelyError
        If no test plate grew or nothing was picked of it, and no reason is given.
    RefusedError
        If it is cleared already, or the tap said something else before.
    """
    now = now_utc()
    answer = {"how": "clear", "culture": said.culture, "origin": said.origin}
    with transaction.atomic():
        whereabouts.wait_for_the_pen()
        known = story.entry(client_id)
        if known is not None:
            refuse_another(known.details, answer)
            return Done(client_id, already=True, sentence="Recorded already.", findings=())
        culture = _culture(said.culture, now)
        _refuse_nameless(said)
        against = _against(culture, now)
        reason = written("reason", said.reason, LONGEST_REASON)
        if against and not reason:
            raise UnlikelyError(
                f"{said.culture}: {joined(against)}.",
                "If it is right all the same, say why.",
            )
        lots = _held(culture, now)
        write_record(replace(culture, cleared=True), person, now)
        tap = Tap(client_id, now, person, note=written("note", note, LONGEST_NOTE))
        details = {"culture": culture.code, "origin": said.origin, "named_by": said.named_by}
        details = {name: value for name, value in details.items() if value}
        if against:
            details["against"] = joined(against)
        entry = trade.cleared(tap, lots, reason, details)
        keep_answer(entry, answer)
        door.record([entry], now=now)
    offered = f"; {plural(len(lots), 'lot')} of it offered" if lots else ""
    return Done(
        entry=client_id,
        already=False,
        sentence=f"{culture.code} is cleared for use{offered}.",
        findings=(caution("wrong-species").words,),
    )


def _culture(code: str, now: datetime) -> Culture:
    book, _ = planning_day.farm_book(now)
    found = next((each for each in book.cultures if each.code == code), None)
    if found is None:
        waiting = ", ".join(each.code for each in book.cultures if not each.cleared)
        raise InputError("culture", code, f"one that is not cleared: {waiting or 'there is none'}")
    if found.cleared:
        raise RefusedError(f"{code} is cleared for use already.", "Settings holds its record.")
    return found


def _refuse_nameless(said: Clearing) -> None:
    if said.origin not in set(Origin):
        raise InputError("origin", said.origin, f"one of {', '.join(Origin)}")
    written("named_by", said.named_by, LONGEST_REASON)
    if said.origin == Origin.WILD and not said.named_by.strip():
        raise InputError(
            "named_by",
            said.named_by,
            "the expert and the gene test that named it",
            "No clone from the wild is used or sold before: some that grow on wood are deadly.",
        )


def _against(culture: Culture, now: datetime) -> list[str]:
    """Return what speaks against it: a test plate or a fruiting that is not written down."""
    book, today = planning_day.farm_book(now)
    own = [
        kept
        for kept in kept_cultures(today, ZoneInfo(book.farm.time_zone))
        if kept.culture == culture.code
    ]
    woke = any(test for k in own for tube in k.tubes for test in tube.tests if not test.failed)
    found = []
    if not woke and not any(kept.plates for kept in own):
        found.append("no test plate of it was measured or woken")
    if not grams_picked([culture.code]).get(culture.code):
        found.append("nothing was picked of it")
    return found


def _held(culture: Culture, now: datetime) -> list[str]:
    """Return the lots that are held back for nothing but being of a clone."""
    _, today = planning_day.farm_book(now)
    return list(
        dict.fromkeys(
            lot.code for lot in living(today) if lot.culture == culture.code and lot.held == CLONED
        )
    )
