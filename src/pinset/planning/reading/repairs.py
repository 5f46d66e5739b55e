"""One more batch that makes a weak promise sure, tried by carrying the plan out with it.

The plan stays as it is but for that batch, which must find its parents, and time and places on its
days. Nothing is searched for: a new plan may well find something better.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from math import ceil

from pinset.planning.plan import Plan
from pinset.planning.problem import Order, Pinned, Problem
from pinset.planning.reading.by_hand import begun_of, fewer_between, overflows, with_pins
from pinset.planning.recipes import Making, Recipe
from pinset.planning.season.chances import WEAK, FarmChances, OrderChance, is_met
from pinset.planning.season.draws import ByChance, Expected, seeded
from pinset.planning.season.odds import Odds
from pinset.planning.season.season import carry_out
from pinset.planning.season.targets import Targets

SEASONS = 400
MOST_ORDERS = 6
"""So many weak orders are looked at, the soonest first."""
LEAST_GAIN = 0.15  # of a chance, with which a batch is worth a word
GENEROUS = 1.5  # times what is missing where the order is not met
MOST_DAYS = 2  # start days that are tried for one order


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


def repairs(
    problem: Problem,
    plan: Plan,
    chances: FarmChances,
    odds: Odds,
    *,
    seed: int,
    goes_on: Callable[[], bool],
) -> tuple[Repair, ...]:
    """Return what one more batch of the near days does for the soonest weak orders.

    Parameters
    ----------
    problem, plan : Problem, Plan
        The farm and its plan.
    chances : FarmChances
        Of that plan.
    odds : Odds
        The chances behind its numbers.
    seed : int
        Of the luck.
    goes_on : callable
        Whether there is time for another trial.
    """
    weak = {(each.promise, each.day): each for each in chances.orders if each.chance < WEAK}
    numbers = [
        number
        for number, order in sorted(enumerate(problem.orders), key=lambda item: item[1].day)
        if (order.promise, problem.date_of(order.due)) in weak
    ]
    trials = _Trials(problem, plan, odds, seed)
    found: list[Repair] = []
    tried = 0
    for number in numbers:
        order = problem.orders[number]
        chance = weak[order.promise, problem.date_of(order.due)]
        batches = list(_batches(problem, order, chance))
        tried += bool(batches)
        best: Repair | None = None
        for recipe, making, day, units in batches:
            if not goes_on():
                return tuple(found)
            repair = trials.of(number, recipe, making, day, units)
            if repair is not None and (best is None or repair.after > best.after):
                best = repair
        if best is not None:
            found.append(best)
        if tried >= MOST_ORDERS:
            break
    return tuple(found)


def _batches(
    problem: Problem, order: Order, chance: OrderChance
) -> Iterator[tuple[Recipe, Making, int, int]]:
    """Yield the batches of the near days that can be there for an order, the latest first."""
    recipe = problem.recipe(order.variety)
    if recipe is None:
        return
    fruiting, step = recipe.fruiting, order.step
    soonest, latest, each = 0, 0, 1.0
    if step == "picked":
        if fruiting is None or not fruiting.curve:
            return
        step, first = fruiting.parent, fruiting.curve[0]
        soonest, latest = first.day, first.day + recipe.picked_keeps_days
        each = sum(pick.grams for pick in fruiting.curve if pick.flush == first.flush)
    making = next((m for m in recipe.makings if m.step == step), None)
    if making is None or each <= 0.0 or making.is_purchase:
        return
    units = ceil(GENEROUS * max(chance.lacking, 1.0) / each / max(making.usable, 0.05))
    units = max(units, making.minimum_batch)
    last = latest + making.window_days
    fits = [
        day
        for day in making.start_days
        if day < problem.whole_days and soonest <= order.day - making.ready(day) <= last
    ]
    for day in sorted(fits, reverse=True)[:MOST_DAYS]:
        yield recipe, making, day, units


class _Trials:
    """The plan carried out with one more batch, against the plan as it is."""

    def __init__(self, problem: Problem, plan: Plan, odds: Odds, seed: int) -> None:
        self.problem, self.plan, self.odds, self.seed = problem, plan, odds, seed
        self._base = begun_of(problem, plan, odds, self._targets(plan, problem.whole_days))

    def of(
        self, number: int, recipe: Recipe, making: Making, day: int, units: int
    ) -> Repair | None:
        """Return what a batch does for an order; None if it cannot be made or does little."""
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
        until = order.day + 1
        targets = self._targets(changed, max(until, problem.whole_days))
        begun = begun_of(problem, changed, self.odds, targets)
        if fewer_between(problem, self._base, begun):
            return None
        before = self._chance(self.plan, self._targets(self.plan, until), number, until)
        after = self._chance(changed, targets, number, until)
        if after < before + LEAST_GAIN:
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
            before,
            after,
        )

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
