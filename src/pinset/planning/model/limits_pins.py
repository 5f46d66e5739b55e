"""Pins (13): so many units on a day, at a price no plan pays if it can be helped."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from numpy import float64
from numpy.typing import NDArray

from pinset.planning.model.columns import GRAMS_PER_KG, Model, PinRow
from pinset.planning.model.programme import INFINITY
from pinset.planning.problem import Pinned, Problem
from pinset.planning.recipes import Recipe

DEARER = 10.0  # than the dearest unit of the farm, with all that hangs on it
MOST_PRICE = 2000.0  # a unit, assumed: a kilogram short costs 25; dearer would only slow the search
HELD = 1e-6  # either way, round what a pin was found to allow


def counted(problem: Problem) -> dict[tuple[str, str, int], float]:
    """Return what is pinned by variety, step and day, where it is more than none."""
    return {
        (pin.variety, pin.step, pin.day): pin.count
        for pin in problem.pins
        if pin.count > 0 and not pin.refused and not pin.steriliser
    }


def keep_pins(model: Model) -> None:
    """Write a row for every pin: what is planned, and what is missing or too much at a price."""
    lp = model.programme
    worth = max((_worth(recipe) for recipe in model.problem.recipes), default=1.0)
    price = min(MOST_PRICE, DEARER * worth)
    for number, pin in enumerate(model.problem.pins):
        columns = columns_of(model, pin)
        if pin.steriliser and pin.count <= 0:
            for column in columns:
                lp.upper[column] = 0.0
        if pin.refused or pin.count <= 0 or not columns:
            continue
        less, more = lp.column(price), lp.column(price)
        terms = [(column, 1.0) for column in columns]
        row = lp.row([*terms, (less, 1.0), (more, -1.0)], pin.count, pin.count)
        model.pins.append(PinRow(number, row, less, more))


def columns_of(model: Model, pin: Pinned) -> list[int]:
    """Return the columns a pin counts: one start, moves into all rooms, or cooks."""
    if pin.steriliser:
        n = model.n.get((pin.steriliser, pin.step, pin.day))
        return [n] if n is not None and model.is_by_day(pin.day) else []
    for r, recipe in enumerate(model.problem.recipes):
        if recipe.variety != pin.variety:
            continue
        starts = [
            model.x[r, k, pin.day]
            for k, making in enumerate(recipe.makings)
            if making.step == pin.step and (r, k, pin.day) in model.x
        ]
        fruiting = recipe.fruiting
        if fruiting is None or fruiting.step != pin.step:
            return starts
        return [v for (owner, _, t), v in model.v.items() if (owner, t) == (r, pin.day)]
    return []


def _worth(recipe: Recipe) -> float:
    """Return what the dearest unit of a recipe is worth: all that would be short without it."""
    worth = {making.step: making.short_cost for making in recipe.makings}
    fruiting = recipe.fruiting
    if fruiting is not None and fruiting.parent in worth:
        kilograms = fruiting.grams / GRAMS_PER_KG
        worth[fruiting.parent] = max(worth[fruiting.parent], recipe.short_cost_per_kg * kilograms)
    for making in reversed(recipe.makings):
        for arc in making.arcs:
            of_parent = worth[making.step] * making.usable * arc.units_per_parent
            worth[arc.parent] = max(worth.get(arc.parent, 0.0), of_parent)
    return max((1.0, *worth.values()))


def harden_pins(model: Model, *, but: Collection[int] = ()) -> None:
    """Make the rows of pins hold whatever it costs, but those of some, which have their price."""
    for pin in model.pins:
        is_hard = pin.number not in but
        for column in (pin.less, pin.more):
            model.programme.upper[column] = 0.0 if is_hard else INFINITY


def pinned_values(model: Model) -> dict[int, float]:
    """Return the pinned starts as a start for the search."""
    counts = {row.number: model.programme.row_upper[row.row] for row in model.pins}
    found = {}
    for number, count in counts.items():
        columns = columns_of(model, model.problem.pins[number])
        if len(columns) == 1:
            found[columns[0]] = count
    for key, s in model.s.items():
        if model.x[key] in found:
            found[s] = 1.0 if found[model.x[key]] > 0 else 0.0
    return found


def start_with_pins(model: Model, start: Mapping[int, float]) -> dict[int, float]:
    """Return the previous plan's values as a start with the pinned units in their places.

    Where a pin asks for other units than that plan had, their parents, all cooks and all moves are
    left to the solver: with those of the plan there is hardly ever time and place for them.
    """
    pinned = pinned_values(model)
    changed = {
        key for key, x in model.x.items() if x in pinned and pinned[x] != start.get(x, pinned[x])
    }
    free = {p for key, p in model.p.items() if (key[0], key[1], key[3]) in changed}
    if changed:
        free |= {*model.n.values(), *model.v.values(), *model.made.values()} - set(pinned)
    return {n: value for n, value in {**start, **pinned}.items() if n not in free}


def hold_what_is_kept(model: Model, values: NDArray[float64]) -> None:
    """Hold every pin at what a plan has of it, free of charge: the rest is planned round that.

    A pin that cannot be kept would cost more than everything else, and the gap would be measured
    against that.
    """
    lp = model.programme
    for pin in model.pins:
        for column in (pin.less, pin.more):
            value = max(0.0, float(values[column]))
            lp.cost[column] = 0.0
            lp.lower[column], lp.upper[column] = max(0.0, value - HELD), value + HELD
