"""How much more than promised a plan should aim at, for promises to hold as surely as wanted.

The same share of every promise is tried on all varieties at once, step by step, in plans without
whole numbers; each plan is carried out in many seasons, and each variety, and each step whose units
are sold, takes the least share with which its promises hold. What is due before a new batch could
serve it is not judged by it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from pinset.planning.problem import Problem
from pinset.planning.reading.new_batches import earliest_new, first_new
from pinset.planning.recipes import Recipe
from pinset.planning.season.chances import is_met
from pinset.planning.season.draws import ByChance, seeded
from pinset.planning.season.odds import Odds
from pinset.planning.season.season import carry_out
from pinset.planning.solve import solve

WANTED = 0.95
PICKED = "picked"
Promised = tuple[str, str]  # variety, and picked or the step whose units are sold
SHARES = (0.0, 0.1, 0.2, 0.3, 0.45, 0.6)
SEASONS = 600
LEAST_GAIN = 0.02  # a larger share that gains less is not worth what it costs


@dataclass(frozen=True, slots=True)
class Tuned:
    """What a plan aims at beyond the promises of one thing, and what that brings."""

    variety: str
    share: float
    chance: float  # mean of its orders that a new batch can serve
    chances: tuple[float, ...] = ()  # with each share that was tried
    is_reached: bool = True  # as sure as was wanted
    step: str = PICKED  # or that of the units that are promised


@dataclass(frozen=True, slots=True)
class Tuning:
    """All that a farm promises: weights of varieties, and units of their steps."""

    wanted: float
    varieties: tuple[Tuned, ...] = ()

    @property
    def shares(self) -> dict[Promised, float]:
        """The share of each thing that is promised."""
        return {(tuned.variety, tuned.step): tuned.share for tuned in self.varieties}


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
    """Return the least share of each thing promised with which that holds as surely as wanted.

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
    judged = {
        (recipe.variety, step): numbers
        for recipe in problem.recipes
        for step, numbers in _judged(problem, recipe, last).items()
    }
    found: dict[Promised, list[float]] = {key: [] for key in judged}
    for share in shares:
        if not any(_wants_more(found[key], wanted) for key in judged):
            break
        plan = solve(
            replace(with_spare(problem, dict.fromkeys(judged, share)), whole_days=0),
            time_limit_s=time_limit_s,
            explains=False,
        )
        draws = ByChance(seeded(seed), seasons)
        met = is_met(problem, carry_out(problem, plan, odds, draws, until=last))
        for key, numbers in judged.items():
            found[key].append(float(met[numbers].mean()))
    return Tuning(wanted, tuple(_chosen(key, found[key], shares, wanted) for key in judged))


def with_spare(problem: Problem, shares: Mapping[Promised, float]) -> Problem:
    """Return the problem aiming at so much more than is promised, by variety and step."""
    return replace(
        problem,
        recipes=tuple(
            replace(
                recipe,
                spare=shares.get((recipe.variety, PICKED), 0.0),
                makings=tuple(
                    replace(making, spare=shares.get((recipe.variety, making.step), 0.0))
                    for making in recipe.makings
                ),
            )
            for recipe in problem.recipes
        ),
    )


def aimed_like(problem: Problem, other: Problem) -> Problem:
    """Return the problem aiming at as much more than is promised as another one does."""
    shares = {(recipe.variety, PICKED): recipe.spare for recipe in other.recipes}
    shares |= {
        (recipe.variety, making.step): making.spare
        for recipe in other.recipes
        for making in recipe.makings
    }
    return with_spare(problem, shares)


def _judged(problem: Problem, recipe: Recipe, last: int) -> dict[str, list[int]]:
    """Return the orders that a new batch can serve, by what is sold."""
    firsts = {step: batch.ready for step, batch in first_new(problem, recipe).items()}
    pick = earliest_new(problem, recipe, PICKED)
    if pick is not None:
        firsts[PICKED] = pick.day
    found: dict[str, list[int]] = {}
    for number, order in enumerate(problem.orders):
        first = firsts.get(order.step) if order.variety == recipe.variety else None
        if first is not None and first <= order.day < last:
            found.setdefault(order.step, []).append(number)
    return found


def _wants_more(chances: Sequence[float], wanted: float) -> bool:
    return not chances or max(chances) < wanted


def _chosen(
    key: Promised, chances: Sequence[float], shares: Sequence[float], wanted: float
) -> Tuned:
    reached = next((i for i, chance in enumerate(chances) if chance >= wanted), None)
    place = reached if reached is not None else 0
    if reached is None:
        for i, chance in enumerate(chances):
            if chance >= chances[place] + LEAST_GAIN:
                place = i
    variety, step = key
    return Tuned(variety, shares[place], chances[place], tuple(chances), reached is not None, step)
