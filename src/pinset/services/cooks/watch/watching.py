"""Watching a cook: begun, read, ended, and handed on to be judged as any logger's file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from pinset.chain.plain import to_plain
from pinset.chain.register import FarmBook
from pinset.errors import InputError, RefusedError
from pinset.farm import watch_store
from pinset.farm.watch_store import ReadingRow, WatchRow
from pinset.science.judging.cook_rules import read_rule
from pinset.services.clock import farm_time, now_utc
from pinset.services.cooks.ahead.newer_logs import with_learnt
from pinset.services.cooks.judge import verdicts as cook_verdicts
from pinset.services.cooks.loads import LoadPlan
from pinset.services.cooks.watch.columns import title_of
from pinset.services.cooks.watch.csv import csv_of
from pinset.services.cooks.watch.feed import take_in
from pinset.services.cooks.watch.instruments import checked_choice, instruments_of, to_choose
from pinset.services.cooks.watch.limits import checked, checked_moment
from pinset.services.cooks.watch.records import WatchReading, What
from pinset.services.cooks.watch.state import planned
from pinset.services.plans import planning_day

TYPED, SENSOR = "typed", "sensor"
KEPT = timedelta(days=30)  # after a watch has ended
BEFORE = timedelta(hours=2)  # the beginning may have been noted so late
TYPED_BEFORE = timedelta(minutes=5)  # an hour typed is more easily one of the day before


@dataclass(frozen=True, slots=True)
class Machine:
    """A steriliser with one kind of cook, to be chosen from."""

    code: str  # steriliser:kind
    words: str


def machines() -> tuple[Machine, ...]:
    """Return every steriliser with each kind of its cooks."""
    book, _ = planning_day.farm_book()
    return tuple(
        Machine(f"{each.code}:{kind.code}", f"{each.name}: {kind.code}")
        for each in book.sterilisers
        for kind in each.cooks
    )


def to_ask() -> dict[What, tuple[tuple[str, str], ...]]:
    """Return codes and names of instruments to choose from, where it is not clear which reads."""
    return {
        what: tuple((each.code, each.name) for each in fitting)
        for what, fitting in to_choose(_book()).items()
    }


def begin(
    client_id: str,
    worker: str,
    machine: str,
    load: LoadPlan,
    rule: str,
    *,
    began_at: datetime | None = None,
    cook: str = "",
    job: str = "",
    instruments: Mapping[str, str] | None = None,
) -> str:
    """Begin to watch a cook and return its code; the same tap again is the same cook.

    Parameters
    ----------
    client_id : str
        Random id of this tap.
    worker : str
        Code of who begins.
    machine : str
        ``steriliser:kind`` of :func:`machines`.
    load : LoadPlan
        What is cooked.
    rule : str
        What the slowest core is to reach.
    began_at : datetime, optional
        Since when it is heated, if not from now on.
    cook, job : str
        Code of the cook in the books, and of its job, if they are known.
    instruments : mapping, optional
        Codes of the instruments that were chosen, by what they read.

    Raises
    ------
    InputError
        If a value is not accepted, or load and rule make no cook.
    RefusedError
        If there is no such cook in the books, or its steriliser is watched already.
    """
    now = now_utc()
    if machine not in {each.code for each in machines()}:
        raise InputError("machine", machine, "one of this farm's sterilisers with its kind of cook")
    load = with_learnt(load)
    planned(load, read_rule(rule))  # refuses what makes no cook
    chosen = checked_choice(_book(), instruments or {})
    if cook:
        cook_verdicts.cook_of(cook)
    since = checked_moment(began_at, now) if began_at else now
    watch_store.forget_ended(now - KEPT)
    steriliser, kind = machine.split(":", maxsplit=1)
    _refuse_second(client_id, steriliser, now)
    local = farm_time(since, _book().farm.time_zone)
    row = WatchRow(
        code=f"{steriliser}-{local:%Y%m%d-%H%M}",
        steriliser=steriliser,
        cook_kind=kind,
        job=job,
        cook=cook,
        load=to_plain(load, every_field=True),
        rule=rule,
        began_at=since,
        begun_by=worker,
        ended_at=None,
        ended_by="",
        instruments=chosen,
        heated_since=since if began_at else None,
    )
    return watch_store.begin(client_id, row).code


def _refuse_second(client_id: str, steriliser: str, now: datetime) -> None:
    """Refuse a second watch of one steriliser: it holds one load at a time."""
    others = (each for each in watch_store.going_on() if each.steriliser == steriliser)
    other = next(others, None)
    if other is None or watch_store.is_begun(client_id):
        return
    book = _book()
    name = next((each.name for each in book.sterilisers if each.code == steriliser), steriliser)
    since = farm_time(other.began_at, book.farm.time_zone)
    day = "" if since.date() == farm_time(now, book.farm.time_zone).date() else f"{since:%Y-%m-%d} "
    raise RefusedError(
        f"{name} is watched already, since {day}{since:%H:%M}: {other.code}.",
        "Go on with that watch, or end it first.",
    )


def read(
    code: str,
    client_id: str,
    worker: str,
    values: Mapping[What, float],
    *,
    at: datetime | None = None,
) -> int:
    """Keep what somebody read and typed, and return how many values are new.

    Raises
    ------
    InputError
        If nothing was typed, or a value or the moment is out of range.
    RefusedError
        If there is no such cook, or it has ended.
    """
    return _keep(code, client_id, values, at, source=TYPED, by=worker)


def post(
    code: str,
    client_id: str,
    values: Mapping[What, float],
    *,
    at: datetime | None = None,
    by: str = "",
) -> int:
    """Keep what a sensor sent; as :func:`read`. It may have held it back (``by``)."""
    return _keep(code, client_id, values, at, source=SENSOR, by=by)


def heated_since(code: str, at: datetime) -> None:
    """Note since when a cook is heated, as somebody says; what its file holds since then counts.

    Raises
    ------
    InputError
        If that is after its first reading, ahead, or too far back for any cook.
    RefusedError
        If there is no such cook, or it has ended.
    """
    row, now = row_of(code), now_utc()
    if row.ended_at is not None:
        raise RefusedError("This cook has ended; since when it was heated stays as it is.")
    moment = checked_moment(at, now)
    first = next((each.at for each in watch_store.readings(code)), now)
    if moment > first:
        zone = _book().farm.time_zone
        accepted = f"a time until its first reading, {farm_time(first, zone):%H:%M}"
        raise InputError("since", f"{farm_time(moment, zone):%Y-%m-%d %H:%M}", accepted)
    watch_store.heated_since(code, moment)


def _keep(
    code: str,
    client_id: str,
    values: Mapping[What, float],
    at: datetime | None,
    *,
    source: str,
    by: str,
) -> int:
    row, now = row_of(code), now_utc()
    if row.ended_at is not None:
        raise RefusedError("This cook has ended; nothing more is read.", "Begin a new one.")
    if not values:
        raise InputError("readings", "", "the chamber, the gauge or a core")
    moment = checked_moment(at, now) if at else now
    if moment < row.began_at - (TYPED_BEFORE if source == TYPED else BEFORE):
        zone = _book().farm.time_zone
        since, given = farm_time(row.began_at, zone), farm_time(moment, zone)
        raise InputError(
            "at",
            f"{given:%Y-%m-%d %H:%M}",
            f"a time since it began, {since:%H:%M}, until now",
            "If the cook began earlier, begin a watch with that time.",
        )
    system = _book().farm.units
    kept = [
        ReadingRow(client_id, moment, what.value, checked(what, value, system), source, by)
        for what, value in values.items()
    ]
    return watch_store.add(code, kept, now)


def take_back(code: str, client_id: str) -> None:
    """Let a typed reading count no more.

    Raises
    ------
    RefusedError
        If there is no such cook, it has ended, or the reading was not typed.
    """
    if row_of(code).ended_at is not None:
        raise RefusedError("This cook has ended; its readings stay as they are.")
    if not watch_store.remove(code, client_id):
        raise RefusedError("There is no such reading that somebody typed.")


def end(code: str, worker: str) -> None:
    """End the watch of a cook; what its logger wrote until now is taken in first.

    Raises
    ------
    RefusedError
        If there is no such cook.
    """
    row, now, book = row_of(code), now_utc(), _book()
    if row.ended_at is None:
        take_in(row, now, zone=book.farm.time_zone, altitude_m=book.farm.altitude_m)
        watch_store.end(code, worker, now)


def log_of(code: str) -> tuple[bytes, str]:
    """Return what was read of a cook as a logger's file, and its name.

    Raises
    ------
    RefusedError
        If there is no such cook, or nothing was read of it.
    """
    row = row_of(code)
    rows = watch_store.readings(code)
    if not rows:
        raise RefusedError("Nothing was read of this cook.")
    book = _book()
    titles = {
        what: title_of(what, used.instrument, book.instruments)
        for what, used in instruments_of(book, row.instruments).items()
    }
    return csv_of(readings_of(rows), book.farm.time_zone, titles), f"{row.code}.csv"


def row_of(code: str) -> WatchRow:
    """Return a watched cook.

    Raises
    ------
    RefusedError
        If there is no such cook.
    """
    found = watch_store.find(code)
    if found is None:
        raise RefusedError(f"No cook {code} is watched here.", "Begin one on the Heat page.")
    return found


def _book() -> FarmBook:
    return planning_day.farm_book()[0]


def readings_of(rows: Sequence[ReadingRow]) -> list[WatchReading]:
    """Return what was read, one value a record."""
    return [WatchReading(each.at, **{What(each.what).value: each.value}) for each in rows]
