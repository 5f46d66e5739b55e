"""The same farm without days of rest or rhythm, to tell nature from what people have set."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from numpy import float64
from numpy.typing import NDArray

from pinset.planning.model.columns import Model
from pinset.planning.model.reach import Causes
from pinset.planning.problem import Problem
from pinset.planning.reading.explain import noun_for
from pinset.planning.reading.pegging import Key
from pinset.planning.recipes import Fruiting, Making, Recipe

LEAST_UNITS = 0.5  # fewer are not worth naming
DEARER = 3.0  # a start on a day that is not the farm's own costs so many times its units
DELIVERED = "delivered"
MOVE_PRICE = 1.0  # the same for a unit moved


@dataclass(frozen=True, slots=True)
class OtherDay:
    """A start or a move on a day that is not set for it, and what it would help."""

    key: Key
    day: int
    units: float
    words: str


def on_any_day(problem: Problem) -> Problem:
    """Return the problem with starts and moves on every day, and people there every day.

    A supplier's days stay: nobody on the farm sets them. Nothing is asked for beyond the promises.
    Whatever the farm's own days allow is possible here too: what would have waited over days off
    for somebody to pick it keeps so much longer, and parents are not rounded.
    """
    recipes = tuple(
        replace(
            recipe,
            makings=tuple(_making(each, recipe.days) for each in recipe.makings),
            fruiting=_fruiting(recipe.fruiting, recipe.days),
        )
        for recipe in problem.recipes
    )
    return replace(
        problem,
        recipes=recipes,
        is_picked_any_day=True,
        whole_parent_days=problem.days,
        has_end_stock=False,
    )


def with_everybody_there(problem: Problem) -> Problem:
    """Return the problem as if somebody were there every day.

    They take every delivery of the suppliers, and soak, load and open cooks on whichever day.
    """
    resources = problem.resources
    staffed = resources.staffed
    sterilisers = tuple(
        replace(
            each,
            hours=_as_on_others(each.hours, staffed),
            count=_as_on_others(each.count, staffed),
        )
        for each in resources.sterilisers
    )
    return replace(
        problem,
        recipes=tuple(
            replace(recipe, makings=tuple(_with_deliveries(each) for each in recipe.makings))
            for recipe in problem.recipes
        ),
        resources=replace(
            resources,
            sterilisers=sterilisers,
            first_cook=resources.first_cook_always,
            too_wet=(),
            ready=(),
        ),
    )


def _as_on_others(row: tuple[float, ...], staffed: tuple[float, ...]) -> tuple[float, ...]:
    """Return a row with what is possible on the best of its days also where nobody is there."""
    most = max(row, default=0.0)
    return tuple(
        most if day < len(staffed) and not staffed[day] else amount
        for day, amount in enumerate(row)
    )


def _with_deliveries(making: Making) -> Making:
    """Return what is bought with the deliveries that are missed else, each on a day of its own."""
    pairs = dict(zip(making.start_days, making.ready_days, strict=False))
    if not making.missed or len(pairs) < len(making.start_days):
        return making
    for each in making.missed:
        earlier, later = range(each.order_day, -1, -1), range(each.order_day + 1, each.day + 1)
        day = next((day for day in (*earlier, *later) if day not in pairs), None)
        if day is not None:
            pairs[day] = each.ready_day
    days = tuple(sorted(pairs))
    return replace(making, start_days=days, ready_days=tuple(pairs[day] for day in days))


def _making(making: Making, days: int) -> Making:
    if making.is_purchase or making.ready_days or not making.start_days:
        return making
    return replace(making, start_days=tuple(range(days)), batch_cost_by_day=())


def _fruiting(fruiting: Fruiting | None, days: int) -> Fruiting | None:
    if fruiting is None or not fruiting.move_days:
        return fruiting
    return replace(fruiting, move_days=tuple(range(days)))


def charge_other_days(model: Model, own: Problem) -> dict[int, float]:
    """Return dearer prices of the starts and moves that the farm's own days do not have."""
    prices = {}
    for (r, k, t), x in model.x.items():
        making = own.recipes[r].makings[k]
        if t not in making.start_days:
            prices[x] = DEARER * max(0.01, making.unit_cost)
    for (r, _, t), v in model.v.items():
        if not _is_move_day(own.recipes[r], t):
            prices[v] = MOVE_PRICE
    return prices


def used_other_days(
    model: Model, own: Problem, values: NDArray[float64], keys: Iterable[Key]
) -> list[OtherDay]:
    """Return what on other days can serve what is short: deliveries, then what is largest."""
    causes = Causes(model)
    found = [
        OtherDay(key, day, units, words)
        for key in keys
        for column, day, units, words in _used(model, own, values, key[0])
        if causes.can_reach(column, key)
    ]
    return sorted(found, key=lambda each: (DELIVERED not in each.words, -each.units, each.day))


def _used(
    model: Model, own: Problem, values: NDArray[float64], r: int
) -> Iterator[tuple[int, int, float, str]]:
    recipe = own.recipes[r]
    for (owner, k, t), x in model.x.items():
        making = recipe.makings[k] if owner == r else None
        units = float(values[x])
        if making is not None and units >= LEAST_UNITS and t not in making.start_days:
            yield x, *_said(making, model.problem.recipes[r].makings[k].ready(t), t, units)
    blocks = recipe.making(recipe.fruiting.parent) if recipe.fruiting is not None else None
    for (owner, _, t), v in model.v.items():
        units = float(values[v])
        if owner == r and blocks and units >= LEAST_UNITS and not _is_move_day(recipe, t):
            yield v, t, units, f"{noun_for(blocks, 2)} moved to the grow room"


def _said(making: Making, ready: int, day: int, units: float) -> tuple[int, float, str]:
    """Return the day that a start on another day needs somebody on, its units, and what it is."""
    delivered = next((each.day for each in making.missed if each.ready_day == ready), None)
    if making.is_purchase and delivered is not None:
        return delivered, units, f"{noun_for(making, 2)} {DELIVERED}"
    return day, units, f"{noun_for(making, 2)} started"


def _is_move_day(recipe: Recipe, day: int) -> bool:
    return recipe.fruiting is not None and day in recipe.fruiting.move_days
