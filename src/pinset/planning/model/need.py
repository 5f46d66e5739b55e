"""How many units a recipe needs: rates for the end of the horizon, and the largest sensible batch.

Both are reckoned from the promises backwards through the chain. They bound and close the model;
they decide nothing by themselves.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil

from pinset.planning.problem import Order, Problem
from pinset.planning.recipes import Making, Recipe

MONTH = 28  # days that the rate at the end is averaged over
USUAL_AT_ONCE = 2.0  # usual batches: more is not started at once, unless one order asks for it
ROOM_FOR_ROUNDING = 1.3
SPARE_UNITS = 4.0
LEAST_USUAL = 2.0  # units; a batch of one is rare
WELL_ABOVE = 2.0  # least batches: a usual batch of so many is hardly ever below the least


@dataclass(frozen=True, slots=True)
class Need:
    """What one making must supply."""

    largest_batch: float  # units started at once, at most
    usual_batch: float  # units started at once on the fixed weekdays, on average
    end_rate: float  # usable units used per day at the end of the horizon
    unit_cost: float  # what a usable unit costs to make, parents included
    full_cost: float  # and with its share of what a usual batch costs, all the way up the chain


def needs(problem: Problem, recipe: Recipe) -> tuple[Need, ...]:
    """Return what each making of a recipe must supply, in the order of the makings."""
    orders = [order for order in problem.orders if order.variety == recipe.variety]
    picked = _daily(recipe, [order for order in orders if order.step == "picked"])
    used_peak: dict[str, float] = {}  # usable units a day, in the busiest month
    used_end: dict[str, float] = {}
    batch: dict[str, float] = {}  # usable units a single day may ask for
    fruiting = recipe.fruiting
    for making in recipe.makings:
        sold = _daily(recipe, [order for order in orders if order.step == making.step])
        used_peak[making.step] = _busiest(sold, MONTH) / MONTH
        used_end[making.step] = sum(sold[-MONTH:]) / MONTH
        batch[making.step] = max(sold, default=0.0)
    if fruiting is not None and fruiting.grams > 0:
        code = fruiting.parent
        used_peak[code] += _busiest(picked, MONTH) / MONTH / fruiting.grams
        used_end[code] += sum(picked[-MONTH:]) / MONTH / fruiting.grams
        waits = max((order.due_after for order in orders if order.step == "picked"), default=0)
        batch[code] += max(picked, default=0.0) / _busiest_share(recipe, waits)
    found: dict[str, Need] = {}
    costs = unit_costs(recipe)
    usual_batches: dict[str, float] = {}
    for making in reversed(recipe.makings):
        peak, end = used_peak[making.step], used_end[making.step]
        usable = max(making.usable, 0.05)
        often = _starts_a_day(making, recipe)
        usual = max(LEAST_USUAL, peak / usable / max(often, 1e-3))
        largest = making.largest_batch
        if largest <= 0:
            asked = ROOM_FOR_ROUNDING * batch[making.step] + making.culture_stock
            largest = ceil(max(USUAL_AT_ONCE * usual, asked / usable) + SPARE_UNITS)
            largest = max(largest, float(making.minimum_batch))
        usual_batches[making.step] = min(largest, usual)
        found[making.step] = Need(largest, min(largest, usual), end, costs[making.step], 0.0)
        for arc in making.arcs:
            goes = max(arc.units_per_parent, 1e-6)
            loss = 0.0 if arc.part_use else 0.5
            for rates, rate in ((used_peak, peak), (used_end, end)):
                started = rate / usable
                rates[arc.parent] += started / goes + loss * min(often, started)
            batch[arc.parent] = max(batch[arc.parent], largest / goes + 2 * loss)
    full = unit_costs(recipe, usual_batches)
    return tuple(
        replace(found[making.step], full_cost=full[making.step]) for making in recipe.makings
    )


def has_batches_far(making: Making, need: Need) -> bool:
    """Whether batches of far weeks are whole, too: started with the least batch or not at all.

    In fractions a step that needs less than its least batch at a time would start a part of one
    every week, which nobody can do.
    """
    return making.minimum_batch > 1 and need.usual_batch < WELL_ABOVE * making.minimum_batch


def unit_costs(recipe: Recipe, batches: Mapping[str, float] | None = None) -> dict[str, float]:
    """Return what a usable unit of each making costs, parents included.

    With the units in a batch of each making, its share of what a batch costs is included too.
    """
    found: dict[str, float] = {}
    for making in recipe.makings:
        parents = min(
            (found[arc.parent] / max(arc.units_per_parent, 1e-6) for arc in making.arcs),
            default=0.0,
        )
        batch = making.batch_cost / batches[making.step] if batches else 0.0
        found[making.step] = (making.unit_cost + batch + parents) / max(making.usable, 0.05)
    return found


def _daily(recipe: Recipe, orders: Sequence[Order]) -> list[float]:
    row = [0.0] * recipe.days
    for order in orders:
        if 0 <= order.day < recipe.days:
            row[order.day] += order.amount
    return row


def _busiest(row: Sequence[float], width: int) -> float:
    """Return the largest sum over so many days in a row."""
    total = best = sum(row[:width])
    for day in range(width, len(row)):
        total += row[day] - row[day - width]
        best = max(best, total)
    return best


LEAST_SEASON = 0.1
"""A month that bears less than this share of the usual is not planned against with ever more."""


def _busiest_share(recipe: Recipe, waits: int) -> float:
    """Return the most grams of one unit that can be sold on a single day, when it bears least.

    What is packed must keep so many days longer as it ``waits`` to be handed over.
    """
    fruiting = recipe.fruiting
    if fruiting is None or not fruiting.curve:
        return 1.0
    keeps, least = max(0, recipe.picked_keeps_days - waits), min(fruiting.season, default=1.0)
    most = max(
        sum(each.grams for each in fruiting.curve if last - keeps <= each.day <= last)
        for last in {each.day for each in fruiting.curve}
    )
    return most * max(least, LEAST_SEASON)


def _starts_a_day(making: Making, recipe: Recipe) -> float:
    return len(making.start_days) / max(1, recipe.days)
