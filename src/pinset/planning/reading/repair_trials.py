"""One more batch tried by carrying the plan out with it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from pinset.planning.plan import Plan
from pinset.planning.problem import Pinned, Problem
from pinset.planning.reading.by_hand import begun_of, fewer_between, overflows, with_pins
from pinset.planning.reading.within_reach import WithinReach
from pinset.planning.recipes import Making, Recipe
from pinset.planning.season.chances import is_met
from pinset.planning.season.draws import ByChance, Expected, seeded
from pinset.planning.season.odds import Odds
from pinset.planning.season.season import carry_out
from pinset.planning.season.targets import Targets

SEASONS = 400


@dataclass(frozen=True, slots=True)
class Repair:
    """A batch that makes one order surer."""

    promise: str
    due: date
    variety: str
    step: str
    on: date
    units: int
    cook: str  # the kind of cook that holds its vessels; empty: none is needed
    cook_on: date | None
    is_more_cook: bool  # one beside those that are planned; else a planned one has room
    before: float  # the chance without it
    after: float


class Trials:
    """The plan carried out with one more batch, against the plan as it is."""

    def __init__(
        self, problem: Problem, plan: Plan, odds: Odds, seed: int, reach: WithinReach
    ) -> None:
        self.problem, self.plan, self.odds, self.seed = problem, plan, odds, seed
        self._reach = reach
        self._base = begun_of(problem, plan, odds, self._targets(plan, problem.whole_days))

    def largest(
        self, number: int, recipe: Recipe, making: Making, day: int, sizes: Iterable[int]
    ) -> Repair | None:
        """Return what the first of some sizes of a batch does that can be made; None: none can."""
        trials = (self.of(number, recipe, making, day, units) for units in sizes)
        return next((trial for trial in trials if trial is not None), None)

    def of(
        self, number: int, recipe: Recipe, making: Making, day: int, units: int
    ) -> Repair | None:
        """Return what a batch does for an order; None if it cannot be made."""
        problem, order = self.problem, self.problem.orders[number]
        on = problem.date_of(day)
        there = sum(
            start.count
            for start in self.plan.starts
            if (start.variety, start.step, start.day) == (recipe.variety, making.step, on)
        )
        more = Pinned("", recipe.variety, recipe.name, making.step, day, there + units)
        changed = with_pins(problem, self.plan, (more,))
        over = overflows(problem, self.plan, changed)
        if any(each.unit != "L" for each in over):
            return None
        litres = sum(each.more for each in over)
        cook = _cook_for(problem, self.plan, making, day, litres) if litres > 0.0 else None
        if litres > 0.0 and cook is None:
            return None
        batch = problem.recipes.index(recipe), recipe.makings.index(making), day
        if not self._reach.holds(number, batch, there + units):
            return None
        chances = self._chances(changed, number)
        if chances is None:
            return None
        return Repair(
            order.promise,
            problem.date_of(order.due),
            recipe.variety,
            making.step,
            on,
            units,
            making.cook if cook is not None else "",
            problem.date_of(cook[0]) if cook is not None else None,
            cook is not None and cook[1],
            *chances,
        )

    def _chances(self, changed: Plan, number: int) -> tuple[float, float] | None:
        """Return the chance of an order before and after a change; None: parents are missing."""
        problem, until = self.problem, self.problem.orders[number].day + 1
        targets = self._targets(changed, max(until, problem.whole_days))
        if fewer_between(problem, self._base, begun_of(problem, changed, self.odds, targets)):
            return None
        before = self._chance(self.plan, self._targets(self.plan, until), number, until)
        return before, self._chance(changed, targets, number, until)

    def _targets(self, plan: Plan, until: int) -> Targets:
        return carry_out(self.problem, plan, self.odds, Expected(), until=until).reached

    def _chance(self, plan: Plan, targets: Targets, number: int, until: int) -> float:
        luck = ByChance(seeded(self.seed), SEASONS)
        seasons = carry_out(self.problem, plan, self.odds, luck, until=until, targets=targets)
        return float(is_met(self.problem, seasons)[number].mean())


def _cook_for(
    problem: Problem, plan: Plan, making: Making, day: int, litres: float
) -> tuple[int, bool] | None:
    """Return the day of a cook that can hold vessels of a start, and whether it is one more.

    One that is planned and has room comes before one more; None: there is none.
    """
    resources = problem.resources
    latest = day - making.cook_days_before
    soonest = max(
        latest - resources.keeps_days(making.cook, making.cook_days_before),
        resources.first_cook_day(making.cook, making.mix),
        1,  # what is loaded today is laid already
    )
    wet = resources.too_wet_days(making.cook, making.mix)
    more: int | None = None
    for on in range(latest, soonest - 1, -1):
        if on in wet:
            continue
        for steriliser in resources.sterilisers:
            mine = [
                cook
                for cook in plan.cooks
                if cook.steriliser == steriliser.code and cook.day == problem.date_of(on)
            ]
            for option in steriliser.cooks:
                if option.kind != making.cook or option.litres < litres:
                    continue
                same = [cook for cook in mine if cook.kind == option.kind]
                room = sum(cook.cooks * option.litres - cook.litres for cook in same)
                if room >= litres:
                    return on, False
                hours = steriliser.hours[on] - sum(cook.hours for cook in mine)
                count = steriliser.count[on] - sum(cook.cooks for cook in mine)
                if more is None and hours >= option.hours and count >= 1.0:
                    more = on
    return None if more is None else (more, True)
