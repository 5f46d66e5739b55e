"""Eighteen months on the demo farm, day by day.

The farm works by a fixed weekly rhythm, not by the planner. What happens each day is drawn from
the routes and the hidden truth, and written as the entries its people would have made.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

import numpy as np

from pinset.chain.register import FarmBook, StandingLot, StepKind
from pinset.demo import (
    buying,
    care,
    growing,
    judging,
    laboratory,
    plates,
    remarks,
    selling,
    transfers,
    upkeep,
    waking,
)
from pinset.demo.lots import FlushDue, Lot
from pinset.demo.nature import Nature
from pinset.demo.rhythm import expected_yield_g, lost_in
from pinset.demo.truth import HiddenTruth, with_touched
from pinset.demo.world import World, new_world
from pinset.services.answers.history import Sheet, trade

OPENED_AT = 6 * 60 + 5


class Simulation:
    """A history under way; :meth:`weeks` makes it, :meth:`truth_told` says what was hidden."""

    def __init__(self, book: FarmBook, truth: HiddenTruth, codes: Iterator[str]) -> None:
        nature = Nature(truth, np.random.default_rng(truth.seed))
        self.world: World = new_world(book, truth, nature, codes)

    def weeks(self) -> Iterator[tuple[Sheet, ...]]:
        """Yield the sheets of one week after the other, from the opening to yesterday."""
        world = self.world
        day = world.truth.start
        sheets: list[Sheet] = []
        world.today = world.diary.day = day
        for standing in world.book.lots:
            open_lot(world, standing)
        while day < world.truth.today:
            world.today = world.diary.day = day
            if world.works(day):
                live_a_day(world)
            sheets.extend(world.diary.close())
            day += timedelta(days=1)
            if day.weekday() == 0 and sheets:
                yield tuple(sheets)
                sheets = []
        if sheets:
            yield tuple(sheets)

    def truth_told(self) -> HiddenTruth:
        """Return the hidden truth with everything it touched."""
        touched = self.world.touched
        return with_touched(
            self.world.truth,
            cooks=tuple(touched.cooks),
            session=touched.session,
            lots={name: tuple(lots) for name, lots in touched.lots.items()},
            plates=tuple(self.world.plates_grew),
        )


def live_a_day(world: World) -> None:
    """Do one working day's work, in the order of the clock."""
    selling.deliver_early(world)
    care.morning_round(world)
    care.look_and_shake(world)
    judging.judge(world)
    plates.measure_plates(world)
    laboratory.prepare(world)
    transfers.inoculate(world)
    growing.pick(world)
    buying.order_and_receive(world)
    laboratory.cook(world)
    selling.pack(world)
    growing.move_on(world)
    selling.deliver_by_van(world)
    growing.clear_spent(world)
    care.into_store(world)
    care.clear_old(world)
    selling.throw_out_old(world)
    remarks.remark(world)
    upkeep.do_chores(world)
    waking.wake_tubes(world)


def open_lot(world: World, standing: StandingLot) -> None:
    """Write down a lot that is alive on the first day."""
    route = world.routes[standing.variety]
    step = route.step(standing.step)
    since = standing.in_room_since or standing.made_on
    made = standing.made_count or standing.count
    place = standing.place
    lot = Lot(
        code=world.new_code(),
        variety=standing.variety,
        route=route,
        step=step,
        made_on=standing.made_on,
        made=made,
        alive=standing.count,
        place=place,
        temperature_c=world.stock.shelves.room_of[place].temperature_c,
        culture=standing.culture,
        generation=standing.generation,
        transfers=standing.transfers,
        since=since,
        ready_on=since + timedelta(days=round(step.days.mean)),
    )
    world.stock.add(lot)
    bad = world.nature.bad_units(lot.alive, lost_in(step) / 2.0)
    days = world.nature.spread_days(step.days.mean / 2.0, bad)
    transfers.set_going(world, lot, days, world.today)
    flush = 0
    if step.kind is StepKind.FRUIT:
        lot.flushes = flushes_left(lot, world.today)
        flush = sum(1 for each in lot.flushes if not each.days)
    entry = trade.opening(
        world.diary.tap(OPENED_AT, "marta"),
        transfers.new_lot(lot, bought_from=standing.bought_from, is_first=True),
        lot.alive,
        place,
        made=made,
        step_since=standing.in_room_since,
        picked_g=standing.picked_g,
        flush=flush,
    )
    world.diary.add(entry)


def flushes_left(lot: Lot, today: date) -> list[FlushDue]:
    """Return the flushes of a lot at mean days, with the days that lie ahead."""
    found = []
    day = lot.ready_on
    for number, flush in enumerate(lot.step.flushes, start=1):
        if number > 1:
            day += timedelta(days=round(flush.gap_days.mean))
        shares = growing.PICK_SHARES[flush.pick_days]
        grams = expected_yield_g(lot.step) * flush.share
        days = [(day + timedelta(days=i), grams * share) for i, share in enumerate(shares)]
        found.append(FlushDue(number, [each for each in days if each[0] >= today]))
        day += timedelta(days=flush.pick_days - 1)
    return found
