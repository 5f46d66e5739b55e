"""Whether more of a promise can be there: planned anew in fractions, no other promise worse off."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

from numpy import float64
from numpy.typing import NDArray

from pinset.planning.model.model import build_model
from pinset.planning.model.programme import THREADS, Again, Change
from pinset.planning.model.reach import Causes
from pinset.planning.plan import Plan
from pinset.planning.problem import Problem
from pinset.planning.reading.lacking_words import lacking_of
from pinset.planning.reading.pegging import Key
from pinset.planning.reading.room_climates import RoomClimates
from pinset.planning.reading.shortfall import LEAST_GRAMS, LEAST_UNITS, lacks_of
from pinset.planning.reading.unlimited import still_short, unlimited

MOST_MISSING = 0.5  # of what is asked for: with that much missing it is out of reach
EACH_S = 2.0  # of one pass, which takes a fraction of it on a farm of six varieties


class Way(StrEnum):
    """What is in the way of more of a promise."""

    OPEN = "open"  # nothing that is reckoned in fractions and on average
    FULL = "full"  # a resource
    LATE = "late"  # on the days set for it nothing is there in time, whatever there is room for


@dataclass(frozen=True, slots=True)
class Answer:
    """Whether there is a way, and what is in it, in words that follow *because*."""

    way: Way
    because: str = ""


class WithinReach:
    """The farm asked for more of some promises, one at a time."""

    def __init__(
        self, problem: Problem, plan: Plan, more: Mapping[int, float], *, threads: int = THREADS
    ) -> None:
        """Take the plan, and how much more is asked of orders by number. [g or units]."""
        orders = tuple(
            replace(order, amount=order.amount + more.get(number, 0.0))
            for number, order in enumerate(problem.orders)
        )
        self.model = build_model(replace(problem, orders=orders))
        self.plan, self.more, self._threads = plan, more, threads
        self._recipes = {recipe.variety: r for r, recipe in enumerate(problem.recipes)}
        self._short = self._as_planned(problem)
        self._climates = RoomClimates(problem, self._moves(problem))
        self._causes = Causes(self.model)
        self._again: dict[str, Again] = {}
        self._near: dict[int, float] | None = None

    def _key(self, number: int) -> Key:
        order = self.model.problem.orders[number]
        return (self._recipes.get(order.variety, -1), order.step, order.day, order.due)

    def _as_planned(self, problem: Problem) -> dict[Key, float]:
        """Return what may be missing of each promise: as in the plan, and all that is more."""
        least = {
            key: LEAST_GRAMS if key[1] == "picked" else LEAST_UNITS for key in self.model.short
        }
        found = defaultdict(float, least)
        lacks: dict[tuple[str, object], float] = defaultdict(float)
        for short in self.plan.short:
            lacks[short.promise, short.day] += short.amount
        for number, order in enumerate(problem.orders):
            key = self._key(number)
            if key in self.model.short:
                found[key] += lacks[order.promise, problem.date_of(order.due)]
                found[key] += self.more.get(number, 0.0)
        return found

    def _moves(self, problem: Problem) -> dict[tuple[int, str, int], float]:
        found: dict[tuple[int, str, int], float] = defaultdict(float)
        for move in self.plan.moves:
            r = self._recipes.get(move.variety, -1)
            fruiting = problem.recipes[r].fruiting if r >= 0 else None
            if fruiting is not None and fruiting.step == move.step:
                found[r, move.room, (move.day - problem.start).days] += move.count
        return dict(found)

    def of(self, number: int) -> Answer | None:
        """Return whether more of an order can be there; None: that is not known."""
        key, asked = self._key(number), self.more[number]
        if key not in self.model.short:
            return None
        missing = self._missing("limits", key, asked)
        if missing is None or missing < MOST_MISSING * asked:
            return None if missing is None else Answer(Way.OPEN)
        late = self._missing("unlimited", key, asked)
        if late is None or late >= MOST_MISSING * missing:
            return None if late is None else Answer(Way.LATE)
        because = self._what_is_full(key)
        return Answer(Way.FULL, because) if because else None

    def _what_is_full(self, key: Key) -> str:
        values = self._values("hired", key)
        if values is None:
            return ""
        lacks = [
            lack
            for lack in lacks_of(self.model, values)
            if lack.day <= key[2] and self._causes.can_help(lack.capacity, key)
        ]
        lacking = lacking_of(self.model, key, lacks, self._climates)
        return lacking.because if lacking is not None else ""

    def holds(self, number: int, batches: Mapping[tuple[int, int, int], float]) -> bool:
        """Whether batches (recipe, making, day: units) find their place beside the near starts.

        Where the plan does not fit the farm's own days itself, that cannot be asked.
        """
        key, x = self._key(number), self.model.x
        if self._near is None:
            self._near = self._near_starts()
            if self._near and self._values("limits", key, self._near) is None:
                self._near = {}
        if not self._near or any(batch not in x for batch in batches):
            return True
        more = {x[batch]: units for batch, units in batches.items()}
        return self._values("limits", key, {**self._near, **more}) is not None

    def _near_starts(self) -> dict[int, float]:
        """Return the units of every near start; empty if one is on a day that is not its own."""
        problem, x = self.model.problem, self.model.x
        makings = {
            (recipe.variety, making.step): (r, k)
            for r, recipe in enumerate(problem.recipes)
            for k, making in enumerate(recipe.makings)
        }
        near = {column: 0.0 for (_, _, day), column in x.items() if day < problem.whole_days}
        for start in self.plan.starts:
            day = (start.day - problem.start).days
            if 0 <= day < problem.whole_days:
                column = x.get((*makings.get((start.variety, start.step), (-1, -1)), day))
                if column is None:
                    return {}
                near[column] += start.count
        return near

    def _missing(self, which: str, key: Key, asked: float) -> float | None:
        """Return how much of what is more than planned would be missing. [g or units]."""
        values = self._values(which, key)
        if values is None:
            return None
        had = self._short[key] - asked
        return max(0.0, still_short(self.model, values, key, self._short[key]) - had)

    def _values(
        self, which: str, key: Key, fixed: Mapping[int, float] | None = None
    ) -> NDArray[float64] | None:
        if which not in self._again:
            programme = self.model.programme
            self._again[which] = Again(programme, self._change(which), threads=self._threads)
        others = (column for other, column in self.model.short.items() if other != key)
        cost = dict.fromkeys(others, 0.0)
        return self._again[which].solved(cost, time_limit_s=EACH_S, fixed=fixed)

    def _change(self, which: str) -> Change:
        change = unlimited(self.model, self._short)
        if which == "unlimited":
            return change
        held = self._climates.holding(self.model)
        change = replace(change, row_upper=held.row_upper, upper={**change.upper, **held.upper})
        if which == "limits":
            return change
        return replace(change, slack={each.row: each.price for each in self.model.capacities})
