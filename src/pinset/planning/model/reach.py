"""Which decision can still help a promise: by when its units arrive, and how long they last."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from pinset.planning.model.columns import WEEK, Capacity, Model
from pinset.planning.model.cook_days import serves_cooks_of
from pinset.planning.reading.pegging import Key
from pinset.planning.recipes import Recipe

Span = tuple[int, int]  # first and last day on which what is sold can come of something


@dataclass(frozen=True, slots=True)
class Reach:
    """For each thing sold of a recipe, the days between which usable units of a step can serve it.

    ``spans[step]`` are days after the units are used; ``waits`` is how long they stay usable.
    """

    spans: Mapping[str, Span]
    waits: Mapping[str, int]

    def from_ready(self, step: str, day: int) -> Span | None:
        """Return the days that units usable from a day can serve, or None: they never do."""
        span = self.spans.get(step)
        if span is None:
            return None
        return day + span[0], day + self.waits[step] + span[1]


def reach_of(recipe: Recipe, sold_step: str) -> Reach:
    """Return how each step's units reach what is sold (``picked``, or a making's units)."""
    spans: dict[str, Span] = {}
    waits = {making.step: making.window_days - 1 for making in recipe.makings}
    fruiting = recipe.fruiting
    if sold_step != "picked":
        spans[sold_step] = (0, 0)
    elif fruiting is not None and fruiting.curve:
        days = [day for each in fruiting.pick_days for day in each]
        days = days or [pick.day for pick in fruiting.curve]
        spans[fruiting.parent] = (min(days), max(days) + recipe.picked_keeps_days)
    for child in reversed(recipe.makings):
        span = spans.get(child.step)
        if span is None:
            continue
        soonest, latest = child.leads
        first, last = soonest + span[0], latest + waits[child.step] + span[1]
        for arc in child.arcs:
            own = spans.get(arc.parent, (first, last))
            spans[arc.parent] = (min(own[0], first), max(own[1], last))
    return Reach(spans, waits)


def is_in_time(span: Span, key: Key, late: int = 0) -> bool:
    """Say whether what serves those days is there when a promise is packed, and keeps until due."""
    return span[0] <= key[2] and key[3] <= span[1] + late


class Causes:
    """What each column of the programme can do for a promise; reckoned once for all of them."""

    def __init__(self, model: Model) -> None:
        self.model = model
        self._starts = {column: key for key, column in model.x.items()}
        self._starts |= {column: key for key, column in model.s.items()}
        self._moves = {column: key for key, column in model.v.items()}
        self._kept = {column: key for key, column in model.kept.items()}
        self._cooks = {column: key for key, column in model.n.items()}
        self._chilled = {column: model.problem.stock[n] for n, column in model.chill.items()}
        self._reach: dict[tuple[int, str], Reach] = {}

    def reach(self, r: int, sold_step: str) -> Reach:
        """Return the reach of a recipe's steps to what is sold of it."""
        if (r, sold_step) not in self._reach:
            self._reach[r, sold_step] = reach_of(self.model.problem.recipes[r], sold_step)
        return self._reach[r, sold_step]

    def can_help(self, capacity: Capacity, key: Key) -> bool:
        """Whether more of a capacity on its day lets more of a promise be there on its day."""
        if self.model.problem.recipes[key[0]].variety not in capacity.varieties:
            return False
        lp = self.model.programme
        late = 0 if self.model.is_whole(capacity.day) else WEEK  # far rows stand for a week
        if capacity.unit == "L":
            kind = capacity.resource.rsplit(" ", 1)[1]
            span = self._span_of_cook(("", kind, capacity.day), key)
            return span is not None and is_in_time(span, key, late)
        columns = lp.index[lp.starts[capacity.row] : lp.starts[capacity.row + 1]]
        return any(
            span is not None and is_in_time(span, key, late)
            for span in (self._span(column, key) for column in columns)
        )

    def can_reach(self, column: int, key: Key) -> bool:
        """Whether a start, a move or a kept unit can be there for a promise on its day."""
        span = self._span(column, key)
        return span is not None and is_in_time(span, key)

    def _span(self, column: int, key: Key) -> Span | None:
        r, step = key[:2]
        reach = self.reach(r, step)
        recipe = self.model.problem.recipes[r]
        if column in self._starts:
            owner, k, t = self._starts[column]
            making = recipe.makings[k] if owner == r else None
            return reach.from_ready(making.step, making.ready(t)) if making else None
        if column in self._kept:
            owner, k, t = self._kept[column]
            return reach.from_ready(recipe.makings[k].step, t) if owner == r else None
        if column in self._moves and recipe.fruiting is not None and step == "picked":
            owner, _, t = self._moves[column]
            span = reach.spans.get(recipe.fruiting.parent)
            return (t + span[0], t + span[1]) if owner == r and span else None
        if column in self._cooks:
            return self._span_of_cook(self._cooks[column], key)
        return self._span_of_cold(column, recipe, reach)

    def _span_of_cold(self, column: int, recipe: Recipe, reach: Reach) -> Span | None:
        """Return the days that a lot can serve only because it is kept cold."""
        lot = self._chilled.get(column)
        span = reach.spans.get(lot.step) if lot is not None else None
        if lot is None or lot.cold is None or span is None or lot.variety != recipe.variety:
            return None
        return lot.last_day + span[0], lot.cold.last_day + span[1]

    def _span_of_cook(self, cook: tuple[str, str, int], key: Key) -> Span | None:
        steriliser, kind, t = cook
        reach = self.reach(key[0], key[1])
        resources = self.model.problem.resources
        days = self.model.days_of(t)
        spans = []
        for making in self.model.problem.recipes[key[0]].makings:
            keeps = resources.keeps_days(kind, making.cook_days_before)
            before = making.cook_days_before
            served = serves_cooks_of(self.model, steriliser, kind, days, before)
            start = before + (t if served is None else served)
            day = start + making.lead_on(start)
            span = reach.from_ready(making.step, day) if making.cook == kind else None
            if span is not None:
                spans.append((span[0], span[1] + keeps))
        if not spans:
            return None
        return min(first for first, _ in spans), max(last for _, last in spans)
