"""Books, Upkeep: every chore with when it is due, and the page of one."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from pinset.chain.register import FarmBook
from pinset.chain.upkeep import WEARS, Chore, ChoreAt, ChoreKind, Reads
from pinset.chain.upkeep_due import State
from pinset.farm import job_store
from pinset.farm.entries import Kind
from pinset.farm.queries.upkeep import ChoreDone, chore_history
from pinset.services import cautions
from pinset.services.clock import farm_day
from pinset.services.plans import planning_day
from pinset.services.upkeep.doing import chore_of
from pinset.services.upkeep.due import ChoreNow, chores_now
from pinset.services.upkeep.in_step import open_job
from pinset.services.upkeep.jobs import chore_key
from pinset.services.upkeep.readings import SAYS
from pinset.services.upkeep.records import ChoreLine, ChorePage, Reading, Times, UpkeepView
from pinset.services.upkeep.words import (
    KINDS,
    day_said,
    often,
    read_words,
    title_of,
    wear_words,
    when_due,
    why_due,
)
from pinset.services.words import first_upper, plural

MOST_HISTORY = 12
MOST_TOLD = 40
"""Beside the last times those are shown at which something was changed, amiss or noted."""


def upkeep_view(now: datetime | None = None) -> UpkeepView:
    """Return all chores, what is overdue longest first."""
    book, today = planning_day.farm_book(now)
    lines = [_line(each, book, today) for each in chores_now(book, today)]
    due = tuple(each for each in lines if each.state in {State.OVERDUE, State.TODAY})
    soon = tuple(each for each in lines if each.state == State.SOON)
    later = tuple(each for each in lines if each.state == State.LATER)
    return UpkeepView(today, _sentence(due, soon, len(lines)), due, soon, later)


def _sentence(due: Sequence[ChoreLine], soon: Sequence[ChoreLine], chores: int) -> str:
    if not chores:
        return "No chores are written down yet."
    overdue = sum(each.state == State.OVERDUE for each in due)
    late = f", {overdue} of them overdue" if overdue else ""
    verb = "is" if len(due) == 1 else "are"
    said = f"{plural(len(due), 'chore')} {verb} due{late}." if due else "No chore is due."
    return f"{said} {len(soon)} more coming soon." if soon else said


def _line(now: ChoreNow, book: FarmBook, today: date) -> ChoreLine:
    chore, due = now.chore, now.due
    by = next((each.name for each in book.workers if each.code == chore.by), "")
    return ChoreLine(
        code=chore.code,
        title=title_of(chore, book),
        state=due.state.value,
        on=due.on,
        when=when_due(due, today),
        why=f"{first_upper(why_due(chore, due, today))}.",
        often=often(chore),
        by=by,
        minutes=chore.minutes,
        asks_change=due.asks_change,
        put_off=_put_off(chore, today) if due.is_due else "",
    )


def _put_off(chore: Chore, today: date) -> str:
    row = open_job(chore_key(chore.code))
    entries = job_store.entries_of([row.code]) if row else ()
    put_off = [entry.details for entry in entries if entry.kind is Kind.PUT_OFF]
    until = str(put_off[-1].get("until", "")) if put_off else ""
    if until <= today.isoformat():
        return ""
    said = day_said(date.fromisoformat(until), today)
    return f"put off until {said}: {put_off[-1].get('reason', '')}"


def chore_page(code: str, now: datetime | None = None) -> ChorePage:
    """Return one chore with its readings and its history.

    Raises
    ------
    RefusedError
        If there is none of that code.
    """
    book, today = planning_day.farm_book(now)
    chore = chore_of(code, book)
    [here] = [each for each in chores_now(book, today) if each.chore.code == chore.code]
    history = chore_history(chore.code)
    row = open_job(chore_key(chore.code))
    wear, system = here.due.wear, book.farm.units
    limit = wear.limit if wear is not None else chore.limit
    base = _base(here) if chore.reads is Reads.HOURS else 0.0
    return ChorePage(
        line=_line(here, book, today),
        kind=KINDS[chore.kind],
        instructed=chore.kind.value,
        reads=chore.reads.value,
        reads_said=SAYS.get(chore.reads, ""),
        is_instrument=chore.at is ChoreAt.INSTRUMENT,
        wears=chore.reads in WEARS,
        wear=first_upper(wear_words(wear, chore.reads, today, system)) if wear else "",
        limit=None if limit is None else limit + base,
        limit_words="" if limit is None else read_words(limit + base, chore.reads, system),
        readings=_readings(history, chore.reads, book),
        history=tuple(_times(each, chore.reads, system) for each in _to_tell(history)),
        times=len(history),
        cautions=cautions.sentences(chore.cautions),
        note=chore.note,
        job=row.code if row else "",
        room=chore.which if chore.kind is ChoreKind.ROOM_EMPTIED else "",
    )


def _to_tell(history: Sequence[ChoreDone]) -> list[ChoreDone]:
    """Return the last times, and earlier ones that say more than that it was done; newest first."""
    newest = list(reversed(history))
    more = [e for e in newest[MOST_HISTORY:] if e.is_changed or e.is_amiss or e.note]
    return [*newest[:MOST_HISTORY], *more][:MOST_TOLD]


def _base(here: ChoreNow) -> float:
    """Return what the counter read when what it counts was new."""
    read = [each for each in here.done if each.reading is not None]
    if not read or here.due.wear is None or read[-1].reading is None:
        return 0.0
    return abs(read[-1].reading) - here.due.wear.now


def _readings(history: Sequence[ChoreDone], reads: Reads, book: FarmBook) -> tuple[Reading, ...]:
    zone, system = book.farm.time_zone, book.farm.units
    return tuple(
        Reading(
            farm_day(each.at, zone),
            each.reading,
            read_words(each.reading, reads, system),
            each.is_changed,
        )
        for each in history
        if each.reading is not None
    )


def _times(done: ChoreDone, reads: Reads, system: str) -> Times:
    word = "changed or mended" if done.is_changed else "found amiss" if done.is_amiss else "done"
    read = f", {read_words(done.reading, reads, system)}" if done.reading is not None else ""
    against = f", against {done.reference}" if done.reference else ""
    return Times(done.entry, done.at, done.by, f"{word}{read}{against}", done.note)
