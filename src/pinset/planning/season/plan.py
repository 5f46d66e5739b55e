"""What a plan does by day, in the numbers of its problem: starts, parents, moves, sales."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field

from pinset.planning.plan import Plan
from pinset.planning.problem import IN_STORE, Problem
from pinset.planning.recipes import Fruiting

Kept = tuple[str, str, int, int]
"""A room, its climate, the first day and the last."""


@dataclass(slots=True)
class PlannedDays:
    """A plan's decisions. Keys begin with the recipe's number; days count from the problem's."""

    starts: dict[tuple[int, int, int], float] = field(default_factory=dict)  # making, day
    parents: dict[tuple[int, int, int], dict[int, float]] = field(default_factory=dict)  # by arc
    moves: dict[tuple[int, int], float] = field(default_factory=dict)
    sales: dict[tuple[int, int, int], list[int]] = field(default_factory=dict)  # order numbers
    picked: dict[tuple[int, int], list[int]] = field(default_factory=dict)
    largest: dict[tuple[int, int], float] = field(default_factory=dict)  # batch of a making
    cold: dict[tuple[str, str, int], float] = field(default_factory=dict)  # lot, step, last day
    kept: list[Kept] = field(default_factory=list)  # climates of rooms that can give several

    def move_days(self, r: int, fruiting: Fruiting) -> frozenset[int]:
        """Return the days on which units of a recipe may be moved.

        Those of a plan that gave up its own rhythm are among them.
        """
        planned = {day for recipe, day in self.moves if recipe == r}
        return frozenset(fruiting.move_days) | planned


def planned_days(problem: Problem, plan: Plan) -> PlannedDays:
    """Return what a plan decides, by day.

    Parameters
    ----------
    problem : Problem
        The farm; its orders are numbered as they stand there.
    plan : Plan
        Made for that problem. What it does before the problem's first day is left out.
    """
    found = PlannedDays()
    numbers = {recipe.variety: r for r, recipe in enumerate(problem.recipes)}
    makings = {
        (r, making.step): k
        for r, recipe in enumerate(problem.recipes)
        for k, making in enumerate(recipe.makings)
    }
    for start in plan.starts:
        r, day = numbers.get(start.variety, -1), (start.day - problem.start).days
        k = makings.get((r, start.step))
        if k is None or day < 0:
            continue
        found.starts[r, k, day] = found.starts.get((r, k, day), 0.0) + start.count
        arcs = {arc.parent: a for a, arc in enumerate(problem.recipes[r].makings[k].arcs)}
        used = found.parents.setdefault((r, k, day), {})
        for parent in start.parents:
            a = arcs[parent.step]
            used[a] = used.get(a, 0.0) + parent.units
        found.largest[r, k] = max(found.largest.get((r, k), 0.0), found.starts[r, k, day])
    moves: dict[tuple[int, int], float] = defaultdict(float)
    for move in plan.moves:
        r, day = numbers.get(move.variety, -1), (move.day - problem.start).days
        fruiting = problem.recipes[r].fruiting if r >= 0 else None
        if fruiting is not None and move.step == fruiting.step and day >= 0:
            moves[r, day] += move.count
    found.moves.update(moves)
    _kept(problem, plan, found)
    _sold(problem, numbers, makings, found)
    return found


def _sold(
    problem: Problem,
    numbers: Mapping[str, int],
    makings: Mapping[tuple[int, str], int],
    found: PlannedDays,
) -> None:
    """Add the orders by the day on which they are packed, what is handed over first before."""
    for number, order in enumerate(problem.orders):
        r = numbers.get(order.variety, -1)
        is_picked = order.step == "picked"
        if r < 0 or not (IN_STORE if is_picked else 0) <= order.day < problem.days:
            continue
        if is_picked:
            found.picked.setdefault((r, order.day), []).append(number)
        elif (r, order.step) in makings:
            found.sales.setdefault((r, makings[r, order.step], order.day), []).append(number)
    for here in found.picked.values():
        here.sort(key=lambda number: problem.orders[number].due)


def _kept(problem: Problem, plan: Plan, found: PlannedDays) -> None:
    """Add which blocks are kept cold, and in which climates rooms are kept."""
    for cold in plan.kept_cold:
        found.cold[cold.lot, cold.step, (cold.here - problem.start).days] = cold.units
    found.kept += [
        (
            each.room,
            each.climate,
            (each.since - problem.start).days,
            (each.until - problem.start).days,
        )
        for each in plan.climates
    ]
