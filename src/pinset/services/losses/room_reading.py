"""What was counted in grow rooms: flies on traps by round, signs on fruiting units by week."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from pinset.chain.register import FarmBook, RoomKind
from pinset.farm.queries.looks import LookAt, looks
from pinset.farm.queries.rounds import rounds_between
from pinset.learning.losses.rooms import (
    ON_TRAPS,
    RoomChart,
    RoomCount,
    RoomCounts,
    room_charts,
)
from pinset.services.clock import farm_day
from pinset.services.looking.walked import read_back
from pinset.services.losses.room_advice import FOLLOWED

YEARS_READ = timedelta(days=730)


def charts_of_rooms(book: FarmBook, now: datetime) -> tuple[RoomChart, ...]:
    """Return a chart of everything that is counted in the rooms of a farm."""
    found = (*_traps(book, now), *_signs(book, now))
    return room_charts(found, now, len(FOLLOWED))


def _traps(book: FarmBook, now: datetime) -> Iterable[RoomCounts]:
    """Return the flies on the traps of every room, per trap and day."""
    counts: defaultdict[str, list[RoomCount]] = defaultdict(list)
    left_out: Counter[str] = Counter()
    for each in rounds_between(now - YEARS_READ, now + timedelta(seconds=1)):
        read = read_back(each.readings)
        if read.flies is None:
            continue
        if not read.trap_days:
            left_out[each.room] += 1
            continue
        counts[each.room].append(RoomCount(each.at, read.flies, read.traps * read.trap_days))
    for room in book.rooms:
        yield RoomCounts(room.code, ON_TRAPS, tuple(counts[room.code]), left_out[room.code])


def _signs(book: FarmBook, now: datetime) -> Iterable[RoomCounts]:
    """Return how many units of the grow rooms newly showed each sign, week by week."""
    zone = book.farm.time_zone
    rooms = [room for room in book.rooms if room.kind is RoomKind.GROWING]
    room_of = {shelf.code: room.code for room in rooms for shelf in room.shelves}
    seen = looks(
        ZoneInfo(zone),
        rooms=[room.code for room in rooms],
        since=now - YEARS_READ,
        until=now + timedelta(seconds=1),
    )
    of_room: defaultdict[str, list[LookAt]] = defaultdict(list)
    for look in seen:
        code = next((room_of[each] for each in look.places if each in room_of), "")
        of_room[code].append(look)
    for room in rooms:
        here = of_room[room.code]
        units = _units_by_week(here, zone)
        shown = {sign for look in here for sign in look.signs}
        for sign in FOLLOWED:
            if sign in shown:
                new = _new_by_week(here, sign, zone)
                counts = tuple(
                    RoomCount(at, min(new[week], of), float(of))
                    for week, (at, of) in sorted(units.items())
                )
                yield RoomCounts(room.code, sign, counts)


def _week(look: LookAt, zone: str) -> date:
    """Return the Monday of a look's week."""
    day = farm_day(look.at, zone)
    return day - timedelta(days=day.weekday())


def _units_by_week(seen: Sequence[LookAt], zone: str) -> dict[date, tuple[datetime, int]]:
    """Return when units were last looked at in each week, and how many, each counted once."""
    last: dict[date, datetime] = {}
    of: defaultdict[date, Counter[str]] = defaultdict(Counter)
    for look in seen:
        week = _week(look, zone)
        last[week] = max(look.at, last.get(week, look.at))
        of[week][look.lot] = max(look.of, of[week][look.lot])
    return {week: (last[week], of[week].total()) for week in last}


def _new_by_week(seen: Sequence[LookAt], sign: str, zone: str) -> Counter[date]:
    """Return how many units showed a sign in each week that had not shown it before.

    What was seen and left standing is not found a second time; it is forgotten once somebody looks
    at that lot alone and sees nothing. Where several signs were seen together, each counts as seen
    on all of those units.
    """
    new: Counter[date] = Counter()
    standing: Counter[str] = Counter()
    for look in seen:  # of each lot in the order in which they happened
        if sign in look.signs:
            here = min(look.seen, look.of)
            new[_week(look, zone)] += max(0, here - standing[look.lot])
            taken = look.lost + look.culled
            standing[look.lot] = max(0, max(standing[look.lot], here) - taken)
        elif look.is_empty and look.lots == 1:
            standing[look.lot] = 0
    return new
