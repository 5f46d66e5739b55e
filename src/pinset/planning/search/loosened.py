"""A plan that gives up its own weekly rhythm where that, and not the farm, would cost a promise."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import replace
from math import inf

from pinset.planning.plan import Plan
from pinset.planning.problem import Problem
from pinset.planning.reading.short_reason import ShortReason
from pinset.planning.recipes import Fruiting, Making, Recipe

LEAST_SHARE = 0.01
"""A plan without rhythm is taken if it leaves at least so much less of what its days cost."""


def solve_without_rhythm_if_it_costs(
    problem: Problem, solve: Callable[[Problem, Plan | None], Plan]
) -> Plan:
    """Return the plan of a problem, of varieties that its rhythm leaves short on every open day.

    Parameters
    ----------
    problem : Problem
        To be planned.
    solve : callable
        From a problem, and a plan to begin from if there is one, to its plan.
    """
    plan = solve(problem, None)
    loose = {
        short.variety
        for short in plan.short
        if short.reason_code in {ShortReason.SET_DAYS, ShortReason.CLOSED, ShortReason.UNTOLD}
        and has_own_rhythm(problem, short.variety)
    }
    if not loose:
        return plan
    again = solve(without_rhythm(problem, loose), plan)
    return again if _lost(again, loose) < (1.0 - LEAST_SHARE) * _lost(plan, loose) else plan


def has_own_rhythm(problem: Problem, variety: str) -> bool:
    """Whether a step of a variety keeps to days that the farm has not set."""
    recipe = problem.recipe(variety)
    return recipe is not None and _on_open_days(recipe) != recipe


def without_rhythm(problem: Problem, varieties: Collection[str]) -> Problem:
    """Return the problem with these varieties' steps on every day that the farm leaves open."""
    return replace(
        problem,
        recipes=tuple(
            _on_open_days(recipe) if recipe.variety in varieties else recipe
            for recipe in problem.recipes
        ),
    )


def _on_open_days(recipe: Recipe) -> Recipe:
    fruiting = recipe.fruiting
    return replace(
        recipe,
        makings=tuple(_making(each) for each in recipe.makings),
        fruiting=_fruiting(fruiting) if fruiting is not None else None,
    )


def _making(making: Making) -> Making:
    if not making.start_days or not making.open_days:
        return making
    return replace(making, start_days=tuple(sorted({*making.start_days, *making.open_days})))


def _fruiting(fruiting: Fruiting) -> Fruiting:
    return replace(fruiting, move_days=tuple(sorted({*fruiting.move_days, *fruiting.open_days})))


def _lost(plan: Plan, varieties: Collection[str]) -> float:
    """Return what is short of these varieties, as shares of the promises: kilograms and units."""
    if plan.gap >= 1.0:
        return inf
    return sum(
        short.amount / max(short.promised, 1e-9)
        for short in plan.short
        if short.variety in varieties
    )
