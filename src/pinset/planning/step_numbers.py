"""What a step's own numbers mean to the plan: losses, yields, keeping times, picking curve."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil, exp, floor, sqrt
from statistics import NormalDist

from pinset.chain.register import FarmBook, RoomKind, Route, Spread, Step, StepKind, Variety
from pinset.chain.stages import FRUITING_STAGES
from pinset.planning.problem import Picking, Stay

COLD_BELOW_C = 10.0  # a room no warmer than this stores cold
NO_FLOOR_C = -5.0  # where a step names no temperature below which it dies


@dataclass(frozen=True, slots=True)
class Safety:
    """How cautious the plan's numbers are; None plans with the expected value."""

    loss_quantile: float | None = None  # 0.95: losses exceeded once in twenty
    yield_quantile: float | None = None  # 0.05: yields missed once in twenty


DEFAULT_SAFETY = Safety()


def quantile(spread: Spread, probability: float) -> float:
    """Return a quantile of a triangular distribution.

    Examples
    --------
    >>> quantile(Spread(0.0, 0.5, 1.0), 0.5)
    0.5
    """
    width = spread.high - spread.low
    if width <= 0.0:
        return spread.mode
    at_mode = (spread.mode - spread.low) / width
    if probability <= at_mode:
        return spread.low + sqrt(probability * width * (spread.mode - spread.low))
    return spread.high - sqrt((1.0 - probability) * width * (spread.high - spread.mode))


def planned_loss(step: Step, safety: Safety) -> float:
    """Return the fraction lost in a step that the plan reckons with."""
    loss = (
        step.loss.mean
        if safety.loss_quantile is None
        else quantile(step.loss, safety.loss_quantile)
    )
    return min(max(loss, 0.0), 1.0)


def planned_yield_g(step: Step, safety: Safety) -> float:
    """Return the yield of one unit that the plan reckons with, in g.

    ``yield_g`` is the most likely yield (the mode); with ``yield_spread`` the standard deviation of
    its logarithm, the mean of the lognormal is ``yield_g * exp(1.5 spread**2)``.
    """
    variance = step.yield_spread**2
    if safety.yield_quantile is None:
        return step.yield_g * exp(1.5 * variance)
    z = NormalDist().inv_cdf(safety.yield_quantile)
    return step.yield_g * exp(variance + z * step.yield_spread)


def whole_days(days: float) -> int:
    """Return a mean duration in whole days, rounded up."""
    return max(0, ceil(days - 1e-9))


def is_cold(temperature_c: float) -> bool:
    """Whether a place at this temperature stores cold."""
    return temperature_c <= COLD_BELOW_C


def cold_store_takes(book: FarmBook, step: Step) -> bool:
    """Whether the farm has a cold store in which units of this step may wait."""
    if step.keeps_days_cold is None or step.stage in FRUITING_STAGES:
        return False
    floor_c = step.cold_min_c if step.cold_min_c is not None else NO_FLOOR_C
    return any(
        room.kind is RoomKind.COLD and room.holds > 0 and room.temperature_c >= floor_c
        for room in book.rooms
    )


def keeps_days(book: FarmBook, step: Step) -> int:
    """Return how many days after the ready day units of a step stay usable where they wait."""
    cold = step.keeps_days_cold
    if cold is not None and (is_cold(step.temperature_c) or cold_store_takes(book, step)):
        return max(0, floor(cold))
    return max(0, floor(step.keeps_days_warm))


def groups(route: Route) -> tuple[tuple[Step, tuple[Step, ...]], ...]:
    """Return each step that makes or buys units, with the standing steps that follow it."""
    found: list[tuple[Step, list[Step]]] = []
    for step in route.steps:
        if step.kind in {StepKind.TRANSFER, StepKind.BUY}:
            found.append((step, []))
        elif step.kind is StepKind.STAND and found:
            found[-1][1].append(step)
    return tuple((first, tuple(stands)) for first, stands in found)


def making_code(route: Route, step: str) -> str | None:
    """Return the code of the making a step belongs to, or None."""
    for first, stands in groups(route):
        if step == first.code or any(step == stand.code for stand in stands):
            return first.code
    return None


def curve_of(step: Step, variety: Variety, safety: Safety) -> tuple[Picking, ...]:
    """Return the expected saleable grams of one unit by day after room entry."""
    grams = planned_yield_g(step, safety) * (1.0 - variety.trim_loss)
    begins = step.days.mean
    curve: list[Picking] = []
    for number, flush in enumerate(step.flushes, start=1):
        begins += flush.gap_days.mean if number > 1 else 0.0
        days = max(1, flush.pick_days)
        each = grams * flush.share * (1.0 - flush.lost_before) / days
        first = whole_days(begins)
        curve += [Picking(first + day, each, number) for day in range(days)]
        begins = first + days - 1
    if not step.flushes and grams > 0.0:
        curve = [Picking(whole_days(begins), grams * (1.0 - planned_loss(step, safety)), 1)]
    return tuple(curve)


def room_for(book: FarmBook, step: Step) -> str:
    """Return the room of the step's kind that comes nearest to its temperature, or nothing."""
    rooms = [room for room in book.rooms if room.kind is step.room and room.holds > 0]
    if not rooms:
        return ""
    return min(rooms, key=lambda room: abs(room.temperature_c - step.temperature_c)).code


def stays_of(book: FarmBook, steps: Iterable[Step], begin: int = 0) -> tuple[Stay, ...]:
    """Return where units stand through consecutive steps, from ``begin`` on."""
    stays: list[Stay] = []
    day = float(begin)
    for number, step in enumerate(steps):
        until = day + step.days.mean
        if whole_days(until) > whole_days(day):
            stays.append(
                Stay(
                    step.code,
                    step.room,
                    step.places,
                    whole_days(day),
                    whole_days(until),
                    number > 0,
                    room_for(book, step),
                )
            )
        day = until
    return tuple(stays)
