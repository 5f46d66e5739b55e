"""Pins that a plan does not keep, and what stands in their way."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor

from numpy import float64
from numpy.typing import NDArray

from pinset.planning.model.columns import Model, PinRow
from pinset.planning.model.programme import Change, run
from pinset.planning.reading.shortfall import Lack

LEAST_BROKEN = 1e-3  # of a unit
LEAST_LACK = 1e-4  # of any unit
EARLIER = 0.01  # of its price, for every day that a parent is bought too soon


@dataclass(frozen=True, slots=True)
class Missing:
    """Parents that would have to be there for a pin: recipe, making, day, units."""

    recipe: int
    making: int
    day: int
    units: float


@dataclass(frozen=True, slots=True)
class Broken:
    """A pin that cannot be kept in full, what the plan has of it, and what stands in its way."""

    planned: float
    lacks: tuple[Lack, ...]
    missing: tuple[Missing, ...]


def ask_what_can_be(model: Model, *, time_limit_s: float, threads: int) -> dict[int, Broken]:
    """Lower every pin to what can be kept of it in fractions; return those lowered, and why.

    Nothing else costs anything in this pass. Without it the price of a pin that cannot be kept
    would be in every plan, and the gap would be measured against that.
    """
    lp = model.programme
    cost = dict.fromkeys(range(len(lp.cost)), 0.0)
    cost |= dict.fromkeys((column for pin in model.pins for column in (pin.less, pin.more)), 1.0)
    change = Change(cost=cost, is_relaxed=True)
    best = run(lp, time_limit_s=time_limit_s / 2, threads=threads, change=change)
    if best.values is None:
        return {}
    found = broken_pins(model, best.values, time_limit_s=time_limit_s / 2, threads=threads)
    for pin in model.pins:
        if pin.number in found:
            kept = found[pin.number].planned
            whole = model.is_whole(model.problem.pins[pin.number].day)
            asked = float(floor(kept + LEAST_BROKEN)) if whole else kept
            lp.row_lower[pin.row] = lp.row_upper[pin.row] = asked
    return found


def broken_pins(
    model: Model, values: NDArray[float64], *, time_limit_s: float, threads: int
) -> dict[int, Broken]:
    """Return the pins that a plan does not keep, by their number in the problem, and why.

    For each, what it needs is for hire and its parents for sale, and only that costs anything:
    what is hired or bought is what stands in its way. In fractions, a fraction of a second each.
    """
    found = {}
    rows = [pin for pin in model.pins if _miss(pin, values) > LEAST_BROKEN]
    for pin in rows:
        planned = sum(float(values[each]) for each in columns_of_row(model, pin))
        limit = time_limit_s / len(rows)
        lacks, missing = _in_the_way(model, pin, time_limit_s=limit, threads=threads)
        found[pin.number] = Broken(planned, lacks, missing)
    return found


def _miss(pin: PinRow, values: NDArray[float64]) -> float:
    return float(values[pin.less]) + float(values[pin.more])


def columns_of_row(model: Model, pin: PinRow) -> list[int]:
    """Return the columns that a pin's row counts."""
    lp = model.programme
    begin, end = lp.starts[pin.row], lp.starts[pin.row + 1]
    return [each for each in lp.index[begin:end] if each not in {pin.less, pin.more}]


def _in_the_way(
    model: Model, pin: PinRow, *, time_limit_s: float, threads: int
) -> tuple[tuple[Lack, ...], tuple[Missing, ...]]:
    lp = model.programme
    hire = {each.row: each.price for each in model.capacities}
    day = model.problem.pins[pin.number].day
    buy = {  # a little dearer the earlier, so that a need is told for the day it arises
        row: max(0.01, model.needs[r][k].unit_cost) * (1.0 + EARLIER * abs(day - t))
        for (r, k, t), row in model.supply.items()
    }
    change = Change(
        upper={pin.less: 0.0, pin.more: 0.0},
        cost=dict.fromkeys(range(len(lp.cost)), 0.0),
        slack={**hire, **buy},
        is_relaxed=True,
    )
    forced = run(lp, time_limit_s=time_limit_s, threads=threads, change=change)
    if forced.values is None:
        return (), ()
    taken = [float(each) for each in forced.values[len(lp.cost) :]]
    hired, bought = taken[: len(hire)], taken[len(hire) :]
    lacks = [
        Lack(each.resource, each.day, amount, each.unit, amount * each.price, each)
        for each, amount in zip(model.capacities, hired, strict=True)
        if amount > LEAST_LACK
    ]
    missing = [
        Missing(r, k, day, amount)
        for (r, k, day), amount in zip(model.supply, bought, strict=True)
        if amount > LEAST_LACK
    ]
    lacks.sort(key=lambda lack: -lack.worth)
    return tuple(lacks), tuple(sorted(missing, key=lambda each: -each.units))
