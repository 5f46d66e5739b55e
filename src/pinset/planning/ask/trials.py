"""Plans of one farm without whole numbers, each carried out with the same luck."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from pinset.chain.living import LivingLot
from pinset.chain.register import FarmBook
from pinset.planning.building.from_book import Delivered, Picked, build_problem
from pinset.planning.building.owed import Owed
from pinset.planning.building.taken import Taken
from pinset.planning.plan import Plan
from pinset.planning.problem import Problem
from pinset.planning.resources import Begun
from pinset.planning.season.chances import is_met
from pinset.planning.season.draws import ByChance, seeded
from pinset.planning.season.odds import Odds, odds_of
from pinset.planning.season.season import carry_out
from pinset.planning.season.tuning import PICKED, Promised, with_spare
from pinset.planning.solve import solve

ASKED = "asked-for"
"""Code of the promise that is asked about, beside the farm's own."""

SEASONS = 600
USUAL_SHARE = 0.2  # aimed at beyond what is promised, of a variety that was not tuned


@dataclass(frozen=True, slots=True)
class AskedDay:
    """One day on which the promise would be due."""

    day: date
    amount: float
    chance: float
    expected: float


@dataclass(frozen=True, slots=True)
class Farm:
    """The farm as it stands, with what its plan aims at."""

    book: FarmBook
    living: tuple[LivingLot, ...]
    today: date
    delivered: tuple[Delivered, ...] = ()
    owed: tuple[Owed, ...] = ()  # as of build_problem
    store: tuple[Picked, ...] = ()
    shares: Mapping[Promised, float] | None = None  # beyond what is promised
    not_before: Mapping[str, date] | None = None
    not_carried: Collection[str] = ()  # as of build_problem
    taken: tuple[Taken, ...] = ()  # as of build_problem
    begun: tuple[Begun, ...] = ()  # as of build_problem
    since_hours: float = 0.0  # as of build_problem
    late: tuple[tuple[str, str], ...] = ()  # as of build_problem
    assumes_prepared: bool = True  # first starts find their vessels though nobody counted any


@dataclass(frozen=True, slots=True)
class Trial:
    """A plan, carried out in many seasons."""

    problem: Problem
    plan: Plan
    met: NDArray[np.bool_]  # orders x seasons
    given: NDArray[np.float32]  # grams or units, orders x seasons

    def days(self, until: int) -> tuple[AskedDay, ...]:
        """Return the days of the promise asked about."""
        return tuple(
            AskedDay(
                self.problem.date_of(order.due),
                order.amount,
                float(self.met[n].mean()),
                float(self.given[n].mean()),
            )
            for n, order in enumerate(self.problem.orders)
            if order.promise == ASKED and order.day < until
        )


class Trials:
    """Plans of one farm without whole numbers, each carried out with the same luck."""

    def __init__(self, farm: Farm, seed: int, time_limit_s: float, until: int) -> None:
        """Remember the farm, the luck, and the first day that is not judged."""
        self.farm, self.seed, self.time_limit_s, self.until = farm, seed, time_limit_s, until

    def of(
        self,
        book: FarmBook,
        change: Callable[[Problem], Problem] | None = None,
        *,
        explains: bool = False,
    ) -> Trial:
        """Return a farm's plan, carried out."""
        farm = self.farm
        problem, _ = build_problem(
            book, farm.living, farm.today, delivered=farm.delivered, owed=farm.owed,
            store=farm.store,
            not_before=farm.not_before, begun=farm.begun, since_hours=farm.since_hours,
            late=farm.late, horizon_days=self.until, assume_prepared=farm.assumes_prepared,
            not_carried=farm.not_carried, taken=farm.taken,
        )  # fmt: skip
        shares = farm.shares or {}
        things = (
            (recipe.variety, step)
            for recipe in problem.recipes
            for step in (PICKED, *(making.step for making in recipe.makings))
        )
        problem = with_spare(problem, {each: shares.get(each, USUAL_SHARE) for each in things})
        problem = replace(problem, whole_days=0)
        problem = change(problem) if change else problem
        plan = solve(problem, time_limit_s=self.time_limit_s, explains=explains)
        odds: Odds = odds_of(book, farm.living, farm.today)
        draws = ByChance(seeded(self.seed), SEASONS)
        seasons = carry_out(problem, plan, odds, draws, until=self.until)
        return Trial(problem, plan, is_met(problem, seasons), seasons.delivered)


def steady(days: tuple[AskedDay, ...]) -> float:
    """Return how sure a promise is once it has settled: on the worst day of the later half."""
    return min((each.chance for each in days[len(days) // 2 :]), default=0.0)
