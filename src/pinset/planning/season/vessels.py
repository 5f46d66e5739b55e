"""Prepared vessels of a season that is lived through: cooked as planned, used by the starts.

Without them every new plan would take the vessels of its first days as ready, week after week,
and so be given cooks that nobody ran.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace

from pinset.planning.plan import Plan
from pinset.planning.problem import Problem
from pinset.planning.resources import Resources, Sterile

LEAST_LITRES = 0.01
KEEPS_DAYS = 14  # sterile and closed, after its cook; common practice, no source

Batch = tuple[int, int, int]  # recipe, making, day


@dataclass(slots=True)
class _Cooked:
    """Litres of one kind that stand, of one day's cook."""

    day: int
    litres: float
    from_day: int  # they may be inoculated


class Vessels:
    """What was cooked and not yet used, in the litres of the plan."""

    def __init__(self, problem: Problem) -> None:
        """Start with what the problem's first plan takes as ready."""
        self._problem = problem
        self._standing: dict[str, list[_Cooked]] = defaultdict(list)
        self._meant: dict[tuple[str, int], dict[str, float]] = {}  # by kind and day, litres by mix
        self._cooks: dict[int, list[_Cooked]] = {}
        self._kinds: dict[int, list[str]] = {}
        for each in problem.resources.sterile:
            last = each.last_day - KEEPS_DAYS
            self._standing[each.cook].append(_Cooked(last, each.litres, each.first_day))
        self._begun: dict[tuple[str, int], float] = {}
        self._is_first = not problem.resources.is_sterile_counted

    def follow(self, plan: Plan) -> None:
        """Cook and start by this plan from now on."""
        problem = self._problem
        recipes = {recipe.variety: recipe for recipe in problem.recipes}
        self._meant, self._cooks, self._kinds, self._begun = {}, {}, {}, {}
        options = {
            (steriliser.code, option.kind): option.litres
            for steriliser in problem.resources.sterilisers
            for option in steriliser.cooks
        }
        for cook in plan.cooks:
            day = (cook.day - problem.start).days
            litres = cook.cooks * options[cook.steriliser, cook.kind]
            ready = problem.resources.serves_from(cook.steriliser, cook.kind, day, is_last=False)
            made = _Cooked(day, litres, day + 1 if ready is None else ready)
            self._cooks.setdefault(day, []).append(made)
            self._kinds.setdefault(day, []).append(cook.kind)
            key = (cook.kind, day)
            self._begun[key] = self._begun.get(key, 0.0) + litres
        for start in plan.starts:
            making = recipes[start.variety].making(start.step)
            if making is None or not making.cook or making.litres <= 0:
                continue
            day = (start.day - problem.start).days
            litres = start.count * making.litres
            by_mix = self._meant.setdefault((making.cook, day), {})
            by_mix[making.mix] = by_mix.get(making.mix, 0.0) + litres
            if self._is_first and start.assumes_prepared:
                self._standing[making.cook].append(_Cooked(day - 1, litres, day))
        self._is_first = False

    def live(self, day: int, started: dict[Batch, tuple[float, float]]) -> None:
        """Use the vessels of a day's starts, then cook what is planned for it.

        ``started`` holds what was planned of each batch and what came of it, in units: no more
        vessels are used than were planned, and those without a parent stay over.
        """
        for (r, k, when), (planned, units) in started.items():
            making = self._problem.recipes[r].makings[k]
            if when == day and making.cook:
                self._use(making.cook, min(planned, units) * making.litres)
        for kind, made in zip(self._kinds.get(day, []), self._cooks.get(day, []), strict=True):
            self._standing[kind].append(replace(made))
        for kind, standing in self._standing.items():
            self._standing[kind] = [
                each
                for each in standing
                if each.litres > LEAST_LITRES and each.day + KEEPS_DAYS > day
            ]

    def _use(self, kind: str, litres: float) -> None:
        for each in self._standing[kind]:
            taken = min(each.litres, litres)
            each.litres -= taken
            litres -= taken

    def counted(self, resources: Resources, day: int) -> Resources:
        """Return the resources of a later day with the vessels that stand ready then.

        They are told apart by what the plan before meant them for, the soonest start first.
        """
        sterile: list[Sterile] = []
        for kind, standing in sorted(self._standing.items()):
            meant = [
                [litres, mix]
                for (cook, when), by_mix in sorted(self._meant.items(), key=lambda each: each[0][1])
                if cook == kind and when >= day
                for mix, litres in sorted(by_mix.items())
            ]
            for each in standing:
                left = each.litres
                first, last = max(0, each.from_day - day), each.day + KEEPS_DAYS - day
                for wish in meant:
                    litres = min(left, float(wish[0]))
                    if litres > LEAST_LITRES:
                        sterile.append(Sterile(kind, litres, last, first, str(wish[1])))
                        wish[0] = float(wish[0]) - litres
                        left -= litres
                if left > LEAST_LITRES:
                    sterile.append(Sterile(kind, left, last, first))
        begun = tuple(
            (kind, when - day, litres)
            for (kind, when), litres in sorted(self._begun.items())
            if day <= when < day + resources.first_cook_day(kind)
        )
        return replace(resources, sterile=tuple(sterile), begun=begun, is_sterile_counted=True)
