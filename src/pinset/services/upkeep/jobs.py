"""Chores that are due, and tubes of the cold shelf that ask for something, as jobs of the day."""

from __future__ import annotations

from datetime import date
from zoneinfo import ZoneInfo

from pinset.chain.register import RoomKind
from pinset.chain.shelf_life import Asked, Asks, Tube
from pinset.chain.stages import Stage
from pinset.chain.upkeep_due import Due, State
from pinset.services.book_reader import Reader
from pinset.services.cultures.due import counted_due
from pinset.services.cultures.kept import kept_cultures
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.upkeep.due import ChoreNow, chores_now
from pinset.services.upkeep.words import thing_of, title_of, why_due
from pinset.services.words import first_upper, joined, near_day, plural, short_day

SHELF_MINUTES = {Asks.TEST: 15, Asks.RENEW: 30, Asks.MOTHER: 30}
"""Minutes at the bench for what a lot of tubes asks for; common practice, no source."""

SHELF_WORDS = {
    Asks.TEST: "to wake on a plate",
    Asks.RENEW: "to move into new tubes",
    Asks.MOTHER: "to leave: go back to a tube moved fewer times",
}
SHELF_SOON_DAYS = 7
MOST_NAMED = 4


def due_jobs(reader: Reader) -> tuple[PlannedJob, ...]:
    """Return the jobs of what is due today or was due before."""
    return (
        *(
            _chore_job(each, reader)
            for each in chores_now(reader.book, reader.today)
            if each.due.is_due
        ),
        *(
            _tube_job(tube, asked, reader)
            for tube, asked in shelf_asked(reader)
            if asked.is_due(reader.today)
        ),
    )


def soon_notes(reader: Reader) -> tuple[str, ...]:
    """Return what only comes soon, chores in one sentence and the cold shelf in another.

    On a day on which nobody works they wait for the next.
    """
    if not reader.works_on(reader.today):
        return ()
    chores = [
        f"{title_of(each.chore, reader.book)} {_soon(each.due, reader.today)}"
        for each in chores_now(reader.book, reader.today)
        if each.due.state is State.SOON
    ]
    more = len(chores) - MOST_NAMED
    if more > 0:
        chores = [*chores[:MOST_NAMED], f"{more} more"]
    said = [f"Upkeep coming soon: {joined(chores)}."] if chores else []
    shelf = _shelf_soon(reader)
    return (*said, *([shelf] if shelf else []))


def _soon(due: Due, today: date) -> str:
    return f"({near_day(due.on, today)})" if due.on is not None else "(soon, by use)"


def chore_key(code: str) -> str:
    """Return the key of the job of a chore."""
    return f"chore:{code}"


def tube_key(lot: str, asks: str) -> str:
    """Return the key of the job of a lot of tubes."""
    return f"culture:{lot}:{asks}"


def _chore_job(now: ChoreNow, reader: Reader) -> PlannedJob:
    chore, due = now.chore, now.due
    thing, room_kind = thing_of(chore, reader.book)
    by = next((w.name for w in reader.book.workers if w.code == chore.by), "")
    mend = "to be changed or mended; " if due.asks_change else ""
    usually = f"; usually {by}" if by else ""
    return PlannedJob(
        key=chore_key(chore.code),
        kind=JobKind.CHORE,
        task=chore.kind.value,
        day=reader.today,
        first_day=due.on,
        count=1,
        unit="chores",
        what=f"chore: {title_of(chore, reader.book)}",
        room_kind=room_kind.value,
        detail=first_upper(f"{mend}{why_due(chore, due, reader.today)}{usually}"),
        place=thing,
        minutes=chore.minutes,
        why=chore.note,
        cautions=chore.cautions,
        chore=chore.code,
        reads=chore.reads.value,
        mends=due.asks_change,
    )


def shelf_asked(reader: Reader) -> tuple[tuple[Tube, Asked], ...]:
    """Return every lot of tubes that is kept, with what it asks for."""
    zone = ZoneInfo(reader.book.farm.time_zone)
    return tuple(
        (tube, kept.asked(tube, reader.today))
        for kept in kept_cultures(reader.today, zone)
        for tube in kept.tubes
    )


def _tube_job(tube: Tube, asked: Asked, reader: Reader) -> PlannedJob:
    lot = tube.lot
    words = SHELF_WORDS[asked.asks]
    if asked.back_to:
        words = f"to leave: go back to {asked.back_to}"
    return PlannedJob(
        key=tube_key(lot.code, asked.asks.value),
        kind=JobKind.CULTURE,
        task=asked.asks.value,
        day=reader.today,
        first_day=asked.on,
        count=1,
        unit="lots",
        what=f"lot of tubes {lot.code} {words}",
        room_kind=RoomKind.LABORATORY.value,
        detail=f"{reader.name(lot.variety)}, {plural(lot.alive, 'tube')} made "
        f"{short_day(lot.made_on)} {lot.made_on.year}",
        stage=Stage.TUBE.value,
        step=lot.step,
        variety=lot.variety,
        variety_name=reader.name(lot.variety),
        place=lot.place,
        lots=(LotAmount(lot.code, lot.alive, lot.step),),
        minutes=SHELF_MINUTES[asked.asks],
        why=asked.why,
        spoils="A tube kept past its time may not grow any more, and with it the culture is lost.",
        cautions=("alcohol-flame",),
    )


def _shelf_soon(reader: Reader) -> str:
    """Return what the cold shelf asks for in the next days, in one sentence; empty: nothing."""
    found: dict[Asks, int] = {}
    names: dict[str, None] = {}
    for tube, asked in shelf_asked(reader):
        ahead = (asked.on - reader.today).days
        if asked.asks is not Asks.NOTHING and 0 < ahead <= SHELF_SOON_DAYS:
            found[asked.asks] = found.get(asked.asks, 0) + 1
            names[reader.name(tube.lot.variety)] = None
    if not found:
        return ""
    return f"Cold shelf, within a week: {counted_due(found)} ({joined(list(names))})."
