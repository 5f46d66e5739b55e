"""What a step's own numbers mean to the plan: losses, yields, keeping times, picking curve."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil, exp, floor
from statistics import NormalDist

from pinset.chain.cold_stores import cold_store_of
from pinset.chain.keeping import keeping_days
from pinset.chain.readiness import lead_days
from pinset.chain.register import FarmBook, Route, Step, StepKind, Variety
from pinset.chain.season_days import lasting_days
from pinset.chain.spreads import quantile
from pinset.planning.recipes import Picking, Stay

ROOM_FOR_FILLING = 1.6  # L that a vessel not described takes for a kg it is filled with; assumed


@dataclass(frozen=True, slots=True)
class Safety:
    """How cautious the plan's numbers are; None plans with the expected value."""

    loss_quantile: float | None = None  # 0.95: losses exceeded once in twenty
    yield_quantile: float | None = None  # 0.05: yields missed once in twenty


DEFAULT_SAFETY = Safety()


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


def keeps_days(book: FarmBook, step: Step) -> int:
    """Return how many days after the ready day units of a step stay usable where they wait."""
    cold = cold_store_of(book, step)
    warm = keeping_days(step, step.temperature_c)
    return floor(max(warm, keeping_days(step, cold.temperature_c)) if cold else warm)


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


def curve_of(
    step: Step, variety: Variety, safety: Safety, *, entered: date | None = None
) -> tuple[Picking, ...]:
    """Return the expected saleable grams of one unit by day after room entry.

    With the day of the entry its days are those of the months it falls into, else the usual.
    """
    grams = planned_yield_g(step, safety) * (1.0 - variety.trim_loss)
    begins = float(lead_days(step, since=entered))
    curve: list[Picking] = []
    for number, flush in enumerate(step.flushes, start=1):
        gap = flush.gap_days.mean if number > 1 else 0.0
        if entered is not None:
            gap = lasting_days(step.days_by_month, entered + timedelta(days=round(begins)), gap)
        begins += gap
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


def stays_of(
    book: FarmBook, steps: Iterable[Step], begin: int = 0, *, begins_on: date | None = None
) -> tuple[Stay, ...]:
    """Return where units stand through consecutive steps, from ``begin`` on.

    With the date of that day each step lasts as long as in its months, else as usual.
    """
    stays: list[Stay] = []
    day = begin
    for number, step in enumerate(steps):
        since = None if begins_on is None else begins_on + timedelta(days=day - begin)
        until = day + lead_days(step, since=since)
        if until > day:
            stays.append(
                Stay(
                    step.code,
                    step.room,
                    step.places,
                    day,
                    until,
                    number > 0,
                    room_for(book, step),
                )
            )
        day = until
    return tuple(stays)


def litres_of(book: FarmBook, step: Step) -> float:
    """Return how many litres of a steriliser one vessel of a step takes."""
    vessel = next((each for each in book.vessels if each.code == step.vessel), None)
    return vessel.litres if vessel is not None else step.fill_g * ROOM_FOR_FILLING / 1000.0
