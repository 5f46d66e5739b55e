"""Packing, delivering and selling of the demo farm, promise by promise."""

from __future__ import annotations

import math
from collections.abc import Callable
from datetime import date, time, timedelta

from pinset.chain.due import due_days
from pinset.chain.register import Promise, Weekday
from pinset.demo.diary import minute_of
from pinset.demo.growing import STORE
from pinset.demo.lots import Crate
from pinset.demo.transfers import take_hidden
from pinset.demo.world import World
from pinset.services.answers.history import Taken, digest, trade

KG_A_CRATE = 2.5
EXTRA_AT_MARKET = 0.3
"""The stall takes up to so much more than was promised to it, if it would grow old otherwise."""

EXTRA_AT = time(6, 31)
MARKET, MARKET_EXTRA, DRIER = "market", "market-extra", "drier"
"""Codes of a buyer and of two outlets."""
DRIED = frozenset({"shiitake"})


def pack(world: World) -> None:
    """Trim and pack what was picked today."""
    person = world.shed_person(world.today)
    fresh = [
        crate
        for variety in world.varieties
        for crate in world.stock.crates[variety]
        if crate.picked_on == world.today
    ]
    if not fresh:
        return
    trim = [
        Taken(
            c.lot,
            max(1, round(c.grams * world.varieties[c.variety].trim_loss)),
            STORE,
            c.picked_on,
        )
        for c in fresh
    ]
    tap = world.diary.tap(12 * 60 + 5, person)
    world.diary.add(trade.waste(tap, _merged(trim), cause="trimmed"))
    for crate, taken in zip(fresh, trim, strict=True):
        crate.grams -= taken.quantity
    kept = _merged([Taken(c.lot, c.grams, STORE, c.picked_on) for c in fresh if c.grams > 0])
    kilograms = sum(t.quantity for t in kept) / 1000.0
    said = {"minutes": round(2.0 * kilograms), "room_kind": "packing"}
    packages = math.ceil(kilograms / KG_A_CRATE)
    tap = world.diary.tap(12 * 60 + 10, person)
    world.diary.add(trade.pack(tap, kept, packages=packages, details=said))
    world.stock.forget_empty()


def deliver_early(world: World) -> None:
    """Hand over what is due before the day's picking: the Saturday stall."""
    _deliver(world, lambda minute: minute < 9 * 60)


def deliver_by_van(world: World) -> None:
    """Hand over what is due in the afternoon."""
    _deliver(world, lambda minute: minute >= 9 * 60)


def _deliver(world: World, is_now: Callable[[int], bool]) -> None:
    buyers = {buyer.code: buyer for buyer in world.book.buyers}
    for promise in world.book.promises:
        if not due_days(promise, world.today, world.today):
            continue
        at = minute_of(buyers[promise.buyer].deliver_at or world.book.farm.van_at)
        if not is_now(at):
            continue
        if promise.measure == "gram":
            _deliver_grams(world, promise, at)
        else:
            _sell_units(world, promise, at)


def _deliver_grams(world: World, promise: Promise, minute: int) -> None:
    extra = 0
    if promise.buyer == MARKET:
        extra = min(round(EXTRA_AT_MARKET * promise.amount), _would_grow_old(world, promise))
    taken = _out_of_store(world, promise.variety, promise.amount)
    handed = sum(t.quantity for t in taken)
    if not handed:
        return
    entry = trade.deliver(
        world.diary.tap(minute, world.shed_person(world.today)),
        _merged(taken),
        buyer=promise.buyer,
        promise=promise.code,
        for_day=world.today,
        price_cents=round(handed * promise.price_cents / 1000),
        details={"grams": handed, "variety": promise.variety, "room_kind": "packing"},
    )
    world.diary.add(entry)
    _deliver_extra(world, promise, extra)
    world.stock.forget_empty()


def _deliver_extra(world: World, promise: Promise, grams: int) -> None:
    """Hand over what the stall takes beyond its promise."""
    taken = _out_of_store(world, promise.variety, grams)
    handed = sum(t.quantity for t in taken)
    if not handed:
        return
    client_id = digest("extra", f"{world.today} {promise.code}")
    cents = world.varieties[promise.variety].price_cents_per_kg
    entry = trade.deliver(
        world.diary.quiet_tap(EXTRA_AT, world.shed_person(world.today), client_id),
        _merged(taken),
        buyer=promise.buyer,
        price_cents=round(handed * cents / 1000),
        details={
            "grams": handed,
            "variety": promise.variety,
            "outlet": MARKET_EXTRA,
            "room_kind": "packing",
        },
    )
    world.diary.add(entry)


def _out_of_store(world: World, variety: str, wanted: int) -> list[Taken]:
    """Take the oldest that is still good out of the store."""
    taken = []
    for crate in _still_good(world, variety):
        grams = min(crate.grams, wanted)
        if grams > 0:
            taken.append(Taken(crate.lot, grams, STORE, crate.picked_on))
            crate.grams -= grams
            wanted -= grams
    return taken


def _by_age(world: World, variety: str) -> list[Crate]:
    return sorted(world.stock.crates[variety], key=lambda c: (c.picked_on, c.lot))


def _still_good(world: World, variety: str) -> list[Crate]:
    first = world.today - timedelta(days=int(world.varieties[variety].picked_keeps_days))
    return [crate for crate in _by_age(world, variety) if crate.picked_on >= first]


def _would_grow_old(world: World, promise: Promise) -> int:
    """Return the grams beyond what the coming days' promises can use in time."""
    keeps = world.varieties[promise.variety].picked_keeps_days
    standing = sum(crate.grams for crate in _still_good(world, promise.variety))
    first, last = world.today + timedelta(days=1), world.today + timedelta(days=int(keeps) - 1)
    coming = sum(
        other.amount * len(due_days(other, first, last))
        for other in world.book.promises
        if other.variety == promise.variety and other.measure == "gram"
    )
    return max(0, standing - promise.amount - coming // 2)


def _merged(taken: list[Taken]) -> list[Taken]:
    """Return one line for each lot and day of picking."""
    grams: dict[tuple[str, date | None], int] = {}
    for each in taken:
        key = (each.lot, each.picked_on)
        grams[key] = grams.get(key, 0) + each.quantity
    return [Taken(lot, quantity, STORE, day) for (lot, day), quantity in grams.items()]


def _sell_units(world: World, promise: Promise, minute: int) -> None:
    wanted = promise.amount
    taken = []
    for lot in world.stock.usable(promise.variety, promise.step, world.today):
        units = min(lot.alive, wanted)
        if units:
            take_hidden(world, lot, units)
            taken.append(Taken(lot.code, units, lot.place))
            world.stock.change(lot, units)
            wanted -= units
    if not taken:
        return
    handed = sum(t.quantity for t in taken)
    entry = trade.sell(
        world.diary.tap(minute, world.shed_person(world.today)),
        taken,
        buyer=promise.buyer,
        promise=promise.code,
        for_day=world.today,
        price_cents=handed * promise.price_cents,
        details={"count": handed, "variety": promise.variety, "room_kind": "packing"},
    )
    world.diary.add(entry)


def throw_out_old(world: World) -> None:
    """Dry or throw away what is past its time in the cold room, on Mondays and Thursdays."""
    if Weekday.of(world.today) not in {Weekday.MON, Weekday.THU}:
        return
    for variety in world.varieties.values():
        limit = world.today - timedelta(days=int(variety.picked_keeps_days))
        old = [c for c in _by_age(world, variety.code) if c.picked_on < limit]
        if not old:
            continue
        taken = _merged([Taken(c.lot, c.grams, STORE, c.picked_on) for c in old])
        tap = world.diary.tap(16 * 60 + 5, world.shed_person(world.today))
        if variety.code in DRIED:
            grams = sum(t.quantity for t in taken)
            said = {"grams": grams, "outlet": DRIER, "room_kind": "packing"}
            world.diary.add(trade.dry(tap, taken, details=said))
        else:
            world.diary.add(trade.waste(tap, taken, cause="past its time"))
        for crate in old:
            crate.grams = 0
    world.stock.forget_empty()
