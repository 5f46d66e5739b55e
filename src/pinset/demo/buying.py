"""What the demo farm buys: spawn of the variety it keeps no culture of, and fresh tubes."""

from __future__ import annotations

from datetime import timedelta

from pinset.chain.register import Culture, Step, StepKind
from pinset.demo.laboratory import MOST_TRANSFERS, count_for
from pinset.demo.lots import Lot
from pinset.demo.rhythm import Batch
from pinset.demo.standing import next_weekday
from pinset.demo.transfers import new_lot, set_going
from pinset.demo.world import TUBES_MADE, Order, World
from pinset.services.answers.history import trade

COLLECTION = "culture collection (invented)"
FRESH_TUBES_AFTER_DAYS = 95
MONDAY = 0


def order_and_receive(world: World) -> None:
    """Take in what arrives today and order what will be needed."""
    for order in list(world.ordered):
        if order.arrives <= world.today:
            world.ordered.remove(order)
            _receive_spawn(world, order)
    for batch in world.week[world.today.weekday()]:
        step = world.routes[batch.variety].step(batch.step)
        if step.kind is StepKind.BUY:
            _order(world, batch, step)
    if world.today.weekday() == MONDAY:
        for variety in list(world.cultures):
            _replace_old_culture(world, variety)


def _order(world: World, batch: Batch, step: Step) -> None:
    bags = count_for(world, batch, world.today)
    if not bags:
        return
    earliest = world.today + timedelta(days=step.supplier_days)
    arrives = next_weekday(earliest, step.delivery_weekdays)
    entry = trade.order(
        world.diary.tap(9 * 60 + 20, "marta"),
        f"{world.varieties[batch.variety].name} spawn",
        bags,
        details={
            "variety": batch.variety,
            "step": step.code,
            "supplier": step.supplier,
            "arrives": arrives.isoformat(),
        },
    )
    world.ordered.append(Order(arrives, batch.variety, bags, world.diary.add(entry)))


def _receive_spawn(world: World, order: Order) -> None:
    step = next(s for s in world.routes[order.variety].steps if s.kind is StepKind.BUY)
    lot = _bought(world, order.variety, step, order.bags, culture="", transfers=0)
    chance = world.nature.loss_chance(step.loss, 0.0, 1.0)
    bad = world.nature.bad_units(order.bags, chance)
    set_going(world, lot, world.nature.show_days(step, bad), world.today)
    _write_receipt(world, lot, step.supplier, order.entry)


def _replace_old_culture(world: World, variety: str) -> None:
    """Take fresh tubes from the collection once a culture has been transferred often enough.

    The tired culture is the one where this was forgotten.
    """
    culture = world.cultures[variety]
    tubes = [lot for lot in world.stock.lots[variety, "tube"] if lot.culture == culture]
    newest = max(tubes, key=lambda lot: lot.made_on, default=None)
    tired = world.truth.tired
    if culture == tired.culture:
        is_time = world.today >= tired.until
    else:
        is_time = newest is None or (
            newest.transfers >= MOST_TRANSFERS
            and (world.today - newest.made_on).days >= FRESH_TUBES_AFTER_DAYS
        )
    if not is_time:
        return
    stem, letter = culture.rsplit("-", 1)
    fresh = f"{stem}-{chr(ord(letter) + 1)}"
    world.cultures[variety] = fresh
    record = Culture(fresh, variety, COLLECTION, world.today, note="Fresh tubes.")
    world.fresh_records.append((world.today, record))
    step = world.routes[variety].step("tube")
    lot = _bought(world, variety, step, TUBES_MADE, culture=fresh, transfers=1)
    _write_receipt(world, lot, COLLECTION)


def _bought(
    world: World, variety: str, step: Step, count: int, *, culture: str, transfers: int
) -> Lot:
    room = world.stock.shelves.room_for(step)
    place = world.stock.shelves.find(room, count * step.places)
    lot = Lot(
        code=world.new_code(),
        variety=variety,
        route=world.routes[variety],
        step=step,
        made_on=world.today,
        made=count,
        alive=count,
        place=place or world.stock.shelves.emptiest(room),
        temperature_c=room.temperature_c,
        culture=culture,
        transfers=transfers,
        generation=1 if step.kind is StepKind.BUY else 0,
        since=world.today,
        ready_on=world.today,
    )
    world.stock.add(lot)
    return lot


def _write_receipt(world: World, lot: Lot, supplier: str, order: str = "") -> None:
    entry = trade.receive(
        world.diary.tap(10 * 60, "marta"),
        new_lot(lot, bought_from=supplier, is_first=True),
        lot.made,
        lot.place,
        details={"count": lot.made, "order": order},
    )
    world.diary.add(entry)
