"""What must hold of the farm itself: place, rooms, sterilisers, benches, people, vessels."""

from __future__ import annotations

import re
from collections.abc import Iterator
from zoneinfo import ZoneInfo

from pinset.chain.day_hours import ACCEPTED, DayHours, read_spans
from pinset.chain.lime import is_lime, read_lime
from pinset.chain.register import (
    Bench,
    Farm,
    FarmBook,
    Instrument,
    InstrumentKind,
    Room,
    RoomKind,
    Steriliser,
    Vessel,
    Weekday,
    Worker,
)
from pinset.chain.rules_basis import (
    Bound,
    bad_clock,
    bad_code,
    outside,
    repeated,
    unknown,
    warning,
    wrong,
)
from pinset.errors import Finding, InputError
from pinset.science.judging.cook_rules import read_rule

_CURRENCY = re.compile(r"[A-Z]{3}")
_FARM = (
    Bound("altitude_m", -430.0, 5500.0, "m"),
    Bound("latitude", -90.0, 90.0, "degrees"),
    Bound("longitude", -180.0, 180.0, "degrees"),
    Bound("morning_round_minutes", 0, 240, "minutes a room"),
)
TEMPERATURE = Bound("temperature_c", -10.0, 60.0, "°C")
_STERILISER = (
    Bound("hours_per_day", 0.0, 24.0, "h"),
    Bound("cooks_per_day", 0, 24, "cooks"),
    Bound("rating_bar_gauge", 0.0, 10.0, "bar on the gauge"),
)
_COOK = (
    Bound("hours", 0.1, 24.0, "h"),
    Bound("hands_minutes", 0, 1440, "min"),
    Bound("hold_minutes", 0, 1440, "min"),
    Bound("litres", 0.1, 100_000.0, "L"),
)
_DAYS_OF_WEEK = 7
MOST_PROBE_K, MOST_GAUGE_KPA = 10.0, 50.0  # off by more it is no instrument


def check_farm(farm: Farm) -> Iterator[Finding]:
    """Yield what is not right with the farm's own record."""
    record = "farm"
    yield from outside(record, farm, _FARM, "farm.number")
    if not farm.name.strip():
        yield wrong("farm.name", record, "name", farm.name, "a name")
    if not _is_time_zone(farm.time_zone):
        accepted = "an IANA name such as Europe/Zurich or America/Denver"
        yield wrong("farm.time-zone", record, "time_zone", farm.time_zone, accepted)
    if not _CURRENCY.fullmatch(farm.currency):
        accepted = "three capital letters of ISO 4217, such as EUR"
        yield wrong("farm.currency", record, "currency", farm.currency, accepted)
    if farm.units not in {"metric", "us"}:
        yield wrong("farm.units", record, "units", farm.units, "metric or us")
    if not farm.working_days:
        yield wrong("farm.working-days", record, "working_days", (), "at least one day of the week")
    yield from bad_clock(record, "day_starts", farm.day_starts)
    yield from bad_clock(record, "van_at", farm.van_at)


def _is_time_zone(name: str) -> bool:
    try:
        ZoneInfo(name)
    except (ValueError, OSError, LookupError):
        return False
    return bool(name)


def check_places(book: FarmBook) -> Iterator[Finding]:
    """Yield what is not right with rooms, sterilisers, benches and vessels."""
    for kind, codes in (
        ("rooms", [room.code for room in book.rooms]),
        ("shelves", [shelf.code for room in book.rooms for shelf in room.shelves]),
        ("sterilisers", [steriliser.code for steriliser in book.sterilisers]),
        ("benches", [bench.code for bench in book.benches]),
        ("instruments", [each.code for each in book.instruments]),
        ("vessels", [vessel.code for vessel in book.vessels]),
    ):
        yield from repeated(kind, codes)
    for room in book.rooms:
        yield from _check_room(room)
    rooms = {room.code: room for room in book.rooms}
    for steriliser in book.sterilisers:
        yield from _check_steriliser(steriliser, rooms)
    for bench in book.benches:
        yield from _check_bench(bench, rooms)
    for each in book.instruments:
        yield from _check_instrument(each)
    for vessel in book.vessels:
        yield from _check_vessel(vessel)


def _check_room(room: Room) -> Iterator[Finding]:
    record = f"rooms {room.code}"
    yield from bad_code(record, room.code)
    yield from outside(record, room, (TEMPERATURE,), "room.number")
    for shelf in room.shelves:
        at = f"shelves {shelf.code}"
        yield from bad_code(at, shelf.code)
        yield from outside(at, shelf, (Bound("holds", 0, 100_000, "places"),), "room.number")


def _check_steriliser(steriliser: Steriliser, rooms: dict[str, Room]) -> Iterator[Finding]:
    record = f"sterilisers {steriliser.code}"
    yield from bad_code(record, steriliser.code)
    yield from unknown(record, "room", steriliser.room, rooms, "rooms")
    yield from outside(record, steriliser, _STERILISER, "steriliser.number")
    yield from bad_clock(record, "load_at", steriliser.load_at)
    if steriliser.opened_until:
        yield from bad_clock(record, "opened_until", steriliser.opened_until)
    yield from repeated(f"{record} cooks", (cook.code for cook in steriliser.cooks))
    for cook in steriliser.cooks:
        at = f"{record} cook {cook.code}"
        yield from bad_code(at, cook.code)
        yield from outside(at, cook, _COOK, "steriliser.number")
        yield from _check_rule(at, cook.rule)
        if cook.hours > steriliser.hours_per_day:
            yield warning(
                "steriliser.day-too-short",
                at,
                f"one cook takes {cook.hours:g} h and the day has {steriliser.hours_per_day:g} h.",
                "It will never be planned.",
            )


def _check_rule(record: str, rule: str) -> Iterator[Finding]:
    if not rule:
        return
    try:
        if is_lime(rule):
            read_lime(rule)
        else:
            read_rule(rule)
    except InputError as problem:
        yield wrong("cook.rule", record, "rule", problem.given, problem.accepted)


def _check_bench(bench: Bench, rooms: dict[str, Room]) -> Iterator[Finding]:
    record = f"benches {bench.code}"
    yield from bad_code(record, bench.code)
    yield from unknown(record, "room", bench.room, rooms, "rooms")
    yield from outside(record, bench, (Bound("minutes_per_day", 0, 1440, "min"),), "bench.number")
    room = rooms.get(bench.room)
    if room is not None and room.kind is not RoomKind.LABORATORY:
        yield warning(
            "bench.room", record, f"a clean bench in a {room.kind.value} room.", "Is that meant?"
        )


def _check_instrument(instrument: Instrument) -> Iterator[Finding]:
    record = f"instruments {instrument.code}"
    yield from bad_code(record, instrument.code)
    most = MOST_PROBE_K if instrument.kind is InstrumentKind.PROBE else MOST_GAUGE_KPA
    unit = "K" if instrument.kind is InstrumentKind.PROBE else "kPa"
    if instrument.error is not None:
        yield from outside(record, instrument, (Bound("error", 0, most, unit),), "instrument.error")
    if instrument.calibrated_on is not None and instrument.error is None:
        yield warning(
            "instrument.error",
            record,
            "compared with a reference, and its error is not written down.",
            "Write down by how much it was off, at the most.",
        )


def _check_vessel(vessel: Vessel) -> Iterator[Finding]:
    record = f"vessels {vessel.code}"
    yield from bad_code(record, vessel.code)
    bounds = (
        Bound("litres", 0.0, 10_000.0, "L"),
        Bound("in_circulation", 0, 10_000_000, "vessels"),
    )
    yield from outside(record, vessel, bounds, "vessel.number")


def _bad_hours(record: str, field: str, hours: DayHours) -> Iterator[Finding]:
    if isinstance(hours, str):
        try:
            read_spans(hours, field)
        except InputError as error:
            yield wrong("worker.hours", record, field, hours, error.accepted, error.hint)
    elif not 0.0 <= hours <= 24.0:  # noqa: PLR2004 - hours of a day
        yield wrong("worker.hours", record, field, hours, ACCEPTED)


def check_workers(workers: tuple[Worker, ...]) -> Iterator[Finding]:
    """Yield what is not right with the people and their hours."""
    yield from repeated("workers", (worker.code for worker in workers))
    for worker in workers:
        record = f"workers {worker.code}"
        yield from bad_code(record, worker.code)
        if worker.role not in {"owner", "worker"}:
            yield wrong("worker.role", record, "role", worker.role, "owner or worker")
        if len(worker.hours) != _DAYS_OF_WEEK:
            given = len(worker.hours)
            yield wrong("worker.hours", record, "hours", given, "seven days, Monday first")
        for day, hours in zip(Weekday, worker.hours, strict=False):
            yield from _bad_hours(record, f"hours.{day.value}", hours)
    if workers and all(worker.role != "owner" for worker in workers):
        yield warning("worker.no-owner", "workers", "nobody is the owner.", "Give one the role.")
