"""The demo farm's weekly rhythm: how many units of each step on which weekday.

The arithmetic is the grower's expansion: from promised kilograms back through expected yield and
loss to blocks, spawn, grain and plates. It sizes the invented farm and steers its simulated week;
it is not the planner.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pinset.chain.register import FarmBook, Route, Step, StepKind, Variety, Weekday

RESERVE = 1.08
"""Blocks are made for a twelfth more than is promised, since yields swing from lot to lot."""

SPARE_UNITS = 1
"""Spawn units made beyond the expected need of a week, so that one bad jar stops nothing."""

STARTED = frozenset({StepKind.TRANSFER, StepKind.BUY})


@dataclass(frozen=True, slots=True)
class Batch:
    """Units of one step started on one weekday of every week."""

    variety: str
    step: str
    weekday: Weekday
    count: int


def route_of(book: FarmBook, variety: Variety) -> Route:
    """Return the route of a variety."""
    return next(route for route in book.routes if route.code == variety.route)


def step_of_kind(route: Route, kind: StepKind) -> Step | None:
    """Return the first step of a kind, or None."""
    return next((step for step in route.steps if step.kind is kind), None)


def saleable_g_per_block(route: Route, trim_loss: float) -> float:
    """Return what one block started is expected to bring, over all flushes [g].

    Losses at their means; units lost before a flush are counted from room entry.
    """
    grams = 0.0
    kept = 1.0
    for step in route.steps:
        if step.code in {"block", "ripening"}:
            kept *= 1.0 - step.loss.mean
        if step.kind is StepKind.FRUIT:
            shares = sum(f.share * (1.0 - f.lost_before) for f in step.flushes)
            grams = expected_yield_g(step) * shares
    return grams * kept * (1.0 - trim_loss)


def expected_yield_g(step: Step) -> float:
    """Return the mean yield of one unit, of which the route says the most likely one [g].

    The mean of a lognormal is its mode times ``exp(1.5 spread**2)``.
    """
    return step.yield_g * math.exp(1.5 * step.yield_spread**2)


def lost_in(step: Step) -> float:
    """Return the share of units that a step loses in the mean: in a grow room by its flushes."""
    lost = [flush.lost_before for flush in step.flushes]
    return max(lost) if lost else step.loss.mean


def weekly_grams(book: FarmBook, variety: str) -> int:
    """Return the grams of a variety promised every week."""
    return sum(
        promise.amount
        for promise in book.promises
        if promise.variety == variety and promise.measure == "gram" and promise.weekday
    )


def weekly_sold_units(book: FarmBook, variety: str, step: str) -> int:
    """Return the units of a step (spawn) promised every week."""
    return sum(
        promise.amount
        for promise in book.promises
        if promise.variety == variety and promise.measure == "unit" and promise.step == step
    )


def variety_batches(book: FarmBook, variety: Variety) -> tuple[Batch, ...]:
    """Return the week's starts of one variety, the block first, the plate last."""
    route = route_of(book, variety)
    per_block = saleable_g_per_block(route, variety.trim_loss)
    weekly = RESERVE * weekly_grams(book, variety.code) / per_block
    found: list[Batch] = []
    needed: dict[str, int] = {}
    for step in reversed(route.steps):
        if step.kind not in STARTED or step.code == "tube":
            continue
        if step.code == "block":
            count = math.ceil(weekly / len(step.weekdays))
        else:
            need = needed.get(step.code, 0) + weekly_sold_units(book, variety.code, step.code)
            count = math.ceil(need / (1.0 - step.loss.mean)) + SPARE_UNITS
        for weekday in step.weekdays:
            found.append(Batch(variety.code, step.code, weekday, count))
            if step.parents:
                parent = step.parents[0]
                whole = math.ceil(count / parent.units_per_parent)
                needed[parent.step] = needed.get(parent.step, 0) + whole
    return tuple(found)


def batches(book: FarmBook) -> tuple[Batch, ...]:
    """Return every start of the farm's week."""
    return tuple(batch for variety in book.varieties for batch in variety_batches(book, variety))


@dataclass(frozen=True, slots=True)
class WeeklyLoad:
    """What the rhythm takes, in expectation."""

    bench_minutes: dict[Weekday, float]
    litres: dict[tuple[str, Weekday], float]  # by kind of cook and the weekday it is cooked
    places: dict[str, float]  # by "incubation", "ripening" or the climate of a grow room
    jars_out: float
    labour_hours: float  # bench, preparation, cooks, hands, picking, rounds; not van and market


def cook_weekday(step: Step, weekday: Weekday) -> Weekday:
    """Return the weekday on which the vessels of a start are cooked."""
    lead = max((p.lead_hours for p in step.preparations if p.task == "cook"), default=0.0)
    return list(Weekday)[(weekday.number - math.ceil(lead / 24.0)) % 7]


def weekly_load(book: FarmBook) -> WeeklyLoad:
    """Add up what the rhythm takes of bench, sterilisers, places, jars and people."""
    tally = _Tally(book)
    for variety in book.varieties:
        route = route_of(book, variety)
        week = variety_batches(book, variety)
        for batch in week:
            tally.start(route.step(batch.step), batch)
        made = sum(batch.count for batch in week if batch.step == "block")
        tally.stand(route, made * (1.0 - route.step("block").loss.mean))
    return tally.load()


class _Tally:
    """Sums of one week."""

    def __init__(self, book: FarmBook) -> None:
        self.book = book
        self.vessels = {vessel.code: vessel for vessel in book.vessels}
        self.bench: dict[Weekday, float] = {}
        self.litres: dict[tuple[str, Weekday], float] = {}
        self.places: dict[str, float] = {}
        self.jars = 0.0
        self.minutes = 0.0

    def start(self, step: Step, batch: Batch) -> None:
        """Count a batch: bench, hands, preparation, steriliser, shelf and jars."""
        at_bench = batch.count * step.bench_minutes + step.bench_setup_minutes
        self.bench[batch.weekday] = self.bench.get(batch.weekday, 0.0) + at_bench
        self.minutes += at_bench + batch.count * step.hands_minutes
        for preparation in step.preparations:
            self.minutes += preparation.minutes_fixed + preparation.minutes_per_unit * batch.count
        if step.cook:
            key = (step.cook, cook_weekday(step, batch.weekday))
            litres = batch.count * self.vessels[step.vessel].litres
            self.litres[key] = self.litres.get(key, 0.0) + litres
        stay = step.days.mean + (2.0 if step.code == "block" else 7.0)
        if step.kind is StepKind.TRANSFER:
            self._occupy("incubation", batch.count * step.places, stay)
        if step.vessel == "jar":
            self.jars += batch.count * (stay + 3.0) / 7.0

    def stand(self, route: Route, alive: float) -> None:
        """Count a week's blocks through ripening and the grow room."""
        for step in route.steps:
            if step.kind is StepKind.STAND:
                self._occupy("ripening", alive * step.places, step.days.mean + 2.0)
                self.minutes += alive * step.hands_minutes
            if step.kind is StepKind.FRUIT:
                self._occupy(step.climate, alive * step.places, room_days(step))
                kilograms = alive * saleable_g_per_block(route, 0.0) / 1000.0
                self.minutes += alive * step.hands_minutes + kilograms * step.pick_minutes_per_kg

    def _occupy(self, where: str, places_a_week: float, days: float) -> None:
        self.places[where] = self.places.get(where, 0.0) + places_a_week * days / 7.0

    def load(self) -> WeeklyLoad:
        """Return the sums with the cooks' and the rounds' minutes."""
        kinds = {kind.code: kind for machine in self.book.sterilisers for kind in machine.cooks}
        farm = self.book.farm
        growing = sum(1 for room in self.book.rooms if room.climates)
        minutes = self.minutes + sum(kinds[kind].hands_minutes for kind, _ in self.litres)
        minutes += growing * farm.morning_round_minutes * len(farm.working_days)
        return WeeklyLoad(self.bench, self.litres, self.places, self.jars, minutes / 60.0)


def room_days(step: Step) -> float:
    """Return the days a fruiting unit stands in its grow room, from entry to its last pick."""
    gaps = sum(flush.gap_days.mean for flush in step.flushes)
    return step.days.mean + gaps + step.flushes[-1].pick_days
