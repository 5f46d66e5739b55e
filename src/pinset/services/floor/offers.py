"""What may happen to one lot now, told by its step, its age, its jobs and what holds it back.

Each offer has a rank: the lowest is what a grower usually does with such a lot. What a job of today
asks for comes first; then what the age of the lot suggests; what is seldom done comes last.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from pinset.chain.bearing import bears, flush_of
from pinset.chain.in_use import is_room_open
from pinset.chain.living import LivingLot
from pinset.chain.readiness import LotState, state
from pinset.chain.register import Room, Step, StepKind
from pinset.chain.seen_contaminated import HELD, sound_of
from pinset.services.book_reader import Reader
from pinset.services.floor.job_offers import AskedOf, naming
from pinset.services.floor.records import Deed
from pinset.services.jobs.records import JobKind

ASKED = {
    Deed.SHAKE: JobKind.SHAKE,
    Deed.PICK: JobKind.PICK,
    Deed.MOVE: JobKind.MOVE,
    Deed.CLEAR: JobKind.CLEAR,
    Deed.DISCARD: JobKind.DISCARD,
    Deed.LOOK: JobKind.LOOK,
}
"""What a job of a kind asks for, in the order in which it is offered first."""

SHAKEN_LATE_DAYS = 2
"""Shaking is offered up to so many days after its last age by the route."""

BAD_RANK = -1
"""Taking out what was seen contaminated comes before all that is asked."""

RANKS = {
    Deed.SHAKE: 20,
    Deed.PICK: 21,
    Deed.MOVE: 22,
    Deed.LOOK: 30,
    Deed.CLEAR: 40,
    Deed.LOSE: 50,
    Deed.CARRY: 60,
    Deed.HOLD: 70,
    Deed.RELEASE: 71,
}
"""The rank of what no job asks for; what is due by age is ten lower."""


@dataclass(frozen=True, slots=True)
class Target:
    """Where a lot goes next: a room, and the step it begins there."""

    room: Room
    step: str


@dataclass(frozen=True, slots=True)
class Offer:
    """One thing that may happen to one lot."""

    deed: Deed
    rank: int
    count: int  # units
    detail: str = ""
    asked: AskedOf | None = None
    target: Target | None = None


def offers_of(
    parts: Sequence[LivingLot],
    alive: int,
    asked: Sequence[AskedOf],
    code: str,
    reader: Reader,
    used: Mapping[str, int],
) -> dict[Deed, Offer]:
    """Return what may happen to a lot, by deed; transfers are not among it.

    Parameters
    ----------
    parts : sequence of LivingLot
        Its living units, place by place; none of prepared vessels.
    alive : int
        Its units alive.
    asked : sequence of AskedOf
        The jobs open today.
    code : str
        Its code.
    reader : Reader
        The farm on its present day.
    used : mapping of str to int
        Units that stand on each shelf.
    """
    sound = sound_of(parts)
    found = _by_age(sound, reader, used)
    for number, (deed, kind) in enumerate(ASKED.items()):
        job = naming(asked, code, kind)
        if job is not None:
            rank = number if _is_wanted(deed, parts, reader.today) else RANKS[Deed.LOOK] + 1
            target = _of_job(job, reader) if deed is Deed.MOVE else None
            if deed is not Deed.MOVE or target is not None:
                detail = f"asked for today: {job.code}"
                count = min(alive, job.lots[code])
                found[deed] = Offer(deed, rank, count, detail, job, target)
    bad = sum(part.alive for part in parts if part.contaminated)
    if bad:
        found[Deed.LOSE] = Offer(Deed.LOSE, BAD_RANK, bad)
    for deed in (Deed.LOOK, Deed.LOSE, Deed.CARRY):
        found.setdefault(deed, Offer(deed, RANKS[deed], 1 if deed is Deed.LOSE else alive))
    if parts:
        is_held = any(part.held and part.held != HELD for part in parts)
        deed = Deed.RELEASE if is_held else Deed.HOLD
        found[deed] = Offer(deed, RANKS[deed], alive)
    return found


def _is_wanted(deed: Deed, parts: Sequence[LivingLot], today: date) -> bool:
    """Say whether what a job asks is still the usual thing to do with units as they stand."""
    if deed in {Deed.LOOK, Deed.DISCARD, Deed.CLEAR}:
        return True
    sound = sound_of(parts)
    return bool(sound or not parts) and not any(
        part.held or state(part, today).state in {LotState.PAST, LotState.DEAD_COLD}
        for part in sound
    )


def _by_age(
    parts: Sequence[LivingLot], reader: Reader, used: Mapping[str, int]
) -> dict[Deed, Offer]:
    """Return what the age of a lot suggests: shaken, picked, cleared out, moved on."""
    found: dict[Deed, Offer] = {}
    if any(part.held for part in parts):
        return found
    today = reader.today
    shaking = [part for part in parts if _may_be_shaken(part.now_step(), part, today)]
    if shaking:
        is_due = any(_age(part, today) in part.now_step().shake_days for part in shaking)
        rank = RANKS[Deed.SHAKE] - (10 if is_due else -15)
        found[Deed.SHAKE] = Offer(Deed.SHAKE, rank, _units(shaking), _day(shaking[0], today))
    bearing = [part for part in parts if bears(part, today)]
    if bearing:
        detail = f"{_day(bearing[0], today)} in the room"
        found[Deed.PICK] = Offer(Deed.PICK, RANKS[Deed.PICK], _units(bearing), detail)
    over = [part for part in bearing if flush_of(part) >= len(part.now_step().flushes)]
    if over:
        found[Deed.CLEAR] = Offer(Deed.CLEAR, RANKS[Deed.CLEAR], _units(over), "its last flush")
    going = [(part, target) for part in parts if (target := next_place(part, reader, used))]
    if going:
        target = going[0][1]
        moving = [part for part, to in going if to == target]
        now = state(moving[0], today)
        rank = RANKS[Deed.LOOK] + 1 if now.state is LotState.PAST else RANKS[Deed.MOVE] - 10
        found[Deed.MOVE] = Offer(Deed.MOVE, rank, _units(moving), now.words, target=target)
    return found


def _may_be_shaken(step: Step, part: LivingLot, today: date) -> bool:
    return bool(step.shake_days) and _age(part, today) <= max(step.shake_days) + SHAKEN_LATE_DAYS


def _age(part: LivingLot, today: date) -> int:
    return (today - part.step_since).days


def _day(part: LivingLot, today: date) -> str:
    return f"day {_age(part, today)}"


def _units(parts: Sequence[LivingLot]) -> int:
    return sum(part.alive for part in parts)


def next_place(part: LivingLot, reader: Reader, used: Mapping[str, int]) -> Target | None:
    """Return where ripe units go next: of the open rooms that suit their next step the emptiest.

    What is past its time goes on too, where a person judges it good; the entry asks for a reason.
    None where they are not ripe, their next step is no move, or no room suits it.

    Parameters
    ----------
    part : LivingLot
        Units standing at one place.
    reader : Reader
        The farm on its present day.
    used : mapping of str to int
        Units that stand on each shelf.
    """
    if state(part, reader.today).state not in {LotState.READY, LotState.PAST}:
        return None
    codes = [step.code for step in part.route.steps]
    number = codes.index(part.step) + 1
    if number >= len(codes):
        return None
    step = part.route.steps[number]
    if step.kind not in {StepKind.STAND, StepKind.FRUIT}:
        return None
    rooms = [room for room in reader.book.rooms if _suits(room, step, reader)]
    if not rooms:
        return None
    return Target(max(rooms, key=lambda room: _free(room, step, used)), step.code)


def _suits(room: Room, step: Step, reader: Reader) -> bool:
    has_climate = not step.climate or step.climate in room.climates
    is_fit = room.kind is step.room and has_climate and bool(room.shelves)
    return is_fit and is_room_open(reader.book, room, reader.today)


def _free(room: Room, step: Step, used: Mapping[str, int]) -> float:
    return sum(shelf.holds - used.get(shelf.code, 0) * step.places for shelf in room.shelves)


def _of_job(asked: AskedOf, reader: Reader) -> Target | None:
    job = asked.job
    room = next((room for room in reader.book.rooms if room.code == job.to_room), None)
    return None if room is None else Target(room, job.to_step)
