"""How much more than promised a plan should aim at, for promises to hold as surely as wanted.

The same share of every promise is tried on all varieties at once, step by step, in plans without
whole numbers; each plan is carried out in many seasons, and each variety takes the least share with
which its promises hold. What is due before a new batch could bear is not judged by it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from pinset.planning.problem import Problem, Recipe
from pinset.planning.reading.biology import first_new, first_pick
from pinset.planning.season.chances import is_met
from pinset.planning.season.draws import ByChance, seeded
from pinset.planning.season.odds import Odds
from pinset.planning.season.season import carry_out
from pinset.planning.solve import solve

WANTED = 0.95
SHARES = (0.0, 0.1, 0.2, 0.3, 0.45, 0.6)
SEASONS = 600
LEAST_GAIN = 0.02  # a larger share that gains less is not worth what it costs


@dataclass(frozen=True, slots=True)
class Tuned:
    """What a variety's plan aims at beyond its promises, and what that brings."""

    variety: str
    share: float
    chance: float  # mean of its orders that a new batch can serve
    chances: tuple[float, ...] = ()  # with each share that was tried
    is_reached: bool = True  # as sure as was wanted


@dataclass(frozen=True, slots=True)
class Tuning:
    """All of a farm's varieties that promise a weight."""

    wanted: float
    varieties: tuple[Tuned, ...] = ()

    @property
    def shares(self) -> dict[str, float]:
        """The share of each variety."""
        return {tuned.variety: tuned.share for tuned in self.varieties}


def tune(
    problem: Problem,
    odds: Odds,
    *,
    wanted: float = WANTED,
    shares: Sequence[float] = SHARES,
    seasons: int = SEASONS,
    seed: int = 0,
    days: int | None = None,
    time_limit_s: float = 10.0,
) -> Tuning:
    """Return the least share of each variety with which its promises hold as surely as wanted.

    Parameters
    ----------
    problem, odds : Problem, Odds
        The farm; its recipes' own ``spare`` is not looked at.
    wanted : float
        Chance with which an order is to be met, 0 to 1.
    shares : sequence of float
        Tried one after the other, rising, from 0.
    seasons, seed : int
        As of :func:`pinset.planning.season.chances.chances_of`.
    days : int, optional
        Orders from this day on are not judged.
    time_limit_s : float
        Of each plan. [s]
    """
    last = problem.days if days is None else min(days, problem.days)
    judged = {recipe.variety: _judged(problem, recipe, last) for recipe in problem.recipes}
    judged = {code: numbers for code, numbers in judged.items() if numbers}
    found: dict[str, list[float]] = {code: [] for code in judged}
    for share in shares:
        if not any(_wants_more(found[code], wanted) for code in judged):
            break
        plan = solve(
            replace(with_spare(problem, dict.fromkeys(judged, share)), whole_days=0),
            time_limit_s=time_limit_s,
            explains=False,
        )
        draws = ByChance(seeded(seed), seasons)
        met = is_met(problem, carry_out(problem, plan, odds, draws, until=last))
        for code, numbers in judged.items():
            found[code].append(float(met[numbers].mean()))
    return Tuning(wanted, tuple(_chosen(code, found[code], shares, wanted) for code in judged))


def with_spare(problem: Problem, shares: Mapping[str, float]) -> Problem:
    """Return the problem aiming at so much more than is promised of each variety."""
    return replace(
        problem,
        recipes=tuple(
            replace(recipe, spare=shares.get(recipe.variety, 0.0)) for recipe in problem.recipes
        ),
    )


def _judged(problem: Problem, recipe: Recipe, last: int) -> list[int]:
    """Return the orders by weight that a new batch can serve."""
    if recipe.fruiting is None:
        return []
    new = first_new(problem, recipe).get(recipe.fruiting.parent)
    first = first_pick(problem, recipe, new) if new is not None else None
    if first is None:
        return []
    return [
        number
        for number, order in enumerate(problem.orders)
        if order.variety == recipe.variety and order.step == "picked" and first <= order.day < last
    ]


def _wants_more(chances: Sequence[float], wanted: float) -> bool:
    return not chances or max(chances) < wanted


def _chosen(
    variety: str, chances: Sequence[float], shares: Sequence[float], wanted: float
) -> Tuned:
    reached = next((i for i, chance in enumerate(chances) if chance >= wanted), None)
    place = reached if reached is not None else 0
    if reached is None:
        for i, chance in enumerate(chances):
            if chance >= chances[place] + LEAST_GAIN:
                place = i
    return Tuned(variety, shares[place], chances[place], tuple(chances), reached is not None)
