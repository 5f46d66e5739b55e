"""How many minutes of the near days go to chores and to tubes of the cold shelf."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from pinset.chain.register import RoomKind
from pinset.chain.upkeep import Chore, ChoreAt
from pinset.farm import job_store
from pinset.farm.entries import Kind
from pinset.planning.building.taken import Taken
from pinset.services.book_reader import Reader
from pinset.services.jobs.records import BY_KEY
from pinset.services.upkeep.due import ChoreNow, chores_now
from pinset.services.upkeep.jobs import SHELF_MINUTES, chore_key, shelf_asked, tube_key
from pinset.services.upkeep.words import thing_of

NONE_PUT_OFF: Mapping[str, date] = {}


@dataclass(frozen=True, slots=True)
class _Once:
    """One time that something is to be done."""

    on: date
    minutes: float
    is_clean: bool = False  # only by those who may work in the laboratory
    is_at_bench: bool = False


def minutes_taken(
    reader: Reader, days: int, put_off: Mapping[str, date] = NONE_PUT_OFF
) -> tuple[Taken, ...]:
    """Return the minutes that upkeep takes of each of so many days from today on.

    What is overdue is done today; what falls on a day on which nobody works, on the next day of
    work. A chore by days comes again after its days; when one by use will fall due nobody knows, so
    it counts once it is due.

    Parameters
    ----------
    reader : Reader
        The farm and its day.
    days : int
        How far to look, today included. [d]
    put_off : mapping of job key to date, optional
        What is not to be done before another day.
    """
    found: dict[int, Taken] = {}
    for each in (*_chores(reader, days, put_off), *_tubes(reader, put_off)):
        on = _worked(each.on, reader, days)
        if on is None:
            continue
        ahead = (on - reader.today).days
        before = found.get(ahead, Taken(ahead, 0.0))
        found[ahead] = Taken(
            ahead,
            before.hands + each.minutes,
            before.laboratory + each.minutes * each.is_clean,
            before.bench + each.minutes * each.is_at_bench,
        )
    return tuple(found[ahead] for ahead in sorted(found))


def put_off_until() -> dict[str, date]:
    """Return until when chores and tubes are put off, by the keys of their jobs."""
    kinds = {kind.value for kind in BY_KEY}
    keys = {row.code: str(row.body["key"]) for row in job_store.open_jobs() if row.kind in kinds}
    found: dict[str, date] = {}
    for entry in job_store.entries_of(keys):
        if entry.kind is Kind.PUT_OFF and entry.details.get("until"):
            found[keys[entry.job]] = date.fromisoformat(str(entry.details["until"]))
    return found


def _chores(reader: Reader, days: int, put_off: Mapping[str, date]) -> Iterator[_Once]:
    for each in chores_now(reader.book, reader.today):
        on = _first(each.due.on, chore_key(each.chore.code), reader, put_off)
        last = reader.today + timedelta(days=days)
        while on is not None and on < last:
            yield _once(each, on, reader)
            done = _worked(on, reader, days)
            every = each.chore.every_days
            on = done + timedelta(days=every) if done is not None and every else None


def _once(now: ChoreNow, on: date, reader: Reader) -> _Once:
    chore = now.chore
    _, room = thing_of(chore, reader.book)
    is_clean = room is RoomKind.LABORATORY and not _is_of_somebody_else(chore, reader)
    return _Once(on, chore.minutes, is_clean, chore.at is ChoreAt.BENCH)


def _is_of_somebody_else(chore: Chore, reader: Reader) -> bool:
    """Say whether it is usually done by a person who does not work in the laboratory."""
    return any(worker.code == chore.by and not worker.laboratory for worker in reader.book.workers)


def _tubes(reader: Reader, put_off: Mapping[str, date]) -> Iterator[_Once]:
    for tube, asked in shelf_asked(reader):
        if asked.asks not in SHELF_MINUTES:
            continue
        on = _first(asked.on, tube_key(tube.lot.code, asked.asks.value), reader, put_off)
        if on is not None:
            yield _Once(on, SHELF_MINUTES[asked.asks], is_clean=True, is_at_bench=True)


def _first(due: date | None, key: str, reader: Reader, put_off: Mapping[str, date]) -> date | None:
    return None if due is None else max(due, reader.today, put_off.get(key, due))


def _worked(on: date, reader: Reader, days: int) -> date | None:
    """Return the first day of work from a day on; None: it lies too far ahead."""
    last = reader.today + timedelta(days=days)
    while on < last and not reader.works_on(on):
        on += timedelta(days=1)
    return on if on < last else None
