"""Watching a cook: begun, read, ended, and handed on to be judged as any logger's file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from pinset.chain.plain import from_plain, to_plain
from pinset.chain.register import FarmBook, InstrumentKind
from pinset.errors import InputError, RefusedError
from pinset.farm import watch_store
from pinset.farm.watch_store import ReadingRow, WatchRow
from pinset.science.cook_rules import read_rule
from pinset.science.judging_records import UNKNOWN_ERROR_K
from pinset.services import cook_verdicts, planning_day
from pinset.services.clock import farm_time, now_utc
from pinset.services.cook_loads import LoadPlan
from pinset.services.cook_watch_csv import csv_of
from pinset.services.cook_watch_feed import Feed, take_in
from pinset.services.cook_watch_limits import checked, checked_moment
from pinset.services.cook_watch_records import (
    CookNow,
    Curves,
    WatchErrors,
    WatchReading,
    What,
)
from pinset.services.cook_watch_state import planned, watch_state
from pinset.services.cook_watch_words import Speech
from pinset.services.heat_lines import HeatLine, HeatLines

TYPED = "typed"
RECENT = 12  # cooks that have ended
READINGS = 6  # that are listed
BOOKED_WITHIN = timedelta(hours=12)
COOKS_SINCE = timedelta(days=2)
KEPT = timedelta(days=30)  # after a watch has ended
BEFORE = timedelta(hours=2)  # the beginning may have been noted so late


@dataclass(frozen=True, slots=True)
class WatchLine:
    """A watched cook as a list shows it."""

    code: str
    words: str  # steriliser and kind
    began_at: datetime
    ended_at: datetime | None
    sentence: str  # how it stands; empty once it has ended


@dataclass(frozen=True, slots=True)
class LastReading:
    """A reading as a list shows it."""

    client_id: str
    at: datetime
    chamber_c: float | None
    gauge_bar: float | None
    core_c: float | None
    source: str  # typed, file, sensor
    can_remove: bool


@dataclass(frozen=True, slots=True)
class WatchView:
    """A watched cook with everything its page shows."""

    line: WatchLine
    steriliser: str  # name
    cook_kind: str
    cook: str  # code in the books; empty: not known
    rule: str  # as it was typed
    load: LoadPlan
    state: CookNow
    latest: tuple[LastReading, ...]  # the newest first
    feed: Feed | None  # None once it has ended


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

    Raises
    ------
    InputError
        If a value is not accepted, or load and rule make no cook.
    RefusedError
        If there is no such cook in the books.
    """
    now = now_utc()
    if machine not in {each.code for each in machines()}:
        raise InputError("machine", machine, "one of this farm's sterilisers with its kind of cook")
    planned(load, read_rule(rule))  # refuses what makes no cook
    if cook:
        cook_verdicts.cook_of(cook)
    since = checked_moment(began_at, now) if began_at else now
    watch_store.forget_ended(now - KEPT)
    steriliser, kind = machine.split(":", maxsplit=1)
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
    )
    return watch_store.begin(client_id, row).code


def watched() -> tuple[tuple[WatchLine, ...], tuple[WatchLine, ...]]:
    """Return the cooks that go on, each with how it stands, and those that have ended."""
    now = now_utc()
    going = tuple(_line(row, _sentence(row, now)) for row in watch_store.going_on())
    return going, tuple(_line(row, "") for row in watch_store.ended(RECENT))


def _sentence(row: WatchRow, now: datetime) -> str:
    try:
        return _state(row, now).sentence
    except InputError as problem:  # of a load written by another version
        return str(problem)


def view(code: str) -> WatchView:
    """Return one watched cook as it stands now, with what its logger wrote since the last look.

    Raises
    ------
    RefusedError
        If there is no such cook.
    """
    row, now, book = _row(code), now_utc(), _book()
    feed = None
    if row.ended_at is None:
        zone, altitude_m = book.farm.time_zone, book.farm.altitude_m
        feed = take_in(row, now, zone=zone, altitude_m=altitude_m)
    rows = watch_store.readings(code)
    state = _state(row, now, rows)
    machine = next((each for each in book.sterilisers if each.code == row.steriliser), None)
    return WatchView(
        line=_line(row, state.sentence),
        steriliser=machine.name if machine else row.steriliser,
        cook_kind=row.cook_kind,
        cook=cook_in_books(row, now),
        rule=row.rule,
        load=_load(row),
        state=state,
        latest=_latest(rows),
        feed=feed,
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
    code: str, client_id: str, values: Mapping[What, float], *, at: datetime | None = None
) -> int:
    """Keep what a sensor sent; as :func:`read`."""
    return _keep(code, client_id, values, at, source="sensor", by="")


def _keep(
    code: str,
    client_id: str,
    values: Mapping[What, float],
    at: datetime | None,
    *,
    source: str,
    by: str,
) -> int:
    row, now = _row(code), now_utc()
    if row.ended_at is not None:
        raise RefusedError("This cook has ended; nothing more is read.", "Begin a new one.")
    if not values:
        raise InputError("readings", "", "the chamber, the gauge or a core")
    moment = checked_moment(at, now) if at else now
    if moment < row.began_at - BEFORE:
        since = farm_time(row.began_at, _book().farm.time_zone)
        raise InputError("at", moment.isoformat(timespec="minutes"),
                         f"a time since it began, {since:%H:%M}, until now")  # fmt: skip
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
    if _row(code).ended_at is not None:
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
    row, now, book = _row(code), now_utc(), _book()
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
    row = _row(code)
    rows = watch_store.readings(code)
    if not rows:
        raise RefusedError("Nothing was read of this cook.")
    return csv_of(_readings(rows), _book().farm.time_zone), f"{row.code}.csv"


def cook_in_books(row: WatchRow, now: datetime) -> str:
    """Return the code of a watched cook in the books: as was said, or the nearest that fits."""
    if row.cook:
        return row.cook
    until = (row.ended_at or now) + BOOKED_WITHIN
    fitting = [
        cook
        for cook in cook_verdicts.cooks(row.began_at - BOOKED_WITHIN).cooks
        if (cook.steriliser, cook.cook_kind) == (row.steriliser, row.cook_kind) and cook.at <= until
    ]
    nearest = min(fitting, key=lambda cook: abs(cook.at - row.began_at), default=None)
    return nearest.cook if nearest else ""


def cooks_to_choose(steriliser: str) -> tuple[str, ...]:
    """Return the codes of cooks just loaded into a steriliser, or into any if it is empty."""
    found = cook_verdicts.cooks(now_utc() - COOKS_SINCE).cooks
    return tuple(cook.cook for cook in found if steriliser in {"", cook.steriliser})


def lines_of(curves: Curves) -> HeatLines:
    """Return what can be drawn of a cook so far."""
    lines = tuple(
        HeatLine(each.name, each.role, each.pieces, each.is_ruling) for each in curves.curves
    )
    return HeatLines(lines, curves.killing, curves.enough_min, curves.started)


def _row(code: str) -> WatchRow:
    found = watch_store.find(code)
    if found is None:
        raise RefusedError(f"No cook {code} is watched here.", "Begin one on the Heat page.")
    return found


def _book() -> FarmBook:
    return planning_day.farm_book()[0]


def _load(row: WatchRow) -> LoadPlan:
    return from_plain(LoadPlan, dict(row.load))


def _state(row: WatchRow, now: datetime, rows: Sequence[ReadingRow] | None = None) -> CookNow:
    book = _book()
    return watch_state(
        _load(row),
        read_rule(row.rule),
        _readings(watch_store.readings(row.code) if rows is None else rows),
        row.ended_at or now,
        errors=_errors(book),
        speech=Speech(book.farm.units, book.farm.time_zone),
        is_over=row.ended_at is not None,
    )


def _readings(rows: Sequence[ReadingRow]) -> list[WatchReading]:
    return [WatchReading(each.at, **{What(each.what).value: each.value}) for each in rows]


def _errors(book: FarmBook) -> WatchErrors:
    """Return the largest errors the farm knows of its probes and gauges."""
    probes = [e.error for e in book.instruments if e.kind is InstrumentKind.PROBE and e.error]
    gauges = [e.error for e in book.instruments if e.kind is InstrumentKind.GAUGE and e.error]
    probe_k = max(probes, default=UNKNOWN_ERROR_K)
    return WatchErrors(probe_k, probe_k, max(gauges, default=0.0))


def _line(row: WatchRow, sentence: str) -> WatchLine:
    book = _book()
    machine = next((each.name for each in book.sterilisers if each.code == row.steriliser), "")
    words = f"{machine or row.steriliser}: {row.cook_kind}"
    return WatchLine(row.code, words, row.began_at, row.ended_at, sentence)


def _latest(rows: Sequence[ReadingRow]) -> tuple[LastReading, ...]:
    found: dict[tuple[str, datetime], dict[str, float]] = {}
    source: dict[tuple[str, datetime], str] = {}
    for row in reversed(rows):
        key = (row.client_id, row.at)
        if key not in found and len(found) == READINGS:
            break
        found.setdefault(key, {})[row.what] = row.value
        source[key] = row.source
    return tuple(
        LastReading(
            client_id,
            at,
            values.get(What.CHAMBER),
            values.get(What.GAUGE),
            values.get(What.CORE),
            source[client_id, at],
            source[client_id, at] == TYPED,
        )
        for (client_id, at), values in found.items()
    )
