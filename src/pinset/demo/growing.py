"""Ripening and grow rooms of the demo farm: moving in, flushes, picking, clearing out."""

from __future__ import annotations

from datetime import date, timedelta

from pinset.chain.phases import next_phase
from pinset.chain.register import Step, StepKind, Weekday
from pinset.demo.lots import FlushDue, Lot
from pinset.demo.transfers import set_going
from pinset.demo.world import World
from pinset.services.answers.history import NewEntry, Taken, trade

STORE = "pack-1"
SLIP_CHANCE = 0.004
FLUSH_LOG_SD = 0.10
PICK_SHARES = {1: (1.0,), 2: (0.6, 0.4), 3: (0.3, 0.5, 0.2), 4: (0.2, 0.4, 0.3, 0.1)}
"""How a flush spreads over its picking days; common practice, no source."""


def move_on(world: World) -> None:
    """Move ripe blocks on, on the weekdays of their next step, where there is room."""
    minute = 13 * 60.0
    weekday = Weekday.of(world.today)
    waiting = [lot for lot in world.stock.all() if lot.ready_on <= world.today]
    for lot in sorted(waiting, key=lambda each: (each.ready_on, each.code)):
        step = next_phase(lot.route, lot.step.code)
        if step is None:
            continue
        if step.weekdays and weekday not in step.weekdays:
            continue
        room = world.stock.shelves.room_for(step)
        place = world.stock.shelves.find(room, lot.alive * step.places)
        if place is None:
            continue
        tap = world.diary.tap(minute, world.shed_person(world.today))
        taken = Taken(lot.code, lot.alive, lot.place)
        world.diary.add(trade.move(tap, taken, place, step=step.code))
        minute += 5.0 + lot.alive * step.hands_minutes / 4.0
        world.stock.move(lot, step, place, world.today)
        begin(world, lot, step, world.today)


def begin(world: World, lot: Lot, step: Step, since: date) -> None:
    """Draw what becomes of a lot in the step it has come into."""
    nature = world.nature
    days = nature.triangular(step.days)
    if step.kind is StepKind.STAND:
        days *= lot.vigour.days
    lot.ready_on = since + timedelta(days=round(days))
    standing = lot.alive - len(lot.going)
    if step.kind is StepKind.FRUIT and step.flushes:  # what is lost there is said by the flushes
        _draw_flushes(world, lot, step, standing, since)
        return
    chance = nature.loss_chance(step.loss, 0.0, lot.vigour.odds)
    bad = nature.bad_units(standing, chance)
    set_going(world, lot, nature.spread_days(days, bad), since)


def _draw_flushes(world: World, lot: Lot, step: Step, standing: int, since: date) -> None:
    """Draw when its flushes come, what they bring, and what is lost before each of them."""
    nature = world.nature
    lot.yield_factor = nature.lot_yield(step) * lot.vigour.yields
    lot.flushes = []
    before, day = since, lot.ready_on
    lost_before = 0.0
    for number, flush in enumerate(step.flushes, start=1):
        if number > 1:
            before, day = day, day + timedelta(days=round(nature.triangular(flush.gap_days)))
        chance = (flush.lost_before - lost_before) / (1.0 - lost_before)
        bad = nature.bad_units(standing, max(0.0, chance))
        set_going(world, lot, nature.spread_days((day - before).days, bad), before)
        standing -= bad
        lost_before = max(lost_before, flush.lost_before)
        grams = step.yield_g * flush.share * lot.yield_factor * nature.yield_factor(FLUSH_LOG_SD)
        shares = PICK_SHARES[flush.pick_days]
        lot.flushes.append(
            FlushDue(
                number,
                [(day + timedelta(days=i), grams * share) for i, share in enumerate(shares)],
            )
        )
        day += timedelta(days=flush.pick_days - 1)


def pick(world: World) -> None:
    """Pick what is ripe today, lot by lot."""
    minute = 9 * 60.0
    pickers = ("lene", world.shed_person(world.today))
    for lot in world.stock.all():
        for flush in lot.flushes:
            due = [each for each in flush.days if each[0] <= world.today]
            if not due or lot.step.kind is not StepKind.FRUIT:
                continue
            flush.days = [each for each in flush.days if each[0] > world.today]
            grams = round(sum(per_unit for _, per_unit in due) * lot.alive)
            if grams < 1:
                continue
            person = pickers[flush.number % 2]
            _write_pick(world, lot, flush.number, grams, min(minute, 11 * 60 + 40), person)
            minute += grams / 1000.0 * lot.step.pick_minutes_per_kg / 2.0
            world.stock.pick(lot, grams, world.today)


def _write_pick(world: World, lot: Lot, flush: int, grams: int, minute: float, person: str) -> None:
    """Write the weight down; now and then a nought too many is typed, and set right at once."""
    minutes = round(grams / 1000.0 * lot.step.pick_minutes_per_kg)
    said = {"minutes": minutes, "room_kind": "growing"}

    def typed(weight: int, at: float) -> NewEntry:
        tap = world.diary.tap(at, person)
        return trade.pick(tap, lot.code, weight, flush, STORE, grown_at=lot.place, details=said)

    if world.nature.rng.random() < SLIP_CHANCE:
        wrong = typed(grams * 10, minute)
        world.diary.add(wrong)
        tap = world.diary.tap(minute + 3, person, "a nought too many")
        world.diary.add(trade.correct(tap, wrong))
        minute += 4.0
    world.diary.add(typed(grams, minute))


def clear_spent(world: World) -> None:
    """Carry out lots whose last flush has been picked."""
    minute = 15 * 60 + 30.0
    for lot in world.stock.all():
        if lot.step.kind is not StepKind.FRUIT or any(flush.days for flush in lot.flushes):
            continue
        tap = world.diary.tap(minute, world.shed_person(world.today))
        world.diary.add(trade.spend(tap, Taken(lot.code, lot.alive, lot.place)))
        minute += 4.0
        world.stock.change(lot, lot.alive)
