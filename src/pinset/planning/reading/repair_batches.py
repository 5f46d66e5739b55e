"""Which batches could serve a promise: of which step, started when, and how large."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from math import ceil

from pinset.planning.problem import Order, Problem
from pinset.planning.recipes import Making, Recipe
from pinset.planning.season.chances import OrderChance

GENEROUS = 1.5  # times what is missing where the order is not met
MOST_DAYS = 2  # start days that are tried for one order


@dataclass(frozen=True, slots=True)
class _Making:
    """The step whose units serve an order, and when they must be ready for it."""

    recipe: Recipe
    making: Making
    soonest: int  # days from ready to the order's day
    latest: int
    each: float  # grams, or units, that one of them gives

    def days(self, day: int) -> list[int]:
        """Return its start days that are in time for a day."""
        last = self.latest + self.making.window_days
        return [
            start
            for start in self.making.start_days
            if self.soonest <= day - self.making.ready(start) <= last
        ]


def _making_of(problem: Problem, order: Order) -> _Making | None:
    recipe = problem.recipe(order.variety)
    if recipe is None:
        return None
    fruiting, step = recipe.fruiting, order.step
    soonest, latest, each = 0, 0, 1.0
    if step == "picked":
        if fruiting is None or not fruiting.curve:
            return None
        step, first = fruiting.parent, fruiting.curve[0]
        soonest, latest = first.day, first.day + recipe.picked_keeps_days
        each = sum(pick.grams for pick in fruiting.curve if pick.flush == first.flush)
    making = next((m for m in recipe.makings if m.step == step), None)
    if making is None or each <= 0.0:
        return None
    return _Making(recipe, making, soonest, latest, each)


def first_later(problem: Problem, order: Order) -> tuple[str, date] | None:
    """Return the step and day of what is first started for an order, if that is past near days."""
    of = _making_of(problem, order)
    days = of.days(order.day) if of is not None else []
    if of is None or not days or min(days) < problem.whole_days:
        return None
    return of.making.step, problem.date_of(min(days))


def is_any_in_time(problem: Problem, order: Order) -> bool:
    """Say whether anything that is started from now on could be there for an order."""
    of = _making_of(problem, order)
    return of is not None and bool(of.days(order.day))


def batches_for(
    problem: Problem, order: Order, chance: OrderChance
) -> Iterator[tuple[Recipe, Making, int, tuple[int, ...]]]:
    """Yield the batches of the near days that can be there for an order, the latest first.

    Each with its sizes, the largest first: half of it may fit where the whole does not. Days on
    which nobody could make it are passed over, so that those before them are tried.
    """
    of = _making_of(problem, order)
    if of is None or of.making.is_purchase:
        return
    least = of.making.minimum_batch
    units = ceil(GENEROUS * max(chance.lacking, 1.0) / of.each / max(of.making.usable, 0.05))
    sizes = tuple(dict.fromkeys((max(units, least), max(ceil(units / 2), least))))
    fits = [
        day for day in of.days(order.day) if day < problem.whole_days and is_staffed(problem, day)
    ]
    for day in sorted(fits, reverse=True)[:MOST_DAYS]:
        yield of.recipe, of.making, day, sizes


def is_staffed(problem: Problem, day: int) -> bool:
    """Say whether anybody has time at the bench, in the laboratory and at all on a day."""
    of = problem.resources
    rows = (of.bench_minutes, of.laboratory_minutes, of.hands_minutes)
    return all(row[day] > 0.0 for row in rows if day < len(row))
