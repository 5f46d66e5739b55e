"""A batch for a weak promise as the grower would do it: pinned, the farm planned anew with it.

Planning anew the batch may come to serve another promise, or others be made smaller for it. So what
it does is told only from that plan, in the seasons that the promises are told from.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta

from pinset.planning.plan import Plan
from pinset.planning.problem import Pinned, Problem
from pinset.planning.reading.repair_trials import Parents, Repair, Touched
from pinset.planning.recipes import Making, Recipe
from pinset.planning.season.chances import JUDGED_DAYS, FarmChances, is_met
from pinset.planning.season.draws import ByChance, seeded
from pinset.planning.season.odds import Odds
from pinset.planning.season.season import carry_out

POOR_GAP = 0.05
"""A plan further than this from the best possible tells nothing of what a batch does."""
HALF = 0.5  # a unit; less is rounding
LEAST_TOUCHED = 0.05  # of the chance of another promise; less is not worth a word

PlanAnew = Callable[[Problem], Plan]
"""From the farm with one more thing pinned to its plan, begun from the plan there is."""


@dataclass(frozen=True, slots=True)
class Anew:
    """The farm, its plan and how sure that is, planned anew with one batch more at a time."""

    problem: Problem
    plan: Plan
    chances: FarmChances
    odds: Odds
    seed: int
    plan_anew: PlanAnew

    def of(self, number: int, tried: Repair) -> Repair | None:
        """Return what a batch does for an order once the farm is planned anew with it.

        None: no good plan was found, or it does not have the batch.
        """
        problem = self.problem
        recipe = problem.recipe(tried.variety)
        if recipe is None:
            return None
        batches = (Parents(tried.step, tried.on, tried.units), *tried.parents)
        wanted = {
            (tried.variety, each.step, (each.on - problem.start).days): each.units
            + _started(self.plan, tried.variety, each.step, each.on)
            for each in batches
        }
        pins = [
            Pinned("", recipe.variety, recipe.name, step, day, count)
            for (_, step, day), count in wanted.items()
        ]
        others = (pin for pin in problem.pins if (pin.variety, pin.step, pin.day) not in wanted)
        asked = replace(problem, pins=(*others, *pins))
        plan = self.plan_anew(asked)
        has_it = all(
            _started(plan, variety, step, problem.date_of(day)) >= count - HALF
            for (variety, step, day), count in wanted.items()
        )
        if plan.gap > POOR_GAP or not has_it:
            return None
        return self._told(number, tried, asked, plan, recipe)

    def _told(
        self, number: int, tried: Repair, asked: Problem, plan: Plan, recipe: Recipe
    ) -> Repair:
        before = {(each.promise, each.day): each.chance for each in self.chances.orders}
        draws = ByChance(seeded(self.seed), self.chances.seasons)
        last = min(JUDGED_DAYS, asked.days)
        met = is_met(asked, carry_out(asked, plan, self.odds, draws, until=last)).mean(axis=1)
        after = {
            (order.promise, asked.date_of(order.due)): float(met[n])
            for n, order in enumerate(asked.orders)
        }
        mine = asked.orders[number].promise, asked.date_of(asked.orders[number].due)
        touched = [
            Touched(*key, before[key], after[key])
            for key in before
            if key != mine and abs(after[key] - before[key]) >= LEAST_TOUCHED
        ]
        like = {order.promise for order in asked.orders if order.variety == tried.variety}
        own = self._cooked(Parents(tried.step, tried.on, tried.units), plan, recipe)
        return replace(
            tried,
            before=before[mine],
            after=after[mine],
            cook=own.cook,
            cook_on=own.cook_on,
            is_more_cook=own.is_more_cook,
            parents=tuple(self._cooked(each, plan, recipe) for each in tried.parents),
            surer=max(
                (t for t in touched if t.after > t.before and t.promise in like),
                key=Touched.by,
                default=None,
            ),
            weaker=max((t for t in touched if t.after < t.before), key=Touched.by, default=None),
            is_planned_anew=True,
        )

    def _cooked(self, batch: Parents, plan: Plan, recipe: Recipe) -> Parents:
        """Return a batch with the cook that the new plan has for it; none where none is needed."""
        making = recipe.making(batch.step)
        bare = replace(batch, cook="", cook_on=None, is_more_cook=False)
        if making is None or not making.cook:
            return bare
        days = self._cook_days(making, batch.on)
        was, now = _cooks(self.plan, making.cook), _cooks(plan, making.cook)
        more = [on for on in days if now.get(on, 0.0) > was.get(on, 0.0)]
        planned = [on for on in days if now.get(on, 0.0) > 0.0]
        if not planned:
            return bare  # its vessels stand prepared
        on = max(more or planned)
        return replace(bare, cook=making.cook, cook_on=on, is_more_cook=bool(more))

    def _cook_days(self, making: Making, on: date) -> list[date]:
        """Return the days on which vessels for a start can be cooked."""
        before = making.cook_days_before
        keeps = self.problem.resources.keeps_days(making.cook, before)
        latest = on - timedelta(days=before)
        return [latest - timedelta(days=back) for back in range(keeps + 1)]


def _started(plan: Plan, variety: str, step: str, on: date) -> float:
    """Return what a plan starts of a step on a day."""
    return sum(
        start.count
        for start in plan.starts
        if (start.variety, start.step, start.day) == (variety, step, on)
    )


def _cooks(plan: Plan, kind: str) -> dict[date, float]:
    """Return the number of cooks of a kind by day."""
    found: dict[date, float] = {}
    for cook in plan.cooks:
        if cook.kind == kind:
            found[cook.day] = found.get(cook.day, 0.0) + cook.cooks
    return found


def differing(tried: Iterable[Repair]) -> list[Repair]:
    """Return the most hopeful batch of each day, the most hopeful first."""
    best: dict[date, Repair] = {}
    for each in tried:
        if each.on not in best or each.after > best[each.on].after:
            best[each.on] = each
    return sorted(best.values(), key=lambda each: -each.after)
