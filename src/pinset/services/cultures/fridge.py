"""What would be lost with a room of cultures, and where a second tube could stand."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime

from pinset.chain.keeping import is_too_cold, keeping_days
from pinset.chain.living import LivingLot
from pinset.chain.readiness import keeps_until
from pinset.chain.register import Room, RoomKind, Step
from pinset.chain.shelf_life import is_on_shelf
from pinset.chain.stages import Stage, noun_of
from pinset.farm.queries.alive import living
from pinset.services.book_reader import Reader
from pinset.services.cultures.records import AtRisk, FridgeView
from pinset.services.plans import planning_day
from pinset.services.words import joined, plural
from pinset.tables.water_blocks import water_blocks
from pinset.units import Quantity, show

LEAST_DAYS = 30
"""Where a culture keeps shorter than this it is no second place; d, common practice, no source."""

NOT_FOR_TUBES = frozenset({RoomKind.GROWING, RoomKind.STERILISER, RoomKind.PREPARATION})
"""Wet, hot or full of spores."""

_YEAR = 365.0

_Key = tuple[str, str]
"""Culture and variety, by code."""


def fridge_map(now: datetime | None = None) -> tuple[FridgeView, ...]:
    """Return every room in which cultures are kept, the one with most to lose first."""
    book, today = planning_day.farm_book(now)
    reader = Reader(book, today)
    lots = [lot for lot in living(today) if not lot.order]
    shelf: dict[str, dict[_Key, list[LivingLot]]] = defaultdict(lambda: defaultdict(list))
    others: dict[_Key, list[LivingLot]] = defaultdict(list)
    kept = {(lot.culture, lot.variety) for lot in lots if _is_kept(lot, today)}
    for lot in lots:
        key = lot.culture, lot.variety
        if is_on_shelf(lot) and (_is_kept(lot, today) or key not in kept):
            shelf[lot.room][key].append(lot)
        else:
            others[key].append(lot)
    views = [_view(code, own, shelf, others, lots, reader) for code, own in shelf.items()]
    return tuple(
        sorted(views, key=lambda view: (-sum(r.is_only_here for r in view.at_risk), view.name))
    )


def _is_kept(lot: LivingLot, today: date) -> bool:
    """Say whether a lot is stock: tubes, or what keeps long enough where it stands.

    Plates that stand in the warm for this week's transfers are no second place.
    """
    if not is_on_shelf(lot):
        return False
    until = keeps_until(lot)
    return lot.stage is Stage.TUBE or (until is not None and (until - today).days >= LEAST_DAYS)


def _view(
    code: str,
    own: Mapping[_Key, Sequence[LivingLot]],
    shelf: Mapping[str, Mapping[_Key, Sequence[LivingLot]]],
    others: Mapping[_Key, Sequence[LivingLot]],
    lots: Sequence[LivingLot],
    reader: Reader,
) -> FridgeView:
    found = [
        _at_risk(
            key,
            here,
            [room for room, kept in shelf.items() if room != code and key in kept],
            others.get(key, ()),
            lots,
            reader,
        )
        for key, here in own.items()
    ]
    found.sort(key=lambda each: (not each.is_only_here, each.variety, each.culture))
    name = reader.room_name(code) or code or "where nobody said"
    temperature = next(iter(own.values()))[0].temperature_c
    return FridgeView(code, name, temperature, _sentence(name, found), tuple(found))


def _sentence(name: str, found: Sequence[AtRisk]) -> str:
    only = sum(each.is_only_here for each in found)
    if not only:
        return f"If {name} failed, no culture would be lost: each stands elsewhere, too."
    lost = plural(only, "culture")
    return f"If {name} failed, {lost} of {len(found)} would be lost."


def _at_risk(
    key: _Key,
    here: Sequence[LivingLot],
    elsewhere: Sequence[str],
    others: Iterable[LivingLot],
    lots: Sequence[LivingLot],
    reader: Reader,
) -> AtRisk:
    culture, variety = key
    count: Counter[Stage] = Counter()
    for lot in here:
        count[lot.stage] += lot.alive
    if elsewhere:
        where = f"also in {joined([reader.room_name(room) or room for room in elsewhere])}"
    else:
        where = _as_something_else([lot for lot in others if lot.room != here[0].room], reader)
    return AtRisk(
        culture=culture,
        variety=reader.name(variety),
        units=joined([f"{units} {noun_of(stage, units)}" for stage, units in count.items()]),
        lots=tuple(dict.fromkeys(lot.code for lot in here)),
        is_only_here=not elsewhere,
        elsewhere=where,
        second="" if elsewhere else _second_place(here, lots, reader),
    )


def _as_something_else(lots: Sequence[LivingLot], reader: Reader) -> str:
    """Return as what a culture lives on besides: from that it can be brought back."""
    if not lots:
        return ""
    stages = joined(list(dict.fromkeys(noun_of(lot.stage, 2) for lot in lots)))
    rooms = joined(list(dict.fromkeys(reader.room_name(lot.room) or lot.room for lot in lots)))
    return f"lives on as {stages} in {rooms}: it could be brought back from there for a while"


def _second_place(here: Sequence[LivingLot], lots: Sequence[LivingLot], reader: Reader) -> str:
    """Return where one tube could stand so that not all is lost with this room."""
    step = _tube_step(here)
    room = _other_room(step, here[0].room, lots, reader)
    if room is None:
        return (
            "No other room here keeps it: give a tube to somebody you trust, or keep "
            f"{_in_water()}."
        )
    days = round(keeping_days(step, room.temperature_c))
    at = show(Quantity.TEMPERATURE, room.temperature_c, reader.book.farm.units)
    said = f"Put a {noun_of(step.stage, 1)} in {room.name} ({at}): there it keeps {days} days."
    if days < keeping_days(step, here[0].temperature_c) / 2:
        return f"{said} Or keep {_in_water()}."
    return said


def _in_water() -> str:
    row = water_blocks()
    low, high = (row.low or row.value) / _YEAR, (row.high or row.value) / _YEAR
    return (
        f"pieces in sterile water at {row.basis.removesuffix(' degC')} °C, "
        f"{low:.0f} to {high:.0f} years (common practice, no source)"
    )


def _tube_step(here: Sequence[LivingLot]) -> Step:
    """Return the step of the lot that keeps best: tubes before plates and liquid."""
    best = min(here, key=lambda lot: (lot.stage is not Stage.TUBE, lot.code))
    return best.now_step()


def _other_room(step: Step, room: str, lots: Sequence[LivingLot], reader: Reader) -> Room | None:
    """Return the room with a free place in which it keeps longest."""
    taken: Counter[str] = Counter()
    for lot in lots:
        taken[lot.room] += round(lot.alive * lot.now_step().places)
    fitting = [
        each
        for each in reader.book.rooms
        if each.code != room
        and each.kind not in NOT_FOR_TUBES
        and each.holds > taken[each.code]
        and not is_too_cold(step, each.temperature_c)
        and keeping_days(step, each.temperature_c) >= LEAST_DAYS
    ]
    return max(
        fitting,
        key=lambda each: (each.kind is RoomKind.COLD, keeping_days(step, each.temperature_c)),
        default=None,
    )
