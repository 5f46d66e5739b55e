"""One variety's season as plain events, with simpy: written apart from the vectorised one.

Two batches of blocks are started, each with its own days and loss; on every moving day those that
are ready go into the room, as many as the plan says and as many more as were late, or as mushrooms
are behind the season in which all comes as expected; each move bears two flushes; ripe mushrooms
stand two days until somebody picks them; buyers take the oldest mushrooms first.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import simpy

STANDS_DAYS = 2
"""Of ripe mushrooms on days off: common practice, no source."""


@dataclass
class Case:
    starts: dict[int, int]
    moves: dict[int, int]
    lead: int  # planned days
    window: int
    days: tuple[float, float, float]
    loss: tuple[float, float, float]
    first: tuple[float, float, float]  # days to the first flush
    gap: tuple[float, float, float]
    curve: tuple[tuple[int, float, int], ...]  # day, grams, flush
    spread: float
    keeps: int
    orders: dict[int, float]
    places: float = math.inf
    days_in_room: int = 30
    staffed: frozenset[int] = frozenset()  # empty: every day


@dataclass
class Lot:
    units: float
    ready: int
    planned_ready: int
    last: int


@dataclass
class Farm:
    lots: list[Lot] = field(default_factory=list)
    free: float = math.inf
    still: float = 0
    fresh: list[list[float]] = field(default_factory=list)  # last day, grams, day of picking
    hanging: list[list[float]] = field(default_factory=list)  # ripe on, grams expected, picked on
    delivered: dict[int, float] = field(default_factory=dict)
    supply: dict[int, float] = field(default_factory=dict)  # by moving day, before it


def draw(rng: random.Random, spread: tuple[float, float, float]) -> float:
    low, mode, high = spread
    return rng.triangular(low, high, mode)


def season(case: Case, rng: random.Random, days: int) -> dict[int, float]:
    """Return the grams handed over by day of order."""
    return _lived(case, days, rng, _lived(case, days, None, {}).supply).delivered


def _lived(  # noqa: C901, PLR0915  (events, top to bottom)
    case: Case, days: int, rng: random.Random | None, target: dict[int, float]
) -> Farm:
    """Return the farm after a season; without random numbers all comes as expected."""
    env = simpy.Environment()
    farm = Farm(free=case.places)
    middle = math.ceil(median(case.days))

    def grow(day: int, units: int) -> Iterator[Any]:
        yield env.timeout(day)
        late, alive = 0, units * (1.0 - sum(case.loss) / 3)
        if rng is not None:
            late = math.ceil(draw(rng, case.days)) - middle
            share = 1.0 - draw(rng, case.loss)
            alive = sum(rng.random() < share for _ in range(units))
        ready = day + case.lead + late
        farm.lots.append(Lot(alive, ready, day + case.lead, ready + case.window - 1))

    def bear(units: float) -> Iterator[Any]:
        day = int(env.now)
        factor, late, flush = 1.0, 0, 1
        if rng is not None:
            factor = math.exp(case.spread * rng.gauss(0, 1) - case.spread**2 / 2)
            late = math.ceil(draw(rng, case.first)) - case.curve[0][0]
        for when, grams, number in case.curve:
            if number > flush and rng is not None:
                late += math.ceil(draw(rng, case.gap)) - math.ceil(sum(case.gap) / 3)
                flush = number
            env.process(pick(max(0, when + late), day, grams * units, factor))
        yield env.timeout(case.days_in_room + late)
        farm.free += units

    def is_spoilt(ripe: int) -> bool:
        return bool(case.staffed) and not any(
            ripe + wait in case.staffed for wait in range(STANDS_DAYS + 1)
        )

    def first_flush(day: int) -> list[tuple[int, float]]:
        sold = [each for each in case.curve if not is_spoilt(day + each[0])]
        return [(when, grams) for when, grams, flush in sold if flush == sold[0][2]]

    def pick(after: int, day: int, grams: float, factor: float) -> Iterator[Any]:
        if is_spoilt(day + after):
            return
        hanging = [day + after, grams, math.inf]
        farm.hanging.append(hanging)
        yield env.timeout(after)
        while case.staffed and int(env.now) not in case.staffed:
            yield env.timeout(1)
        hanging[2] = int(env.now)
        farm.fresh.append([int(env.now) + case.keeps, grams * factor, int(env.now)])

    def coming(day: int, until: int) -> float:
        lying = sum(lot[1] for lot in farm.fresh if lot[0] >= day and lot[2] < day)
        return lying + sum(
            grams for ripe, grams, picked in farm.hanging if picked >= day and ripe <= day + until
        )

    def move(day: int) -> Iterator[Any]:
        yield env.timeout(day + 0.1)
        first = first_flush(day)
        farm.supply[day] = coming(day, first[-1][0] if first else 0)
        lacking = target.get(day, farm.supply[day]) - farm.supply[day]
        lacking /= sum(grams for _, grams in first) or math.inf
        asked = case.moves.get(day, 0) + max(farm.still, lacking)
        wanted = min(asked if rng is None else math.ceil(asked - 1e-4), farm.free)
        left = wanted
        for lot in sorted(farm.lots, key=lambda one: one.last):
            if lot.ready <= day <= lot.last:
                taken = min(left, lot.units)
                lot.units -= taken
                left -= taken
        moved = wanted - left
        under_way = sum(
            lot.units
            for lot in farm.lots
            if (lot.planned_ready <= day < lot.ready) or lot.ready <= day <= lot.last
        )
        farm.still = max(0, min(asked - moved, under_way))
        farm.free -= moved
        if moved:
            env.process(bear(moved))

    def hand_over(day: int, amount: float) -> Iterator[Any]:
        yield env.timeout(day + 0.5)
        left = amount
        for lot in sorted(farm.fresh):
            if lot[0] >= day:
                taken = min(left, lot[1])
                lot[1] -= taken
                left -= taken
        farm.delivered[day] = amount - left

    for day, units in case.starts.items():
        env.process(grow(day, units))
    for day in range(days):
        env.process(move(day))
    for day, amount in case.orders.items():
        env.process(hand_over(day, amount))
    env.run(until=days)
    return farm


def median(spread: tuple[float, float, float]) -> float:
    low, mode, high = spread
    half = (high - low) * 0.5
    if half <= mode - low:
        return low + math.sqrt(half * (mode - low))
    return high - math.sqrt(half * (high - mode))
