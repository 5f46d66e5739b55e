"""Watched cooks as pages show them: how each stands now, with what was read last."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from pinset.chain.plain import from_plain
from pinset.errors import InputError
from pinset.farm import watch_store
from pinset.farm.watch_store import ReadingRow, WatchRow
from pinset.science.judging.cook_rules import read_rule
from pinset.services.clock import now_utc
from pinset.services.cooks.ahead.newer_logs import brought_up_to_date, findings_of_load
from pinset.services.cooks.heat_lines import HeatLine, HeatLines
from pinset.services.cooks.judge import verdicts as cook_verdicts
from pinset.services.cooks.loads import LoadPlan
from pinset.services.cooks.watch.feed import Feed, take_in
from pinset.services.cooks.watch.instruments import errors_of, findings_of, instruments_of
from pinset.services.cooks.watch.records import CookNow, Curves, What
from pinset.services.cooks.watch.speech import Speech
from pinset.services.cooks.watch.state import watch_state
from pinset.services.cooks.watch.watching import TYPED, readings_of, row_of
from pinset.services.plans import planning_day
from pinset.services.upkeep.compared import compared

RECENT = 12  # cooks that have ended
READINGS = 6  # that are listed
BOOKED_WITHIN = timedelta(hours=12)
COOKS_SINCE = timedelta(days=2)


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
    heated_since: datetime | None  # where somebody said it
    load: LoadPlan
    state: CookNow
    latest: tuple[LastReading, ...]  # the newest first
    feed: Feed | None  # None once it has ended


def watched() -> tuple[tuple[WatchLine, ...], tuple[WatchLine, ...]]:
    """Return the cooks that go on, each with how it stands, and those that have ended."""
    now = now_utc()
    going = tuple(_line(row, _sentence(row, now)) for row in watch_store.going_on())
    return going, tuple(_line(row, "") for row in watch_store.ended(RECENT))


def _sentence(row: WatchRow, now: datetime) -> str:
    try:
        return _state(row, now, feed=_feed(row, now)).sentence
    except InputError as problem:  # of a load written by another version
        return str(problem)


def view(code: str) -> WatchView:
    """Return one watched cook as it stands now, with what its logger wrote since the last look.

    Raises
    ------
    RefusedError
        If there is no such cook.
    """
    row, now, book = row_of(code), now_utc(), planning_day.farm_book()[0]
    feed = _feed(row, now) if row.ended_at is None else None
    rows = watch_store.readings(code)
    state = _state(row, now, rows, feed=feed)
    machine = next((each for each in book.sterilisers if each.code == row.steriliser), None)
    return WatchView(
        line=_line(row, state.sentence),
        steriliser=machine.name if machine else row.steriliser,
        cook_kind=row.cook_kind,
        cook=cook_in_books(row, now),
        rule=row.rule,
        heated_since=row.heated_since,
        load=_load(row),
        state=state,
        latest=_latest(rows),
        feed=feed,
    )


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


def _load(row: WatchRow) -> LoadPlan:
    load = from_plain(LoadPlan, dict(row.load))
    return load if row.ended_at else brought_up_to_date(load)


def _feed(row: WatchRow, now: datetime) -> Feed:
    farm = planning_day.farm_book()[0].farm
    return take_in(row, now, zone=farm.time_zone, altitude_m=farm.altitude_m)


def _state(
    row: WatchRow,
    now: datetime,
    rows: Sequence[ReadingRow] | None = None,
    *,
    feed: Feed | None = None,
) -> CookNow:
    book, today = planning_day.farm_book()
    read = watch_store.readings(row.code) if rows is None else rows
    used, load = instruments_of(compared(book), row.instruments), _load(row)
    beside = findings_of(used, book, {What(each.what) for each in read}, today)
    return watch_state(
        load,
        read_rule(row.rule),
        readings_of(read),
        row.ended_at or now,
        heated_since=row.heated_since,
        errors=errors_of(used),
        speech=Speech(book.farm.units, book.farm.time_zone),
        is_over=row.ended_at is not None,
        is_clock_off=feed is not None and feed.is_clock_off,
        more=(*findings_of_load(load), *beside),
    )


def _line(row: WatchRow, sentence: str) -> WatchLine:
    book = planning_day.farm_book()[0]
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
