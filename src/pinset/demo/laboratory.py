"""Preparation and cooks of one simulated day, and how many units a start is to make."""

from __future__ import annotations

import math
from datetime import date, datetime, time, timedelta

from pinset.chain.register import Step, StepKind
from pinset.chain.stages import Stage
from pinset.demo.diary import minute_of
from pinset.demo.lots import Prepared
from pinset.demo.rhythm import Batch
from pinset.demo.world import TUBES_MADE, Cooked, World
from pinset.services.answers.history import NewLot, trade

BUFFER_WEEKS = 1.4
TUBES_LOW = 4
TUBE_RENEWAL_DAYS = 100
MOST_TRANSFERS = 3
TIRED_RENEWAL_DAYS = 45
INOCULATION = time(9, 0)


def batches_on(world: World, day: date) -> list[Batch]:
    """Return the starts of a weekday, tubes among them."""
    return world.week[day.weekday()]


def count_for(world: World, batch: Batch, start: date) -> int:
    """Return how many units to make, decided once and kept until the start."""
    key = (start, batch.variety, batch.step)
    if key not in world.planned:
        world.planned[key] = _decide(world, batch)
    return world.planned[key]


def _decide(world: World, batch: Batch) -> int:
    if batch.step == "block":
        return batch.count
    if batch.step == "tube":
        return TUBES_MADE if _tubes_are_due(world, batch.variety) else 0
    step = world.routes[batch.variety].step(batch.step)
    weeks = step.days.mean / 7.0 + step.supplier_days / 7.0 + BUFFER_WEEKS
    on_order = sum(order.bags for order in world.ordered if order.variety == batch.variety)
    bought = on_order if step.kind is StepKind.BUY else 0
    standing = sum(each.alive for each in world.stock.prepared[batch.variety, batch.step])
    position = world.stock.position(batch.variety, batch.step, world.today) + bought + standing
    wanted = math.ceil(batch.count * weeks) - position
    return max(0, min(wanted, 2 * batch.count))


def _tubes_are_due(world: World, variety: str) -> bool:
    tubes = world.stock.lots[variety, "tube"]
    if not tubes:
        return False
    newest = max(tubes, key=lambda lot: (lot.made_on, lot.code))
    is_tiring = newest.culture == world.truth.tired.culture
    if newest.transfers >= MOST_TRANSFERS and not is_tiring:
        return False
    after = TIRED_RENEWAL_DAYS if is_tiring else TUBE_RENEWAL_DAYS
    few = sum(lot.alive for lot in tubes) <= TUBES_LOW
    return few or (world.today - newest.made_on).days >= after


def cook_lead_days(step: Step) -> int:
    """Return how many days before the start its vessels are cooked."""
    lead = max((p.lead_hours for p in step.preparations if p.task == "cook"), default=0.0)
    return math.ceil((lead - INOCULATION.hour) / 24.0)


def prepare(world: World) -> None:
    """Soak, boil, mix, fill, pour: what is begun today for starts of the coming days."""
    done: dict[tuple[str, str, int], int] = {}
    minutes: dict[tuple[str, str, int], float] = {}
    for ahead in range(6):
        start = world.today + timedelta(days=ahead)
        for batch in batches_on(world, start):
            step = world.routes[batch.variety].step(batch.step)
            for preparation in step.preparations:
                if preparation.task in {"cook", "cool"}:
                    continue
                begins = datetime.combine(start, INOCULATION) - timedelta(
                    hours=preparation.lead_hours
                )
                if begins.date() != world.today:
                    continue
                count = count_for(world, batch, start)
                key = (preparation.task, step.mix, begins.hour * 60 + begins.minute)
                done[key] = done.get(key, 0) + count
                minutes[key] = minutes.get(key, 0.0) + count * preparation.minutes_per_unit
    for (task, mix, minute), count in done.items():
        if count:
            said = {
                "mix": mix,
                "minutes": round(minutes[task, mix, minute]) + 10,
                "room_kind": "laboratory" if task == "pour" else "preparation",
            }
            tap = world.diary.tap(max(minute, 7 * 60 + 35), world.shed_person(world.today))
            world.diary.add(trade.prepare(tap, task, count, details=said))


def cook(world: World) -> None:
    """Load and cook the vessels of coming starts, one cook a kind."""
    loads: dict[str, list[tuple[Batch, Step, int]]] = {}
    for ahead in range(1, 6):
        start = world.today + timedelta(days=ahead)
        for batch in batches_on(world, start):
            step = world.routes[batch.variety].step(batch.step)
            if step.cook and cook_lead_days(step) == ahead:
                count = count_for(world, batch, start)
                if count:
                    loads.setdefault(step.cook, []).append((batch, step, count))
    for kind, load in loads.items():
        _one_cook(world, kind, load)


def _one_cook(world: World, kind: str, load: list[tuple[Batch, Step, int]]) -> None:
    machine, cook_kind = next(
        (machine, each)
        for machine in world.book.sterilisers
        for each in machine.cooks
        if each.code == kind
    )
    vessels = {vessel.code: vessel for vessel in world.book.vessels}
    litres = sum(count * vessels[step.vessel].litres for _, step, count in load)
    fits = min(1.0, cook_kind.litres / litres)
    load_at = machine.load_at.replace(":", "")
    code = f"{machine.code}-{world.today:%Y%m%d}-{load_at}"
    if world.nature.is_failing(machine.code, world.today):
        world.touched.cooks.append(code)
    place = "prep-1" if kind == "straw" else "bay-1"
    loaded = []
    for batch, step, count in load:
        made = math.floor(count * fits)
        lot = NewLot(
            code=world.new_code(),
            stage=Stage.PREPARED,
            variety="",
            step=step.code,
            route=world.varieties[batch.variety].route,
            made_on=world.today,
            made_in_demo=True,
        )
        loaded.append((lot, made))
        world.stock.prepared[batch.variety, step.code].append(
            Prepared(lot.code, batch.variety, step.code, world.today, made, code, place)
        )
    entry = trade.cook(
        world.diary.tap(minute_of(machine.load_at), world.shed_person(world.today)),
        code,
        loaded,
        place,
        steriliser=machine.code,
        cook_kind=kind,
        hold_minutes=cook_kind.hold_minutes + world.nature.whole(-3, 6),
        details={
            "litres": round(litres * fits),
            "minutes": cook_kind.hands_minutes,
            "room_kind": "steriliser",
        },
    )
    world.diary.add(entry)
    leaks = world.nature.is_failing(machine.code, world.today)
    lots = tuple(lot.code for lot, _ in loaded)
    held = int(entry.details["hold_minutes"])
    began = entry.happened_at.astimezone(world.diary.zone)
    world.to_judge.append(Cooked(code, kind, lots, leaks, began, held))
