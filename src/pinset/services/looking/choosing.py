"""What is to be looked at today, room by room, and everything else that stands."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime
from zoneinfo import ZoneInfo

from pinset.chain.living import LivingLot
from pinset.chain.register import CLEANLINESS, FarmBook, StepKind
from pinset.chain.stages import noun_of
from pinset.farm.queries.alive import living
from pinset.farm.queries.looks import LookAt, last_looks
from pinset.services.book_reader import Reader
from pinset.services.clock import now_utc
from pinset.services.looking.answered import open_looks, units_left
from pinset.services.looking.media import medium_of
from pinset.services.looking.views import LookLine, LookList, PlaceOfLooks
from pinset.services.looking.words import at_age, names_of, nothing_seen
from pinset.services.plans import planning_day
from pinset.services.words import plural
from pinset.tables.signs import Medium, signs_of

LAST = 99
"""Rooms that are not known stand after all others."""

MOST_NAMED = 4


def look_list(now: datetime | None = None) -> LookList:
    """Return what is to be looked at today first, by room in the order of cleanliness.

    In a room those come first of which most signs show at their age, then the youngest.
    """
    moment = now or now_utc()
    book, today = planning_day.farm_book(moment)
    here = living(today)
    wanted: dict[str, int] = defaultdict(int)
    for stored in open_looks(today):
        for lot, units in units_left(stored).items():
            wanted[lot] = max(wanted[lot], units)
    last = last_looks(ZoneInfo(book.farm.time_zone), {lot.code for lot in here})
    lines = _lines(here, wanted, last, book, today)
    due = [each for each in lines if each[1].left]
    others = [each for each in lines if not each[1].left]
    return LookList(_sentence(due), _by_room(due, book), _by_room(others, book))


def _sentence(due: Sequence[tuple[str, LookLine]]) -> str:
    if not due:
        return "Nothing is left to look over today."
    lots, units = len({line.lot for _, line in due}), sum(line.left for _, line in due)
    return f"{plural(units, 'unit')} of {plural(lots, 'lot')} to look over today."


def _lines(
    here: Sequence[LivingLot],
    wanted: Mapping[str, int],
    last: Mapping[str, LookAt],
    book: FarmBook,
    today: date,
) -> list[tuple[str, LookLine]]:
    """Return the room and the line of each lot; of a lot on several shelves one line."""
    parts: dict[str, list[LivingLot]] = defaultdict(list)
    for lot in here:
        if not lot.order and lot.alive > 0:
            parts[lot.code].append(lot)
    reader = Reader(book, today)
    found = []
    for code, standing in parts.items():
        lot = max(standing, key=lambda part: part.alive)
        alive = sum(part.alive for part in standing)
        medium = medium_of(lot.stage.value, lot.step, book)
        age = (today - lot.made_on).days
        noun = noun_of(lot.stage, alive, is_bought=lot.now_step().kind is StepKind.BUY)
        line = LookLine(
            lot=code,
            words=f"{noun}, {reader.name(lot.variety)}",
            stage=lot.stage.value,
            step=lot.step,
            age_days=age,
            alive=alive,
            left=min(alive, wanted.get(code, 0)),
            place=", ".join(dict.fromkeys(part.place for part in standing if part.place)),
            shows_now=shows_at(age, medium),
            before=_before(last.get(code), medium),
        )
        found.append((lot.room, line))
    return found


def showing(age_days: int, medium: Medium) -> tuple[str, ...]:
    """Return the keys of the signs that usually begin to show at an age."""
    keys = []
    for each in signs_of(medium):
        days = each.shows_after(medium)
        if days is None or days.low is None or days.high is None:
            continue
        if days.low <= age_days <= days.high:
            keys.append(each.key)
    return tuple(keys)


def shows_at(age_days: int, medium: Medium) -> str:
    """Return the signs that usually begin to show at an age, in words."""
    keys = showing(age_days, medium)
    more = len(keys) - MOST_NAMED
    return names_of(keys) if more <= 0 else f"{', '.join(map(_name, keys[:MOST_NAMED]))} and others"


def _name(key: str) -> str:
    return names_of((key,))


def _before(look: LookAt | None, medium: Medium) -> str:
    if look is None:
        return ""
    if look.is_empty:
        return nothing_seen(look.age_days, medium)
    age = look.age_days
    day = "" if age is None else f" at day {age}" if age >= 0 else at_age(age)
    return f"{names_of(look.signs)} on {look.seen} of {look.of}{day}"


def _by_room(lines: Iterable[tuple[str, LookLine]], book: FarmBook) -> tuple[PlaceOfLooks, ...]:
    rooms = {room.code: room for room in book.rooms}
    found: dict[str, list[LookLine]] = defaultdict(list)
    for room, line in lines:
        found[room].append(line)

    def rank(code: str) -> tuple[int, str]:
        room = rooms.get(code)
        return (CLEANLINESS[room.kind] if room else LAST, code)

    def risk(line: LookLine) -> tuple[int, int, str]:
        medium = medium_of(line.stage, line.step, book)
        return (-len(showing(line.age_days, medium)), line.age_days, line.lot)

    return tuple(
        PlaceOfLooks(
            rooms[code].name if code in rooms else "no room named",
            tuple(sorted(found[code], key=risk)),
        )
        for code in sorted(found, key=rank)
    )
