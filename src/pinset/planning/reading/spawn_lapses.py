"""Cultures, plates or spawn alive today that no start of a plan takes before their time is over."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import floor

from pinset.chain.stages import Stage
from pinset.planning.model.columns import Model
from pinset.planning.model.reach import is_in_time, reach_of
from pinset.planning.plan import Lapse
from pinset.planning.problem import Problem
from pinset.planning.reading.explain import day_in_words, noun_for, units_for
from pinset.planning.reading.new_batches import has_vessels
from pinset.planning.reading.pegging import NOTHING, Batch, Use
from pinset.planning.reading.short_reason import ShortReason
from pinset.planning.reading.shortfall import is_worth_saying
from pinset.planning.reading.trace import Trace
from pinset.planning.recipes import Making, Recipe


def spawn_lapses_of(model: Model, found: Trace) -> Iterator[Lapse]:
    """Yield what inoculates and lapses within the whole-number days; tubes have their own shelf.

    Parameters
    ----------
    model : Model
        The programme.
    found : Trace
        What the plan decides, with what every lot is used for.

    Yields
    ------
    Lapse
        One for all units of a step and variety that lapse on one day by one cause; what is still
        on order is not among them.
    """
    problem = model.problem
    for r, recipe in enumerate(problem.recipes):
        for k, making in enumerate(recipe.makings):
            is_fruited = recipe.fruiting is not None and recipe.fruiting.parent == making.step
            if is_fruited or making.stage is Stage.TUBE:
                continue
            judge = _Judge(problem, r, recipe, making, found)
            together: dict[tuple[int, ShortReason], list[Batch]] = {}
            for batch in found.batches.get((r, k), ()):
                is_here = batch.lot and batch.place
                if is_here and batch.keeps_day < problem.whole_days and _units(batch) > 0:
                    key = (batch.keeps_day, judge.cause(batch))
                    together.setdefault(key, []).append(batch)
            for (last, cause), batches in together.items():
                yield judge.told(batches, last, cause)


def _units(batch: Batch) -> int:
    return floor(batch.left + NOTHING)


@dataclass(frozen=True, slots=True)
class _Judge:
    """Why units of one step lapse, and what the plan takes in their place."""

    problem: Problem
    r: int
    recipe: Recipe
    making: Making
    found: Trace

    def cause(self, batch: Batch) -> ShortReason:
        """Return why nothing is started from a lot by its last day."""
        first, last = max(0, batch.ready_day), batch.keeps_day
        if not self._is_needed(first, last):
            return ShortReason.NOT_NEEDED
        days = [(child, t) for child in self._children() for t in child.start_days]
        days = [(child, t) for child, t in days if first <= t <= last]
        if not days:
            return ShortReason.SET_DAYS
        if not any(has_vessels(self.problem, child, t) for child, t in days):
            return ShortReason.FULL
        return ShortReason.TOO_LITTLE

    def told(self, batches: Iterable[Batch], last: int, cause: ShortReason) -> Lapse:
        """Return the lapse of these lots, with its sentence."""
        units = sum(_units(each) for each in batches)
        lots = tuple(dict.fromkeys(each.lot for each in batches))
        keep, them = ("keeps", "it") if units == 1 else ("keep", "them")
        until = self._day(last)
        what = f"{units_for(self.making, units)} of {self.recipe.name} ({', '.join(lots)})"
        made = _joined(noun_for(child, 2) for child in self._children())
        return Lapse(
            variety=self.recipe.variety,
            step=self.making.step,
            lots=lots,
            units=float(units),
            last_day=self.problem.date_of(last),
            cause=cause,
            words=(
                f"{what} {keep} until {until} and {self._why(cause, them, made)}{self._next(last)}."
                f"{_what_helps(cause, made, noun_for(self.making, units))} would save {them}."
            ),
        )

    def _why(self, cause: ShortReason, them: str, made: str) -> str:
        if cause is ShortReason.SET_DAYS:
            return f"no day for starting {made} falls before that"
        if cause is ShortReason.FULL:
            return f"no vessels are prepared by then that could be started from {them}"
        if cause is ShortReason.TOO_LITTLE:
            return f"the plan has no time, or no whole batch, to use {them} by then"
        return f"nothing in the plan needs {them} by then"

    def _next(self, last: int) -> str:
        """Return what is started after their last day, and from what: their time is over then."""
        later = [
            (use.day, child, use)
            for (owner, child, a, t), use in self.found.uses.items()
            if owner == self.r
            and last < t < self.problem.whole_days
            and self.recipe.makings[child].arcs[a].parent == self.making.step
            and use.taken
        ]
        if not later:
            return ""
        day, child, use = min(later, key=lambda each: each[:2])
        started = round(self.found.starts.get((self.r, child, day), 0.0))
        return (
            f"; the next start after that, {units_for(self.recipe.makings[child], started)} on "
            f"{self._day(day)}, takes {self._source(use)}"
        )

    def _source(self, use: Use) -> str:
        batch = use.taken[0][0]
        if batch.start is not None:
            verb = "ordered" if self.making.is_purchase else "made"
            return f"what is to be {verb} on {self._day(batch.start[2])}"
        return f"from {batch.lot}" if batch.place else "what is on order"

    def _children(self) -> list[Making]:
        return [
            each
            for each in self.recipe.makings
            if any(arc.parent == self.making.step for arc in each.arcs)
        ]

    def _is_needed(self, first: int, last: int) -> bool:
        """Say whether something is short that units usable on these days could serve."""
        for key, amount in self.found.short.items():
            if key[0] != self.r or not is_worth_saying(key, amount):
                continue
            span = reach_of(self.recipe, key[1]).spans.get(self.making.step)
            if span is not None and is_in_time((first + span[0], last + span[1]), key):
                return True
        return False

    def _day(self, day: int) -> str:
        return day_in_words(self.problem.date_of(day))


def _what_helps(cause: ShortReason, made: str, noun: str) -> str:
    """Return what would help: starting something, where that is possible, or a buyer."""
    buyer = f"a buyer for the {noun}"
    if not made:
        return f" Only {buyer}"
    if cause is ShortReason.SET_DAYS:
        return f" {made.capitalize()} started on another day by then, or {buyer},"
    if cause is ShortReason.FULL:
        return f" Vessels for {made} cooked in time by hand, or {buyer},"
    return f" {made.capitalize()} started by then all the same, or {buyer},"


def _joined(nouns: Iterable[str]) -> str:
    return " or ".join(dict.fromkeys(nouns))
