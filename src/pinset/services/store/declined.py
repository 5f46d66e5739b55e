"""Lots that are not to be carried into the cold store at all, until something changes."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from zoneinfo import ZoneInfo

from pinset.chain.living import LivingLot
from pinset.chain.register import FarmBook
from pinset.farm import job_store
from pinset.farm.entries import Kind
from pinset.planning.building.cold_places import places_free
from pinset.services.clock import at_clock
from pinset.services.jobs.known import KEPT_DAYS
from pinset.services.jobs.records import INTO_STORE, JobKind

_TINY = 1e-9


def declined_store(living: Sequence[LivingLot], book: FarmBook, today: date) -> frozenset[str]:
    """Return the lots somebody would not have carried at all in the last ``KEPT_DAYS``.

    They are asked for again once they were moved since, or the store has more free places than it
    had when the question was asked.
    """
    zone = book.farm.time_zone
    begin = at_clock(today - timedelta(days=KEPT_DAYS), "00:00", zone)
    rows = {
        row.code: row
        for row in job_store.closed_since(begin, JobKind.MOVE.value)
        if row.body.get("task") == INTO_STORE
    }
    rooms = {room.code: room for room in book.rooms}
    said: dict[str, tuple[date, str, float]] = {}
    for answer in job_store.entries_of(rows):
        if answer.kind is Kind.DROP:
            body = rows[answer.job].body
            day = answer.happened_at.astimezone(ZoneInfo(zone)).date()
            free = float(body.get("free_places", 0.0))
            for lot in body.get("lots", ()):
                said[str(lot["lot"])] = day, str(body.get("to_room", "")), free
    return frozenset(
        code
        for code, (day, room, free) in said.items()
        if room in rooms
        and places_free(living, rooms[room]) <= free + _TINY
        and not any(
            _is_moved_since(lot, day) for lot in living if lot.code == code and lot.room != room
        )
    )


def _is_moved_since(lot: LivingLot, day: date) -> bool:
    return lot.step_since > day or bool(lot.stood and lot.stood[-1].until > day)
