"""Jobs that follow from what is alive and what is promised today, whatever the plan says.

Shaking and looking at their ages, the morning round, picking, packing, handing over, clearing out
what is spent and throwing out what is past its time.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from pinset.chain.due import due_days
from pinset.chain.living import LivingLot
from pinset.chain.register import Promise, RoomKind, StepKind
from pinset.chain.stages import Stage, noun_of
from pinset.planning.plan import ExpectedPick
from pinset.services.book_reader import Reader
from pinset.services.job_records import JobKind, LotAmount, PlannedJob
from pinset.services.words import GRAMS, amount, joined, kilograms, plural

LOOK_MINUTES_PER_UNIT = 0.15
"""Minutes to look a unit over; common practice, no source."""

LONGEST_PAUSE = 7
"""Days off in a row over which work due by age is still caught up."""

CLEAR_MINUTES_PER_UNIT = 0.5
"""Minutes to carry one spent unit out; common practice, no source."""

PACK_MINUTES_PER_KG = 2.0
"""Minutes to weigh and pack a kilogram; common practice, no source."""


@dataclass(frozen=True, slots=True)
class DueDelivery:
    """A promise that is due on a day and what was already handed over for it."""

    promise: Promise
    day: date
    delivered: int


def jobs_from_state(
    reader: Reader,
    living: Sequence[LivingLot],
    picks: Sequence[ExpectedPick],
    due: Sequence[DueDelivery],
    keeps_until: Callable[[LivingLot], date | None],
) -> tuple[PlannedJob, ...]:
    """Return the jobs of ``reader.today`` that need no plan.

    Parameters
    ----------
    living : sequence of LivingLot
        Everything alive now.
    picks : sequence of ExpectedPick
        What the plan expects from today on; empty without a plan.
    due : sequence of DueDelivery
        Promises that fall due today.
    keeps_until : callable
        The last usable day of a lot, or None where there is none.
    """
    offered = [lot for lot in living if lot.alive > 0]
    return (
        *_by_age(offered, reader, JobKind.SHAKE),
        *_by_age(offered, reader, JobKind.LOOK),
        *_round(offered, reader),
        *_picks(picks, offered, reader),
        *_packing(due, reader),
        *_deliveries(due, reader),
        *_clearing(offered, reader, {s.lot for pick in picks for s in pick.lots}),
        *_arrivals(offered, reader),
        *_discarding(offered, reader, keeps_until),
    )


def due_today(
    promises: Iterable[Promise], today: date, delivered: dict[tuple[str, date], int]
) -> tuple[DueDelivery, ...]:
    """Return the promises due today with what was handed over so far."""
    return tuple(
        DueDelivery(promise, today, delivered.get((promise.code, today), 0))
        for promise in promises
        if due_days(promise, today, today)
    )


def _age(lot: LivingLot, today: date) -> int:
    return (today - lot.step_since).days


def _lots_in_words(lots: Sequence[LivingLot], most: int = 4) -> str:
    codes = [lot.code for lot in lots[:most]]
    more = len(lots) - most
    return joined(codes) if more <= 0 else f"{', '.join(codes)} and {more} more"


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


def _by_age(living: Sequence[LivingLot], reader: Reader, kind: JobKind) -> tuple[PlannedJob, ...]:
    groups: dict[tuple[str, str], list[LivingLot]] = defaultdict(list)
    for lot in living:
        if lot.stage is Stage.PREPARED or lot.order:
            continue
        step = lot.now_step()
        days = step.shake_days if kind is JobKind.SHAKE else step.look_days
        if _falls_today(_age(lot, reader.today), days, reader):
            groups[lot.variety, lot.step].append(lot)
    jobs = []
    for (variety, code), lots in groups.items():
        step = lots[0].now_step()
        count = sum(lot.alive for lot in lots)
        noun = noun_of(step.stage, count, is_bought=step.kind is StepKind.BUY)
        each = step.hands_minutes if kind is JobKind.SHAKE else LOOK_MINUTES_PER_UNIT
        verb = "to shake" if kind is JobKind.SHAKE else "to look over"
        places = sorted({lot.place for lot in lots if lot.place})
        ages = sorted({_age(lot, reader.today) for lot in lots})
        jobs.append(
            PlannedJob(
                key=f"{kind.value}:{variety}:{code}:{reader.today}",
                kind=kind,
                task=kind.value,
                day=reader.today,
                count=count,
                unit="units",
                what=f"{noun} {verb}, {_lots_in_words(lots)}",
                room_kind=RoomKind.INCUBATION.value,
                detail=f"{reader.name(variety)}, day {joined([str(age) for age in ages])}",
                stage=step.stage.value,
                step=code,
                variety=variety,
                variety_name=reader.name(variety),
                place=joined(places),
                lots=tuple(LotAmount(lot.code, lot.alive, code) for lot in lots),
                minutes=max(3, round(each * count)),
                why="The route of this variety says so at this age.",
                cautions=("mouldy-units",) if kind is JobKind.LOOK else (),
            )
        )
    return tuple(jobs)


def _round(living: Sequence[LivingLot], reader: Reader) -> tuple[PlannedJob, ...]:
    used = {lot.room for lot in living}
    rooms = [r for r in reader.book.rooms if r.kind is RoomKind.GROWING and r.code in used]
    if not rooms:
        return ()
    return (
        PlannedJob(
            key=f"round:{reader.today}",
            kind=JobKind.ROUND,
            task="round",
            day=reader.today,
            count=len(rooms),
            unit="rooms",
            what=f"{plural(len(rooms), 'room').split(' ', 1)[1]}, morning round: "
            "temperature, humidity, CO₂, traps",
            room_kind=RoomKind.GROWING.value,
            detail=joined([room.name for room in rooms]),
            minutes=reader.book.farm.morning_round_minutes * len(rooms),
            why="What is wrong in a grow room is cheapest found in the morning.",
            cautions=("co2", "spores"),
        ),
    )


def _picks(
    picks: Sequence[ExpectedPick], living: Sequence[LivingLot], reader: Reader
) -> tuple[PlannedJob, ...]:
    standing = {lot.code: lot for lot in living}
    grams: dict[str, float] = defaultdict(float)
    lots: dict[str, dict[str, int]] = defaultdict(dict)
    flushes: dict[str, set[int]] = defaultdict(set)
    for pick in picks:
        here = [share.lot for share in pick.lots if share.lot in standing]
        if pick.day != reader.today or not here:
            continue
        grams[pick.variety] += pick.grams
        flushes[pick.variety].add(pick.flush)
        for code in here:
            lots[pick.variety][code] = standing[code].alive
    jobs = []
    for variety, total in grams.items():
        kilos = round(total / GRAMS)
        if total < GRAMS / 2:
            continue
        chosen = [standing[code] for code in lots[variety]]
        rooms = {room.code: room.name for room in reader.book.rooms}
        where = joined(sorted({rooms.get(lot.room, lot.room) for lot in chosen}))
        step = chosen[0].now_step()
        jobs.append(
            PlannedJob(
                key=f"pick:{variety}:{reader.today}",
                kind=JobKind.PICK,
                task="pick",
                day=reader.today,
                count=max(1, kilos),
                unit="kg",
                what=f"kg or so to pick in {where}, {_lots_in_words(chosen)}",
                room_kind=RoomKind.GROWING.value,
                detail=f"{reader.name(variety)}, flush "
                f"{joined([str(flush) for flush in sorted(flushes[variety])])}",
                stage=step.stage.value,
                step=step.code,
                variety=variety,
                variety_name=reader.name(variety),
                place=where,
                lots=tuple(LotAmount(lot.code, lot.alive, lot.step) for lot in chosen),
                minutes=max(5, round(step.pick_minutes_per_kg * total / GRAMS)),
                why="These lots stand in their flush; caps that flatten shed spores and keep "
                "badly.",
                cautions=("spores", "wrong-species"),
            )
        )
    return tuple(jobs)


def _open_amount(each: DueDelivery) -> int:
    return max(0, each.promise.amount - each.delivered)


def _packing(due: Sequence[DueDelivery], reader: Reader) -> tuple[PlannedJob, ...]:
    grams = sum(_open_amount(each) for each in due if each.promise.measure == "gram")
    if not grams:
        return ()
    by_variety: dict[str, int] = defaultdict(int)
    for each in due:
        if each.promise.measure == "gram":
            by_variety[each.promise.variety] += _open_amount(each)
    said = [f"{kilograms(g)} {reader.name(v)}" for v, g in by_variety.items() if g]
    return (
        PlannedJob(
            key=f"pack:{reader.today}",
            kind=JobKind.PACK,
            task="pack",
            day=reader.today,
            count=max(1, round(grams / GRAMS)),
            unit="kg",
            what=f"kg to pack: {joined(said)}",
            room_kind=RoomKind.PACKING.value,
            detail=f"Packed before the van at {reader.book.farm.van_at}",
            minutes=max(5, round(PACK_MINUTES_PER_KG * grams / GRAMS)),
            due=f"before {reader.book.farm.van_at}",
            why="Promised for today.",
            grams=grams,
            cautions=("food", "lifting"),
        ),
    )


def _deliveries(due: Sequence[DueDelivery], reader: Reader) -> tuple[PlannedJob, ...]:
    buyers = {buyer.code: buyer for buyer in reader.book.buyers}
    jobs = []
    for each in due:
        promise = each.promise
        left = _open_amount(each)
        if not left:
            continue
        buyer = buyers.get(promise.buyer)
        at = (buyer.deliver_at if buyer else "") or reader.book.farm.van_at
        name = reader.name(promise.variety)
        is_weight = promise.measure == "gram"
        noun = "kg" if is_weight else f"units of {promise.step}"
        jobs.append(
            PlannedJob(
                key=f"deliver:{promise.code}:{reader.today}",
                kind=JobKind.DELIVER,
                task="deliver",
                day=reader.today,
                count=max(1, round(left / GRAMS)) if is_weight else left,
                unit="kg" if is_weight else "units",
                what=f"{noun} {name} for {buyer.name if buyer else promise.buyer}",
                room_kind=RoomKind.PACKING.value,
                detail=f"Promised {amount(promise.amount, promise.measure)}",
                step=promise.step,
                variety=promise.variety,
                variety_name=name,
                minutes=5,
                fixed_at=at,
                due=at,
                why="Promised for today.",
                serves=reader.promise_words([promise.code]),
                promise=promise.code,
                grams=left if is_weight else 0,
            )
        )
    return tuple(jobs)


def _life_in_room(lot: LivingLot) -> float:
    step = lot.now_step()
    return step.days.high + sum(f.gap_days.high + f.pick_days for f in step.flushes)


def _clearing(
    living: Sequence[LivingLot], reader: Reader, still_bearing: set[str]
) -> tuple[PlannedJob, ...]:
    jobs = []
    for lot in living:
        if lot.stage is Stage.PREPARED or lot.now_step().kind is not StepKind.FRUIT:
            continue
        if lot.code in still_bearing:
            continue
        step = lot.now_step()
        rested = lot.last_picked_on is None or (reader.today - lot.last_picked_on).days >= 1
        over = lot.flush >= len(step.flushes) and rested
        if not over and _age(lot, reader.today) <= _life_in_room(lot):
            continue
        noun = noun_of(step.stage, lot.alive, is_bought=step.kind is StepKind.BUY)
        jobs.append(
            PlannedJob(
                key=f"clear:{lot.code}",
                kind=JobKind.CLEAR,
                task="clear",
                day=reader.today,
                count=lot.alive,
                unit="units",
                what=f"spent {noun} {lot.code} out of the room",
                room_kind=RoomKind.GROWING.value,
                detail=f"{reader.name(lot.variety)}, {amount(lot.picked_g, 'gram')} picked in "
                f"{plural(lot.flush, 'flush', 'flushes')}",
                stage=step.stage.value,
                step=lot.step,
                variety=lot.variety,
                variety_name=reader.name(lot.variety),
                place=lot.place,
                lots=(LotAmount(lot.code, lot.alive, lot.step),),
                minutes=max(5, round(CLEAR_MINUTES_PER_UNIT * lot.alive)),
                why="Its last flush is over; it takes places and breeds flies and mould.",
                cautions=("spores", "lifting"),
            )
        )
    return tuple(jobs)


def _arrivals(living: Sequence[LivingLot], reader: Reader) -> tuple[PlannedJob, ...]:
    """Return spawn that was ordered and should arrive today or should have."""
    jobs = []
    for lot in living:
        if not lot.order or lot.made_on > reader.today:
            continue
        noun = noun_of(lot.stage, lot.alive, is_bought=True)
        supplier = lot.now_step().supplier or "the supplier"
        jobs.append(
            PlannedJob(
                key=f"receive:{lot.order}",
                kind=JobKind.RECEIVE,
                task="receive",
                day=reader.today,
                count=lot.alive,
                unit="units",
                what=f"{noun} from {supplier}: count them in",
                room_kind=RoomKind.PACKING.value,
                detail=reader.name(lot.variety),
                stage=lot.stage.value,
                step=lot.step,
                variety=lot.variety,
                variety_name=reader.name(lot.variety),
                minutes=10,
                why="It was ordered for today; look at it before it goes into the cold store.",
                order=lot.order,
            )
        )
    return tuple(jobs)


def _discarding(
    living: Sequence[LivingLot],
    reader: Reader,
    keeps_until: Callable[[LivingLot], date | None],
) -> tuple[PlannedJob, ...]:
    jobs = []
    for lot in living:
        if lot.stage in {Stage.PREPARED, Stage.TUBE} or lot.order:
            continue
        step = lot.now_step()
        if step.kind is StepKind.FRUIT:
            continue
        last = keeps_until(lot)
        if last is None or reader.today <= last:
            continue
        noun = noun_of(step.stage, lot.alive, is_bought=step.kind is StepKind.BUY)
        jobs.append(
            PlannedJob(
                key=f"discard:{lot.code}",
                kind=JobKind.DISCARD,
                task="discard",
                day=reader.today,
                count=lot.alive,
                unit="units",
                what=f"{noun} {lot.code}: past their time, judge and throw out",
                room_kind=RoomKind.INCUBATION.value,
                detail=f"{reader.name(lot.variety)}, usable until {last.isoformat()}",
                stage=step.stage.value,
                step=lot.step,
                variety=lot.variety,
                variety_name=reader.name(lot.variety),
                place=lot.place,
                lots=(LotAmount(lot.code, lot.alive, lot.step),),
                minutes=max(3, round(CLEAR_MINUTES_PER_UNIT * lot.alive)),
                why="The route says they keep no longer; a person may judge otherwise.",
                cautions=("mouldy-units",),
            )
        )
    return tuple(jobs)
