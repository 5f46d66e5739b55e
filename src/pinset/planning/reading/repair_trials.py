"""One more batch tried by carrying the plan out with it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from math import ceil

from pinset.planning.plan import Plan
from pinset.planning.problem import Pinned, Problem
from pinset.planning.reading.by_hand import (
    Fewer,
    Over,
    begun_of,
    fewer_between,
    overflows,
    with_pins,
)
from pinset.planning.reading.explain import day_in_words, noun_for
from pinset.planning.reading.lacking_words import full_words
from pinset.planning.reading.within_reach import WithinReach
from pinset.planning.recipes import Making, Recipe
from pinset.planning.season.chances import is_met
from pinset.planning.season.draws import ByChance, Expected, seeded
from pinset.planning.season.odds import Odds
from pinset.planning.season.season import carry_out
from pinset.planning.season.targets import Targets

SEASONS = 400
LEAST_SHARE = 0.05  # usable: less is not divided by
NO_COOK = ("", None, False)


@dataclass(frozen=True, slots=True)
class Parents:
    """A batch of an earlier step that the batch is made from."""

    step: str
    on: date
    units: int
    cook: str = ""
    cook_on: date | None = None
    is_more_cook: bool = False


@dataclass(frozen=True, slots=True)
class Touched:
    """Another promise that a batch makes surer, or less sure."""

    promise: str
    due: date
    before: float
    after: float

    def by(self) -> float:
        """Return by how much."""
        return abs(self.after - self.before)


@dataclass(frozen=True, slots=True)
class Repair:
    """A batch that makes one order surer, with what it is made from where that is missing."""

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
    parents: tuple[Parents, ...] = ()  # the nearest first
    surer: Touched | None = None  # of the variety's other promises, the one it does most for
    weaker: Touched | None = None  # of all others
    is_planned_anew: bool = False  # else carried out with all else of the plan as it is

    @property
    def gain(self) -> float:
        """By how much it makes its order surer."""
        return self.after - self.before

    def is_worth_it(self, least: float) -> bool:
        """Whether it makes its order surer by so much, and by more than another less sure."""
        return self.gain >= least and (self.weaker is None or self.weaker.by() < self.gain)


@dataclass(frozen=True, slots=True)
class _Batch:
    making: Making
    day: int
    units: int


class Trials:
    """The plan carried out with one more batch, against the plan as it is."""

    def __init__(
        self, problem: Problem, plan: Plan, odds: Odds, seed: int, reach: WithinReach
    ) -> None:
        self.problem, self.plan, self.odds, self.seed = problem, plan, odds, seed
        self._reach = reach
        self.hindrance = ""  # what was in the way of the last batch that could not be made
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
        """Return what a batch does for an order; None if it cannot be made.

        Parents that are missing for it are started with it, where they are ready in time.
        """
        problem, order = self.problem, self.problem.orders[number]
        found = self._with_parents(recipe, _Batch(making, day, units))
        if found is None:
            return None
        batches, changed = found
        cooks = self._cooks(batches, overflows(problem, self.plan, changed))
        if cooks is None:
            return None
        r = problem.recipes.index(recipe)
        planned = {
            (r, recipe.makings.index(each.making), each.day): self._there(recipe, each) + each.units
            for each in batches
        }
        if not self._reach.holds(number, planned):
            self.hindrance = "beside all that is planned it finds no place"
            return None
        own, *parents = (
            Parents(each.making.step, problem.date_of(each.day), each.units, *cooks.get(n, NO_COOK))
            for n, each in enumerate(batches)
        )
        until = order.day + 1
        before = self._chance(self.plan, self._targets(self.plan, until), number, until)
        targets = self._targets(changed, max(until, problem.whole_days))
        return Repair(
            order.promise, problem.date_of(order.due), recipe.variety, own.step, own.on, own.units,
            own.cook, own.cook_on, own.is_more_cook, before,
            self._chance(changed, targets, number, until), tuple(parents),
        )  # fmt: skip

    def _there(self, recipe: Recipe, batch: _Batch) -> float:
        """Return what the plan starts of a step on a day."""
        on = self.problem.date_of(batch.day)
        return sum(
            start.count
            for start in self.plan.starts
            if (start.variety, start.step, start.day) == (recipe.variety, batch.making.step, on)
        )

    def _with_parents(self, recipe: Recipe, batch: _Batch) -> tuple[list[_Batch], Plan] | None:
        """Return a batch with those it is made from, and the plan with them; None: none are."""
        problem, batches = self.problem, [batch]
        for _ in recipe.makings:
            pins = (
                Pinned(
                    "", recipe.variety, recipe.name, each.making.step, each.day,
                    self._there(recipe, each) + each.units,
                )
                for each in batches
            )  # fmt: skip
            changed = with_pins(problem, self.plan, pins)
            targets = self._targets(changed, problem.whole_days)
            missing = fewer_between(
                problem, self._base, begun_of(problem, changed, self.odds, targets)
            )
            if not missing:
                return batches, changed
            parents = _parents_for(problem, recipe, missing[0])
            if parents is None or any(each.making is parents.making for each in batches):
                self.hindrance = _too_few(recipe, missing[0])
                return None
            batches.append(parents)
        return None

    def _cooks(
        self, batches: Sequence[_Batch], over: Iterable[Over]
    ) -> dict[int, tuple[str, date, bool]] | None:
        """Return the cook of each batch, by its number, that needs one; None: one is missing."""
        found: dict[int, tuple[str, date, bool]] = {}
        for each in over:
            own = [n for n, b in enumerate(batches) if each.resource == f"cooked {b.making.cook}"]
            if each.unit != "L" or not own:
                when = day_in_words(self.problem.date_of(each.day))
                self.hindrance = f"{full_words(each.resource)} on {when}"
                return None
            first = min(own, key=lambda n: batches[n].day)
            batch = batches[first]
            cook = _cook_for(self.problem, self.plan, batch.making, batch.day, each.more)
            if cook is None:
                kind = batch.making.cook
                self.hindrance = f"no {kind} cook in time has room, and no other is possible"
                return None
            found[first] = batch.making.cook, self.problem.date_of(cook[0]), cook[1]
        return found

    def _targets(self, plan: Plan, until: int) -> Targets:
        return carry_out(self.problem, plan, self.odds, Expected(), until=until).reached

    def _chance(self, plan: Plan, targets: Targets, number: int, until: int) -> float:
        luck = ByChance(seeded(self.seed), SEASONS)
        seasons = carry_out(self.problem, plan, self.odds, luck, until=until, targets=targets)
        return float(is_met(self.problem, seasons)[number].mean())


def _too_few(recipe: Recipe, missing: Fewer) -> str:
    """Return that the parents of a start are too few, in words."""
    child = recipe.making(missing.step)
    parent = recipe.making(child.arcs[0].parent) if child is not None and child.arcs else None
    if parent is None:
        return "what it is made from is not there"
    return f"there are too few {noun_for(parent, 2)} for it"


def _parents_for(problem: Problem, recipe: Recipe, missing: Fewer) -> _Batch | None:
    """Return the batch of parents that a start lacks, as late as it is in time; None: none is."""
    child = recipe.making(missing.step) if missing.variety == recipe.variety else None
    if child is None or not child.arcs:
        return None
    arc = child.arcs[0]
    parent = recipe.making(arc.parent)
    days = [
        start
        for start in (parent.start_days if parent is not None else ())
        if start < problem.whole_days
        and parent is not None
        and parent.ready(start) <= missing.day < parent.ready(start) + parent.window_days
    ]
    if parent is None or not days:
        return None
    wanted = (missing.planned - missing.begun) / max(arc.units_per_parent, LEAST_SHARE)
    units = ceil(wanted / max(parent.usable, LEAST_SHARE))
    return _Batch(parent, max(days), max(units, parent.minimum_batch))


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
