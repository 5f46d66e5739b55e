"""Rounds, looks, shaking and taking out: what the people of the demo farm see and do about it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from pinset.chain.cold_stores import cold_store_of
from pinset.chain.keeping import keeping_days
from pinset.chain.readiness import lead_days
from pinset.chain.register import RoomKind, StepKind
from pinset.chain.stages import Stage
from pinset.demo.lots import Lot
from pinset.demo.signs_shown import Seen, look_before, seen_on, stalled
from pinset.demo.world import World
from pinset.services.answers.history import Taken, Verdict, trade

WALK_DAYS = frozenset({0, 2, 4})  # Monday, Wednesday, Friday
"""Days on which somebody walks along all shelves of the incubation rooms."""

MONDAY = 0
PREPARED_KEEPS_DAYS = 9
FAILED = {
    Stage.BLOCK: "bag torn or not grown through",
}
"""What was written beside units that failed otherwise; common practice, no source."""


def morning_round(world: World) -> None:
    """Walk through the grow rooms and take out what shows there."""
    rooms = [room.code for room in world.book.rooms if room.kind is RoomKind.GROWING]
    tap = world.diary.tap(7 * 60 + 35, "lene")
    minutes = world.book.farm.morning_round_minutes * len(rooms)
    said = {"minutes": minutes, "room_kind": "growing"}
    world.diary.add(trade.rounds(tap, rooms, details=said))
    for lot in world.stock.all():
        if lot.step.kind is StepKind.FRUIT:
            take_out(world, lot, 7 * 60 + 50, "lene")


def look_and_shake(world: World) -> None:
    """Look over and shake lots at their ages, and take out what shows."""
    person = world.lab_person(world.today)
    walks = world.today.weekday() in WALK_DAYS
    looked: list[Taken] = []
    caught_up = world.days_caught_up()
    for lot in world.stock.all():
        if lot.step.kind is StepKind.FRUIT:
            continue
        is_due = _falls_today(lot, lot.step.look_days, caught_up)
        if is_due:
            looked.append(Taken(lot.code, lot.alive, lot.place))
        if is_due or walks:
            take_out(world, lot, 8 * 60 + 5, person)
        if walks and lot.alive:
            _judge(world, lot, person)
    if looked:
        tap = world.diary.tap(8 * 60, person)
        said = {"minutes": 5 + len(looked), "room_kind": "incubation"}
        world.diary.add(trade.look(tap, looked, details=said))
    for lot in world.stock.all():
        if lot.step.kind is StepKind.TRANSFER and _falls_today(lot, lot.step.shake_days, caught_up):
            tap = world.diary.tap(8 * 60 + 15, person)
            world.diary.add(trade.shake(tap, Taken(lot.code, lot.alive, lot.place)))


def _judge(world: World, lot: Lot, person: str) -> None:
    """Say when a block is expected, once it is later than its route says."""
    if lot.step.stage is not Stage.BLOCK or lot.ready_on <= world.today:
        return
    expected = lot.expected_on or lot.since + timedelta(days=lead_days(lot.step))
    if world.today < expected:
        return
    guessed = lot.ready_on + timedelta(days=world.nature.whole(-2, 2))
    lot.expected_on = max(guessed, world.today + timedelta(days=1))
    tap = world.diary.tap(8 * 60 + 10, person)
    world.diary.add(trade.judge(tap, lot.code, Verdict.READY, day=lot.expected_on))


def _falls_today(lot: Lot, ages: tuple[int, ...], days: tuple[date, ...]) -> bool:
    return any((day - lot.since).days in ages for day in days)


def take_out(world: World, lot: Lot, minute: float, person: str) -> None:
    """Take out the units of a lot that show by today."""
    for cause in ("contaminated", "failed"):
        if not lot.going or lot.going[0][0] > world.today:
            return
        units = sum(1 for day, why in lot.going if day <= world.today and why == cause)
        if not units:
            continue
        lot.going = [(day, why) for day, why in lot.going if day > world.today or why != cause]
        taken = Taken(lot.code, units, lot.place)
        tap = world.diary.tap(minute, person)
        seen: Seen | None
        if cause == "contaminated":
            seen = seen_on(world, lot)
            entry = trade.lose(tap, taken, cause=seen.cause)
        else:
            seen = stalled(world, lot)
            why = FAILED.get(lot.step.stage, "did not grow")
            entry = trade.cull(tap, taken, cause=seen.cause if seen else why)
        if seen is not None:
            look = look_before(world, lot, taken, seen, entry)
            said = {"signs": [seen.sign], "look": look.client_id}
            said |= {"where": seen.where} if seen.where else {}
            world.diary.add(look)
            entry = replace(entry, details={**entry.details, **said})
        world.diary.add(entry)
        world.stock.change(lot, units)


def into_store(world: World) -> None:
    """Carry spawn and cultures that have been ready for some days into the cold store."""
    person = world.lab_person(world.today)
    for lot in world.stock.all():
        expected = lot.since + timedelta(days=lead_days(lot.step))
        cold = cold_store_of(world.book, lot.step)
        if cold is None or max(expected, lot.ready_on) + WAITS > world.today:
            continue
        stands = world.stock.shelves.room_of[lot.place]
        gains = keeping_days(lot.step, cold.temperature_c) - keeping_days(
            lot.step, stands.temperature_c
        )
        place = world.stock.shelves.find(cold, lot.alive * lot.step.places)
        if stands.code == cold.code or gains <= 0.0 or place is None:
            continue
        tap = world.diary.tap(15 * 60, person)
        world.diary.add(trade.move(tap, Taken(lot.code, lot.alive, lot.place), place))
        world.stock.store(lot, place, world.today)


WAITS = timedelta(days=3)
"""What is ready is mostly used within so many days; the rest is carried into the cold."""


def clear_old(world: World) -> None:
    """Throw out what is past its time: spawn and blocks on Mondays, unused vessels daily."""
    person = world.shed_person(world.today)
    for prepared in world.stock.all_prepared():
        age = (world.today - prepared.made_on).days
        if prepared.alive and age > PREPARED_KEEPS_DAYS:
            taken = Taken(prepared.code, prepared.alive, prepared.place)
            tap = world.diary.tap(15 * 60 + 10, person)
            world.diary.add(trade.cull(tap, taken, cause="prepared vessels not used"))
            prepared.alive = 0
    world.stock.forget_empty()
    if world.today.weekday() != MONDAY:
        return
    for lot in world.stock.all():
        if lot.step.kind is StepKind.FRUIT or world.today <= lot.keeps_until():
            continue
        if lot.step.stage is Stage.BLOCK and world.today <= lot.keeps_until() + BLOCK_GRACE:
            continue
        tap = world.diary.tap(15 * 60 + 20, person)
        taken = Taken(lot.code, lot.alive, lot.place)
        world.diary.add(trade.cull(tap, taken, cause="past its time"))
        world.stock.change(lot, lot.alive)


BLOCK_GRACE = timedelta(days=7)
"""Blocks a little past their time still go to a grow room."""
