"""What suspects of losses are called: by the day and the person, not only by a code."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, datetime

from pinset.chain.histories import Shared
from pinset.chain.register import FarmBook
from pinset.learning.losses.records import SuspectLots
from pinset.services.clock import farm_time
from pinset.services.losses.days import dated

KINDS = {
    Shared.COOK: "cook",
    Shared.PARENT: "parent lot",
    Shared.LINE: "culture line",
    Shared.MIX: "batch of substrate",
    Shared.SESSION: "bench session",
    Shared.PERSON: "person",
    Shared.PLACE: "shelf",
}
_COOK = re.compile(r"^(?P<steriliser>.+)-(?P<day>\d{8})-(?P<clock>\d{4})$")
_WORK = re.compile(r"^transfers (?P<day>\d{4}-\d{2}-\d{2}) (?P<turn>\d+)$")
_LOT = re.compile(r"^[0-9A-Z]{4,16}$")


def name_of(kind: Shared, level: str, book: FarmBook, lots: SuspectLots | None = None) -> str:
    """Return what a suspect is called on pages.

    Parameters
    ----------
    kind, level
        Of the suspect.
    book : FarmBook
        The farm, for the names of its people, sterilisers and rooms.
    lots : SuspectLots, optional
        Its lots, for the day of a session.
    """
    return _NAMES[kind](level, book, lots)


def _cook(level: str, book: FarmBook, _lots: SuspectLots | None) -> str:
    told = _COOK.match(level)
    if told is None:
        return f"cook {level}"
    names = {each.code: each.name for each in book.sterilisers}
    day = datetime.strptime(told["day"], "%Y%m%d").date()  # noqa: DTZ007 - a day, no moment
    clock = f"{told['clock'][:2]}:{told['clock'][2:]}"
    said = dated(day, book.farm.time_zone)
    return f"cook of {said}, {clock}, {names.get(told['steriliser'], told['steriliser'])}"


def _session(level: str, book: FarmBook, lots: SuspectLots | None) -> str:
    zone = book.farm.time_zone
    if told := _WORK.match(level):
        said = f"transfers of {dated(date.fromisoformat(told['day']), zone)}"
        return said if told["turn"] == "1" else f"{said} ({told['turn']})"
    if lots is not None and lots.lots:
        first = farm_time(lots.lots[-1].made_at, zone).date()
        return f"bench session of {dated(first, zone)} ({level})"
    return f"bench session {level}"


def _person(level: str, book: FarmBook, _lots: SuspectLots | None) -> str:
    return next((each.name for each in book.workers if each.code == level), level)


def _line(level: str, _book: FarmBook, _lots: SuspectLots | None) -> str:
    return f"culture {level}"


def _place(level: str, book: FarmBook, _lots: SuspectLots | None) -> str:
    rooms = (room for room in book.rooms if any(shelf.code == level for shelf in room.shelves))
    room = next(rooms, None)
    return f"shelf {level} in {room.name}" if room else f"shelf {level}"


def _parent(level: str, _book: FarmBook, _lots: SuspectLots | None) -> str:
    return f"parent lot {level}" if _LOT.match(level) else f"spawn from {level}"


def _mix(level: str, _book: FarmBook, _lots: SuspectLots | None) -> str:
    return f"batch of substrate {level}"


_NAMES: dict[Shared, Callable[[str, FarmBook, SuspectLots | None], str]] = {
    Shared.COOK: _cook,
    Shared.PARENT: _parent,
    Shared.LINE: _line,
    Shared.MIX: _mix,
    Shared.SESSION: _session,
    Shared.PERSON: _person,
    Shared.PLACE: _place,
}
