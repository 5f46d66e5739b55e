"""Jobs on the shelves: shaking and looking at their ages, arrivals, what is past its time."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from types import MappingProxyType
from typing import Any

from pinset.chain.living import LivingLot
from pinset.chain.register import RoomKind, StepKind
from pinset.chain.stages import Stage, noun_of
from pinset.planning.building.from_resources import prepared_until
from pinset.planning.building.prepared_keeps import prepared_days
from pinset.services.book_reader import Reader
from pinset.services.jobs.of_lots import (
    age_of,
    amounts_of,
    lot_job,
    lots_in_words,
    shelf_amounts,
    whole,
)
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.store.too_cold import with_warning
from pinset.services.words import first_upper, joined, plural, short_day

LOOK_MINUTES_PER_UNIT = 0.15
"""Minutes to look a unit over; common practice, no source."""

SMALL_MINUTES = 6
"""Shaking or looking that takes no longer than this goes together with other such work."""

VERBS = {JobKind.SHAKE: "to shake", JobKind.LOOK: "to look over"}

LONGEST_PAUSE = 7
"""Days off in a row over which work due by age is still caught up."""

DISCARD_MINUTES_PER_UNIT = 0.5
"""Minutes to judge and carry out one unit; common practice, no source."""

NOTHING: Mapping[str, int] = MappingProxyType({})


def _falls_today(age: int, days: Sequence[int], reader: Reader) -> bool:
    """Say whether work due at certain ages falls on today; from days off it moves to the next day.

    On a day off nothing falls.
    """
    if not reader.works_on(reader.today):
        return False
    back = 0
    while True:
        if age - back in days:
            return True
        back += 1
        if back > LONGEST_PAUSE or reader.works_on(reader.today - timedelta(days=back)):
            return False


def by_age(living: Sequence[LivingLot], reader: Reader, kind: JobKind) -> tuple[PlannedJob, ...]:
    """Return shaking or looking over that falls due today by age.

    One job a variety and step; what takes only a few minutes each is one job a room (looks: a room
    and stage), since it is done in one go.
    """
    groups: dict[tuple[str, ...], list[LivingLot]] = defaultdict(list)
    for lot in living:
        if lot.stage is Stage.PREPARED or lot.order:
            continue
        step = lot.now_step()
        days = step.shake_days if kind is JobKind.SHAKE else step.look_days
        if _falls_today(age_of(lot, reader.today), days, reader):
            groups[lot.variety, lot.step].append(lot)
    jobs: list[PlannedJob] = []
    rooms: dict[tuple[str, str], list[LivingLot]] = defaultdict(list)
    for lots in groups.values():
        if _minutes(lots, kind) > SMALL_MINUTES:
            jobs.append(_of_one_step(lots, reader, kind))
            continue
        for lot in lots:
            rooms[lot.room, "" if kind is JobKind.SHAKE else lot.stage.value].append(lot)
    for (room, _), lots in rooms.items():
        if len({(lot.variety, lot.step) for lot in lots}) == 1:
            jobs.append(_of_one_step(lots, reader, kind))
        else:
            jobs.append(_of_one_room(lots, room, reader, kind))
    return tuple(jobs)


def _minutes(lots: Sequence[LivingLot], kind: JobKind) -> float:
    if kind is JobKind.SHAKE:
        return sum(lot.now_step().hands_minutes * lot.alive for lot in lots)
    return LOOK_MINUTES_PER_UNIT * sum(lot.alive for lot in lots)


def _of_one_step(lots: Sequence[LivingLot], reader: Reader, kind: JobKind) -> PlannedJob:
    variety, code, step = lots[0].variety, lots[0].step, lots[0].now_step()
    count = sum(lot.alive for lot in lots)
    noun = noun_of(step.stage, count, is_bought=step.kind is StepKind.BUY)
    ages = sorted({age_of(lot, reader.today) for lot in lots})
    return _job_by_age(
        lots,
        reader,
        kind,
        key=f"{kind.value}:{variety}:{code}:{reader.today}",
        what=f"{noun} {VERBS[kind]}, {lots_in_words(lots)}",
        detail=f"{reader.name(variety)}, day {joined([str(age) for age in ages])}",
        stage=step.stage.value,
        step=code,
        variety=variety,
        variety_name=reader.name(variety),
        place=joined(sorted({lot.place for lot in lots if lot.place})),
        why="The route of this variety says so at this age.",
    )


def _of_one_room(lots: Sequence[LivingLot], room: str, reader: Reader, kind: JobKind) -> PlannedJob:
    """Return one job for little work on lots of several varieties or steps; it names every lot."""
    name = reader.room_name(room)
    by_noun: dict[str, list[str]] = defaultdict(list)
    for lot in lots:
        is_bought = lot.now_step().kind is StepKind.BUY
        codes = by_noun[noun_of(lot.stage, 2, is_bought=is_bought)]
        codes += [] if lot.code in codes else [lot.code]
    stages = {lot.stage.value for lot in lots}
    noun = next(iter(by_noun)) if len(by_noun) == 1 else "units"
    said = [
        f"{noun} {joined(codes)}" if len(by_noun) > 1 else joined(codes)
        for noun, codes in by_noun.items()
    ]
    return _job_by_age(
        lots,
        reader,
        kind,
        key=f"{kind.value}:{room}:{'+'.join(sorted(stages))}:{reader.today}",
        what=f"{noun} {VERBS[kind]}{' in ' + name if name else ''}",
        detail=first_upper("; ".join(said)),
        stage=stages.pop() if len(stages) == 1 else "",
        place=name,
        room=room,
        why="The routes of these varieties say so at this age.",
    )


def _job_by_age(
    lots: Sequence[LivingLot], reader: Reader, kind: JobKind, **rest: Any
) -> PlannedJob:
    return PlannedJob(
        kind=kind,
        task=kind.value,
        day=reader.today,
        count=sum(lot.alive for lot in lots),
        unit="units",
        room_kind=RoomKind.INCUBATION.value,
        lots=amounts_of(lots),
        minutes=max(3, round(_minutes(lots, kind))),
        cautions=("mouldy-units",) if kind is JobKind.LOOK else (),
        **rest,
    )


def arrivals(living: Sequence[LivingLot], reader: Reader) -> tuple[PlannedJob, ...]:
    """Return spawn that was ordered and should arrive today or should have."""
    jobs = []
    for lot in living:
        if not lot.order or lot.made_on > reader.today:
            continue
        supplier = lot.now_step().supplier or "the supplier"
        noun = noun_of(lot.stage, lot.alive, is_bought=True)
        jobs.append(
            lot_job(
                lot,
                reader,
                JobKind.RECEIVE,
                key=f"receive:{lot.order}",
                what=f"{noun} from {supplier}: count them in",
                room_kind=RoomKind.PACKING.value,
                detail=with_warning(reader.name(lot.variety), lot.now_step(), reader),
                place="",
                lots=(),
                minutes=10,
                why="It was ordered for today; look at it before it is put where it keeps.",
                order=lot.order,
            )
        )
    return tuple(jobs)


def past_their_time(
    living: Sequence[LivingLot],
    reader: Reader,
    keeps_until: Callable[[LivingLot], date | None],
    counted_on: Mapping[str, int] = NOTHING,
) -> tuple[PlannedJob, ...]:
    """Return lots that keep no longer by their route, and vessels that stood prepared too long.

    Units by lot that the plan still moves or uses are ``counted_on``: only the rest is asked about.
    """
    over: dict[str, list[tuple[date, LivingLot]]] = defaultdict(list)
    usable: dict[tuple[str, str], int] = defaultdict(int)  # what the plan counts on, first
    for lot in living:
        until = _last_day(lot, reader, keeps_until)
        if until is None or reader.today <= until:
            usable[lot.code, lot.step] += lot.alive
        else:
            over[lot.code].append((until, lot))
    jobs = []
    for code, past in over.items():
        first = past[0][1]
        used = max(0, counted_on.get(code, 0) - usable[code, first.step])
        parts = _but_the_last(past, used)
        if not parts:
            continue
        last = min(until for until, _ in past)
        is_prepared = first.stage is Stage.PREPARED
        jobs.append((_prepared_too_long if is_prepared else _past_its_time)(parts, last, reader))
    return tuple(jobs)


def _but_the_last(past: Sequence[tuple[date, LivingLot]], used: int) -> list[LivingLot]:
    """Return units that are past their time but for some that are used: those that kept longest."""
    left: list[LivingLot] = []
    for _, lot in sorted(past, key=lambda each: each[0], reverse=True):
        kept = min(lot.alive, used)
        used -= kept
        if lot.alive > kept:
            left.append(replace(lot, alive=lot.alive - kept))
    return left[::-1]


def _last_day(
    lot: LivingLot, reader: Reader, keeps_until: Callable[[LivingLot], date | None]
) -> date | None:
    """Return the last day on which a lot may be used; None where nothing ends it."""
    step = lot.now_step()
    if lot.stage is Stage.PREPARED:
        return prepared_until(reader.book, lot, step.cook)
    if lot.stage is Stage.TUBE or lot.order or step.kind is StepKind.FRUIT:
        return None
    return keeps_until(lot)


def _past_its_time(parts: Sequence[LivingLot], last: date, reader: Reader) -> PlannedJob:
    lot = whole(parts)
    step = lot.now_step()
    noun = noun_of(step.stage, lot.alive, is_bought=step.kind is StepKind.BUY)
    return lot_job(
        lot,
        reader,
        JobKind.DISCARD,
        lots=shelf_amounts(parts),
        what=f"{noun} {lot.code}: past their time, judge and throw out",
        room_kind=RoomKind.INCUBATION.value,
        detail=f"{reader.name(lot.variety)}, usable until {short_day(last)}",
        minutes=max(3, round(DISCARD_MINUTES_PER_UNIT * lot.alive)),
        why="The route says they keep no longer, and the plan does not count on them. Who judges "
        "them still good says not at all, with the reason: they are asked about again after "
        "a week, and may be used until then, with a reason.",
        cautions=("mouldy-units",),
    )


def _prepared_too_long(parts: Sequence[LivingLot], last: date, reader: Reader) -> PlannedJob:
    """Return the work of judging vessels that nobody inoculated in time."""
    lot = whole(parts)
    step = lot.now_step()
    room = reader.room_of(lot.place)
    vessels = noun_of(Stage.PREPARED, lot.alive)
    keeps = plural(prepared_days(reader.book, step.cook), "day")
    return lot_job(
        lot,
        reader,
        JobKind.DISCARD,
        lots=shelf_amounts(parts),
        what=f"{vessels} {lot.code}: past their time, judge and throw out",
        room_kind=(room.kind if room else RoomKind.STERILISER).value,
        detail=f"{step.cook} cook of {short_day(lot.made_on)}, for {noun_of(step.stage, 2)}, "
        f"usable until {short_day(last)}",
        minutes=max(3, round(DISCARD_MINUTES_PER_UNIT * lot.alive)),
        why=f"Vessels of a {step.cook} cook keep {keeps} before they are inoculated; the plan no "
        "longer uses them, and what stands longer may have been reached by mould.",
        cautions=("mouldy-units",),
    )
