"""One variety's season as plain events, with simpy: written apart from the vectorised one.

Two batches of blocks are started, each with its own days and loss; on every moving day those that
are ready go into the room, as many as the plan says and as many more as were late; each move bears
two flushes; buyers take the oldest mushrooms first.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import simpy


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
    units: int
    ready: int
    planned_ready: int
    last: int


@dataclass
class Farm:
    lots: list[Lot] = field(default_factory=list)
    free: float = math.inf
    still: int = 0
    fresh: list[list[float]] = field(default_factory=list)  # last day, grams
    delivered: dict[int, float] = field(default_factory=dict)


def draw(rng: random.Random, spread: tuple[float, float, float]) -> float:
    low, mode, high = spread
    return rng.triangular(low, high, mode)


def season(  # noqa: C901, PLR0915  (events, top to bottom)
    case: Case, rng: random.Random, days: int
) -> dict[int, float]:
    """Return the grams handed over by day of order."""
    env = simpy.Environment()
    farm = Farm(free=case.places)
    middle = math.ceil(median(case.days))

    def grow(day: int, units: int) -> Iterator[Any]:
        yield env.timeout(day)
        took = math.ceil(draw(rng, case.days))
        share = 1.0 - draw(rng, case.loss)
        alive = sum(rng.random() < share for _ in range(units))
        late = took - middle
        ready = day + case.lead + late
        farm.lots.append(Lot(alive, ready, day + case.lead, ready + case.window - 1))

    def bear(units: int) -> Iterator[Any]:
        factor = math.exp(case.spread * rng.gauss(0, 1) - case.spread**2 / 2)
        late = math.ceil(draw(rng, case.first)) - case.curve[0][0]
        flush = 1
        begun = 0
        for when, grams, number in case.curve:
            if number > flush:
                late += math.ceil(draw(rng, case.gap)) - math.ceil(sum(case.gap) / 3)
                flush = number
            yield env.timeout(max(0, when + late - begun))
            begun = max(begun, when + late)
            env.process(pick(grams * units * factor))
        yield env.timeout(max(0, case.days_in_room + late - begun))
        farm.free += units

    def pick(grams: float) -> Iterator[Any]:
        while case.staffed and int(env.now) not in case.staffed:
            yield env.timeout(1)
        farm.fresh.append([env.now + case.keeps, grams])
        yield env.timeout(0)

    def move(day: int) -> Iterator[Any]:
        yield env.timeout(day + 0.1)
        wanted = farm.still + case.moves.get(day, 0)
        left = int(min(wanted, farm.free))
        for lot in sorted(farm.lots, key=lambda one: one.last):
            if lot.ready <= day <= lot.last:
                taken = min(left, lot.units)
                lot.units -= taken
                left -= taken
        moved = int(min(wanted, farm.free)) - left
        coming = sum(
            lot.units
            for lot in farm.lots
            if (lot.planned_ready <= day < lot.ready) or lot.ready <= day <= lot.last
        )
        farm.still = max(0, min(wanted - moved, coming))
        farm.free -= moved
        if moved:
            env.process(bear(moved))

    def hand_over(day: int, amount: float) -> Iterator[Any]:
        yield env.timeout(day + 0.5)
        left = amount
        for lot in sorted(farm.fresh):
            if lot[0] + 0.2 >= day:
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
    return farm.delivered


def median(spread: tuple[float, float, float]) -> float:
    low, mode, high = spread
    half = (high - low) * 0.5
    if half <= mode - low:
        return low + math.sqrt(half * (mode - low))
    return high - math.sqrt(half * (high - mode))
