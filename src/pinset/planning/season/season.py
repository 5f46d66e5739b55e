"""A plan carried out many times at once: what came of every order."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from pinset.planning.plan import Plan
from pinset.planning.problem import Problem
from pinset.planning.season.draws import Draws, Expected
from pinset.planning.season.farm import SeasonFarm
from pinset.planning.season.odds import Odds
from pinset.planning.season.plan import planned_days
from pinset.planning.season.targets import Targets


@dataclass(slots=True)
class Seasons:
    """What came of every order, and what stood at the end of the days that matter."""

    delivered: NDArray[np.float32]  # orders x seasons; grams or units
    reached: Targets = field(default_factory=Targets)  # where all came as expected
    picked: NDArray[np.float32] | None = None  # varieties x days x seasons, grams; if asked for
    left_over: NDArray[np.float32] | None = None  # the same, of what became too old unsold


def carry_out(
    problem: Problem,
    plan: Plan,
    odds: Odds,
    draws: Draws,
    *,
    until: int | None = None,
    targets: Targets | None = None,
    keeps_picks: bool = False,
) -> Seasons:
    """Carry a plan out in many seasons.

    Parameters
    ----------
    problem, plan : Problem, Plan
        The farm, and what is to be done.
    odds : Odds
        The distributions behind the problem's numbers.
    draws : Draws
        Where the numbers come from; with :class:`Expected` the plan is followed to the letter.
    until : int, optional
        First day that does not matter any more; all by default.
    targets : Targets, optional
        Where stock, what is under way and what is to be sold should be: what an expected season
        reached. By default one is run for it.
    keeps_picks : bool
        Whether the grams picked, and left over, are given back by variety and day.

    Returns
    -------
    Seasons
        Of all orders; those past ``until`` have nothing delivered.
    """
    if targets is None and draws.is_whole:
        targets = carry_out(problem, plan, odds, Expected(), until=until).reached
    farm = SeasonFarm(problem, planned_days(problem, plan), odds, draws, targets or Targets())
    last = problem.days if until is None else min(until, problem.days)
    for day in range(last):
        farm.live(day)
    found = Seasons(farm.delivered, farm.reached)
    if keeps_picks:
        found.picked = np.stack(
            [farm.harvest.hanging[r][:last] for r in range(len(problem.recipes))]
        )
        found.left_over = np.stack([rows[:last] for rows in farm.harvest.left_over])
    return found
