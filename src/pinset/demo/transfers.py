"""Transfers of one simulated day: parents opened, new lots made, and what got in with them."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from datetime import date, timedelta

from pinset.chain.register import Parent, Step, StepKind
from pinset.chain.stages import Stage
from pinset.demo.judging import said_of_vessels
from pinset.demo.laboratory import batches_on
from pinset.demo.lots import Lot, Prepared
from pinset.demo.nature import PARENT_PASSES_ON
from pinset.demo.rhythm import Batch
from pinset.demo.sessions import BENCH, write_session
from pinset.demo.world import World
from pinset.services.answers.history import NewLot, ParentShare, Taken, trade

FROM_TUBE = Parent("tube", 14.0)
HOT_SHARE_NAMED = 1.0 / 3.0
"""A lot counts as touched by the hot fortnight if it had this share of its days in it."""


@dataclass(frozen=True, slots=True)
class Bench:
    """Who works where, from which minute of the day; no session for work by hand."""

    person: str
    session: str
    room_kind: str
    turn: int = 0  # how many transfers of the session came before


@dataclass(frozen=True, slots=True)
class Opened:
    """Units taken from one parent lot, some of them bad without showing it."""

    lot: Lot
    units: int
    bad: int


def inoculate(world: World) -> None:
    """Make the day's transfers: at the bench in one session, straw bags by hand."""
    lab = Bench(world.lab_person(world.today), f"S{world.today:%y%m%d}", "laboratory")
    hand = Bench(world.shed_person(world.today), "", "preparation")
    minutes = {lab: 8 * 60 + 30.0, hand: 9 * 60.0}
    turns, open_min, last = 0, 0.0, 0.0
    for batch in batches_on(world, world.today):
        step = world.routes[batch.variety].step(batch.step)
        if step.kind is not StepKind.TRANSFER:
            continue
        where = lab if step.bench_minutes > 0 else hand
        made = _transfer(world, batch, step, replace(where, turn=turns), minutes[where])
        if made:
            each = step.bench_minutes or step.hands_minutes / 2.0
            minutes[where] += made * each + step.bench_setup_minutes
            if where is lab:
                turns, last = turns + 1, minutes[lab]
                open_min += made * each
    if turns:
        write_session(world, lab.person, lab.session, last, open_min)


def _transfer(world: World, batch: Batch, step: Step, bench: Bench, minute: float) -> int:
    ready = [p for p in world.stock.prepared[batch.variety, batch.step] if p.alive > 0]
    parent = FROM_TUBE if step.code == "tube" else world.parent_of(step)
    if not ready or parent is None:
        return 0
    lots = world.stock.usable(batch.variety, parent.step, world.today)
    if parent.step == "tube":
        lots = [lot for lot in lots if lot.culture == world.cultures[batch.variety]]
    kept_back = world.sold_weekly(batch.variety, parent.step)
    offered = max(0, sum(lot.alive for lot in lots) - kept_back)
    count = min(sum(p.alive for p in ready), math.floor(offered * parent.units_per_parent))
    if count < 1:
        return 0
    opened = open_parents(world, lots, math.ceil(count / parent.units_per_parent - 1e-9))
    lot = _new_lot(world, batch, step, count, opened, ready[0], bench)
    passed_on = _passed_on(world, opened, count, parent)
    _infect(world, lot, passed_on)
    used = use_prepared(ready, count)
    _write(world, lot, opened, used, bench, minute)
    world.stock.add(lot)
    _touch(world, lot)
    return count


def open_parents(world: World, lots: list[Lot], needed: int) -> list[Opened]:
    """Take units from the oldest lots first; hidden bad ones go with them by chance."""
    opened = []
    for lot in lots:
        units = min(lot.alive, needed)
        if units:
            opened.append(Opened(lot, units, take_hidden(world, lot, units)))
            world.stock.change(lot, units)
            needed -= units
    return opened


def take_hidden(world: World, lot: Lot, units: int) -> int:
    """Return how many of the units taken are bad, and forget them in the lot they came from."""
    bad = world.nature.hidden_among(len(lot.going), lot.alive, units)
    if bad:
        del lot.going[-bad:]
    return bad


def use_prepared(ready: list[Prepared], count: int) -> list[tuple[Prepared, int]]:
    """Take prepared vessels, the oldest first."""
    used = []
    for prepared in ready:
        units = min(prepared.alive, count)
        if units:
            prepared.alive -= units
            count -= units
            used.append((prepared, units))
    return used


def _new_lot(
    world: World,
    batch: Batch,
    step: Step,
    count: int,
    opened: list[Opened],
    vessels: Prepared,
    bench: Bench,
) -> Lot:
    first = opened[0].lot
    room = world.stock.shelves.room_for(step)
    place = world.stock.shelves.find(room, count * step.places)
    place = place or world.stock.shelves.emptiest(room)
    culture = first.culture
    vigour = world.nature.vigour(culture, world.today)
    days = world.nature.triangular(step.days) * vigour.days
    is_grain = step.stage is Stage.GRAIN
    transfers = max(each.lot.transfers for each in opened)
    return Lot(
        code=world.new_code(),
        variety=batch.variety,
        route=world.routes[batch.variety],
        step=step,
        made_on=world.today,
        made=count,
        alive=count,
        place=place,
        temperature_c=room.temperature_c,
        culture=culture,
        cook=vessels.cook,
        session=bench.session,
        generation=max(each.lot.generation for each in opened) + (1 if is_grain else 0),
        transfers=transfers + (1 if step.stage in {Stage.TUBE, Stage.PLATE} else 0),
        vigour=vigour,
        since=world.today,
        ready_on=world.today + timedelta(days=round(days)),
    )


def _passed_on(world: World, opened: list[Opened], count: int, parent: Parent) -> int:
    bad = sum(each.bad for each in opened)
    reached = min(count, math.ceil(bad * parent.units_per_parent))
    return world.nature.bad_units(reached, PARENT_PASSES_ON)


def _infect(world: World, lot: Lot, passed_on: int) -> None:
    nature, truth = world.nature, world.truth
    effect = nature.effect(f"cook {lot.cook}", truth.cook_log_sd)
    if lot.session:
        effect += nature.effect(f"session {lot.session}", truth.session_log_sd)
    share = nature.hot_share(lot.made_on, lot.step.days.mean)
    if share > 0.0:
        lot.blame["hot"] = truth.hot.odds**share
    if lot.cook in world.touched.cooks:
        lot.blame["seal"] = truth.seal.odds
    if is_careless(world, lot.session, lot.made_on):
        lot.blame["careless"] = truth.careless.odds
    odds = lot.vigour.odds * math.prod(lot.blame.values())
    chance = nature.loss_chance(lot.step.loss, effect, odds)
    bad = passed_on + nature.bad_units(lot.made - passed_on, chance)
    if passed_on:
        lot.blame["parent"] = passed_on / bad
    set_going(world, lot, nature.show_days(lot.step, bad), lot.made_on)


def is_careless(world: World, session: str, day: date) -> bool:
    """Say whether a bench session is the careless one."""
    return bool(session) and day == world.truth.careless.day


def set_going(world: World, lot: Lot, days: list[int], since: date) -> None:
    """Let units show after so many days, most as contaminated, a few as failed otherwise."""
    for days_later in days:
        cause = "contaminated" if world.nature.rng.random() < CONTAMINATED_SHARE else "failed"
        lot.going.append((since + timedelta(days=days_later), cause))
    lot.going.sort()


CONTAMINATED_SHARE = 0.88


def _write(
    world: World,
    lot: Lot,
    opened: list[Opened],
    used: list[tuple[Prepared, int]],
    bench: Bench,
    minute: float,
) -> None:
    step = lot.step
    minutes = lot.made * (step.bench_minutes or step.hands_minutes) + step.bench_setup_minutes
    entry = trade.inoculate(
        world.diary.tap(minute, bench.person),
        [ParentShare(each.lot.code, each.units, each.lot.place) for each in opened],
        new_lot(lot),
        lot.made,
        lot.place,
        vessels=[Taken(prepared.code, units, prepared.place) for prepared, units in used],
        details={
            "count": lot.made,
            "minutes": round(minutes),
            "bench": BENCH if bench.session else "",
            **_of_session(bench, lot.made * step.bench_minutes),
            "room_kind": bench.room_kind,
            **said_of_vessels(world, used),
        },
    )
    world.diary.add(entry)


def _of_session(bench: Bench, open_min: float) -> dict[str, object]:
    if not bench.session:
        return {}
    return {"session": bench.session, "turn": bench.turn + 1, "open_min": round(open_min)}


def new_lot(lot: Lot, *, bought_from: str = "", is_first: bool = False) -> NewLot:
    """Return the facts of a lot as they are written down."""
    return NewLot(
        code=lot.code,
        stage=lot.step.stage,
        variety=lot.variety,
        step=lot.step.code,
        route=lot.route.code,
        made_on=lot.made_on,
        culture=lot.culture,
        cook=lot.cook,
        session=lot.session,
        generation=lot.generation if is_first else None,
        transfers=lot.transfers if is_first else None,
        bought_from=bought_from,
        made_in_demo=True,
    )


def _touch(world: World, lot: Lot) -> None:
    touched = world.touched
    if lot.cook in touched.cooks:
        touched.lots["seal"].append(lot.code)
    if lot.vigour.days > 1.0:
        touched.lots["tired"].append(lot.code)
    if is_careless(world, lot.session, lot.made_on):
        touched.session = lot.session
        touched.lots["careless"].append(lot.code)
    if world.nature.hot_share(lot.made_on, lot.step.days.mean) >= HOT_SHARE_NAMED:
        touched.lots["hot"].append(lot.code)
