"""Writing a round of the rooms down: one entry a room, all of them or none."""

from __future__ import annotations

import hashlib
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from django.db import transaction

from pinset.chain.living import LivingLot
from pinset.chain.register import FarmBook, Room, RoomKind
from pinset.errors import InputError
from pinset.farm import door, job_store, trade, whereabouts
from pinset.farm.entries import NewEntry
from pinset.farm.queries import story
from pinset.farm.queries.alive import living
from pinset.farm.queries.rounds import MEASURED
from pinset.farm.trade import Tap
from pinset.services.answers.claims import in_hand_of
from pinset.services.answers.same_answer import keep_answer, refuse_another
from pinset.services.answers.shown_doubts import written_although
from pinset.services.answers.when_said import asked_about_when, refuse_ahead
from pinset.services.clock import farm_day, now_utc
from pinset.services.jobs.records import JobKind
from pinset.services.jobs.state import StoredJob, done_count, stored_jobs
from pinset.services.looking.climate import OutOfRange, out_of_range
from pinset.services.looking.readings import Readings, checked, kept
from pinset.services.named import one_of
from pinset.services.plans import planning_day
from pinset.services.texts import LONGEST_NOTE, written
from pinset.services.views import Done
from pinset.services.words import joined


@dataclass(frozen=True, slots=True)
class RoomRead:
    """What was read off in one room."""

    room: str  # code
    readings: Readings


@dataclass(frozen=True, slots=True)
class Walk:
    """Who walked through rooms, by which tap."""

    person: str
    client_id: str
    at: datetime | None = None
    note: str = ""
    why: str = ""  # where something speaks against the moment


def walked(walk: Walk, rooms: Sequence[RoomRead]) -> Done:
    """Write what was read off down; rooms in which nothing was read off are left out.

    It answers the round that the day asks for, room by room.

    Raises
    ------
    InputError
        If nothing was read off anywhere, a room is unknown or named twice, or a reading cannot be.
    RefusedError
        If the tap said something else before.
    """
    now = now_utc()
    book, _ = planning_day.farm_book(now)
    refuse_ahead(walk.at, now, book)
    _rooms(rooms, book)
    read = [each for each in rooms if not each.readings.is_empty]
    if not read:
        raise InputError("readings", "", "something read off in one room at least")
    named = _rooms(read, book)
    for each in read:
        checked(each.readings, book.farm.units)
    tap = Tap(
        walk.client_id,
        walk.at or now,
        walk.person,
        note=written("note", walk.note, LONGEST_NOTE),
    )
    day = farm_day(tap.at, book.farm.time_zone)
    with transaction.atomic():
        whereabouts.wait_for_the_pen()
        if _are_known(tap.client_id, read):
            return Done(tap.client_id, already=True, sentence="Recorded already.", findings=())
        job = _round_of(day)
        used = _in_use(living(day), book)
        entries = _entries(tap, read, job, used)
        entries = [asked_about_when(entry, now, book, walk.why) for entry in entries]
        recorded = door.record(entries, now=now)
        if job is not None:
            _close_if_walked(job, sum(int(e.details.get("count", 0)) for e in entries), now)
    said = warnings(read, book, day)
    return Done(
        entry=entries[0].client_id,
        already=recorded[0].already,
        sentence=f"Written down: {joined([room.name for room in named])}.",
        findings=(
            *written_although(entries[0].details),
            *(f"{each.sentence} {each.caution}".strip() for each in said),
            *(in_hand_of(job.row, walk.person) if job is not None else ()),
        ),
    )


def warnings(rooms: Sequence[RoomRead], book: FarmBook, day: date) -> tuple[OutOfRange, ...]:
    """Return what is out of range in rooms, those that harm people first."""
    by_code = {room.code: room for room in book.rooms}
    here: dict[str, list[LivingLot]] = defaultdict(list)
    for lot in living(day):
        here[lot.room].append(lot)
    found = [
        said
        for each in rooms
        if each.room in by_code
        for said in out_of_range(by_code[each.room], each.readings, here[each.room], book)
    ]
    return tuple(sorted(found, key=lambda said: not said.caution))


def room_id(client_id: str, room: str) -> str:
    """Return the id of the entry of one room, always the same for the same tap."""
    return hashlib.sha256(f"round {client_id} {room}".encode()).hexdigest()[:32]


def _rooms(read: Sequence[RoomRead], book: FarmBook) -> tuple[Room, ...]:
    known = {room.code: room for room in book.rooms}
    codes = [each.room for each in read]
    for code in codes:
        one_of("room", code, known)
        if codes.count(code) > 1:
            raise InputError("room", code, "each room once")
    return tuple(known[code] for code in codes)


def _answer(each: RoomRead) -> dict[str, Any]:
    return {"how": "round", "room": each.room, **kept(each.readings)}


def _are_known(client_id: str, read: Sequence[RoomRead]) -> bool:
    """Say whether this tap was written down before, every room of it."""
    known = [story.entry(room_id(client_id, each.room)) for each in read]
    for each, entry in zip(read, known, strict=True):
        if entry is not None:
            refuse_another(entry.details, _answer(each))
    return all(entry is not None for entry in known)


def _round_of(day: date) -> StoredJob | None:
    """Return the round that a day asks for; None if there is none, or it was walked."""
    rows = [
        row for row in job_store.open_jobs() if row.kind == JobKind.ROUND.value and row.day == day
    ]
    return stored_jobs(rows[:1])[0] if rows else None


def _in_use(here: Sequence[LivingLot], book: FarmBook) -> frozenset[str]:
    used = {lot.room for lot in here}
    return frozenset(
        room.code for room in book.rooms if room.kind is RoomKind.GROWING and room.code in used
    )


def _entries(
    tap: Tap, read: Sequence[RoomRead], job: StoredJob | None, used: frozenset[str]
) -> list[NewEntry]:
    """Return one entry a room; those of rooms that the round asks for answer it, each once."""
    walked_before = {
        room for entry in (job.entries if job else ()) for room in entry.details.get("rooms", [])
    }
    entries: list[NewEntry] = []
    for each in read:
        own = replace(tap, client_id=room_id(tap.client_id, each.room))
        details: dict[str, Any] = {"room_kind": RoomKind.GROWING.value}
        if job is not None and each.room in used - walked_before:
            own = replace(own, job=job.row.code)
            details["count"] = 1
        entry = trade.rounds(own, [each.room], details=details)
        entry.details[MEASURED] = kept(each.readings)
        keep_answer(entry, _answer(each))
        entries.append(entry)
    return entries


def _close_if_walked(job: StoredJob, rooms: int, now: datetime) -> None:
    if done_count(job.entries) + rooms >= job.job.count:
        job_store.close(job.row.code, now)


def read_back(readings: Mapping[str, float]) -> Readings:
    """Return readings as an entry kept them."""
    return Readings(
        temperature_c=readings.get("temperature_c"),
        humidity_percent=readings.get("humidity_percent"),
        co2_ppm=readings.get("co2_ppm"),
        flies=None if "flies" not in readings else int(readings["flies"]),
        traps=int(readings.get("traps", 1)),
        trap_days=readings.get("trap_days"),
    )
