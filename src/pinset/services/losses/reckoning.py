"""When losses are reckoned, and where the newest reckoning is kept."""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from pinset.chain.plain import from_plain, to_plain
from pinset.errors import RefusedError
from pinset.farm import loss_store
from pinset.farm.loss_store import ReckoningRow
from pinset.farm.stamp import register_stamp, stamp
from pinset.learning.incidence.fit import Fit
from pinset.learning.losses.reckoned import reckon
from pinset.learning.losses.records import Reckoned
from pinset.services.clock import farm_time, now_utc
from pinset.services.losses.reading import read
from pinset.services.losses.room_reading import charts_of_rooms
from pinset.services.memory import remembered
from pinset.services.plans import planning_day

METHOD = 13
"""Raised whenever what is stored changes its form or its meaning: older ones are not read."""

REST = timedelta(minutes=10)
"""The worker reckons no sooner than so long after the last time."""


STALE = timedelta(hours=12)
"""Lots grow older without an entry: what was reckoned so long ago is reckoned anew."""


@dataclass(frozen=True, slots=True)
class Kept:
    """A reckoning with when it was made, and how much was written down since."""

    reckoned: Reckoned
    at: datetime
    entries_since: int


@dataclass(slots=True)
class _Last:
    """The fit this process made last: where the next one begins."""

    fit: Fit | None = None
    full_on: str = ""  # the farm's day on which deviations were last found anew
    farm: tuple[str, int] = ("", 0)


_last = _Last()


def latest() -> Kept | None:
    """Return the newest reckoning; None if there is none yet."""
    number = loss_store.latest_number(METHOD)
    if not number:
        return None
    row, reckoned = _read(number)
    return Kept(reckoned, row.reckoned_at, max(0, stamp().entries - row.entries))


@remembered
def _read(number: int) -> tuple[ReckoningRow, Reckoned]:
    row = loss_store.latest(METHOD)
    if row is None or row.number < number:
        raise RefusedError("The reckoning of losses was thrown away.", "Reckon it anew.")
    return row, from_plain(Reckoned, row.body)


def is_due(now: datetime) -> bool:
    """Say whether anything was written down since the last reckoning, or it is old."""
    row = loss_store.latest(METHOD)
    if row is None:
        return stamp().entries > 0
    if now - row.reckoned_at < REST:
        return False
    return _is_behind(row, now)


def _is_behind(row: ReckoningRow, now: datetime) -> bool:
    is_other = row.entries != stamp().entries or row.register != register_stamp()
    return is_other or now - row.reckoned_at >= STALE


def reckon_now(now: datetime | None = None) -> Kept:
    """Reckon losses from everything that is written down, and keep it.

    The deviations between suspects are found anew once a day; in between they are held, as one
    look changes them little.

    Raises
    ------
    RefusedError
        If no farm is described yet.
    """
    moment = now or now_utc()
    began = time.monotonic()
    book, _today = planning_day.farm_book(now)
    entries, register = stamp().entries, register_stamp()
    told = read(book)
    day = farm_time(moment, book.farm.time_zone).date().isoformat()
    farm = (book.farm.name, register)
    same = _last.fit is not None and _last.farm == farm
    reckoned, _last.fit = reckon(
        told.lots,
        told.usual,
        told.expected,
        predicted=told.predicted,
        pointing=told.pointing,
        now=moment,
        mended=told.mended,
        before=_last.fit if same else None,
        hold=same and _last.full_on == day,
    )
    reckoned = replace(reckoned, rooms=charts_of_rooms(book, moment))
    _last.full_on, _last.farm = day, farm
    row = ReckoningRow(
        number=0,
        reckoned_at=moment,
        entries=entries,
        register=register,
        method=METHOD,
        seconds=time.monotonic() - began,
        body=to_plain(reckoned),
    )
    loss_store.keep(row)
    return Kept(reckoned, moment, 0)


def up_to_date(now: datetime | None = None) -> Kept:
    """Return a reckoning of everything that is written down, made now if there is none of today."""
    kept = latest()
    row = loss_store.latest(METHOD)
    if kept is None or row is None or _is_behind(row, now or now_utc()):
        return reckon_now(now)
    return kept
