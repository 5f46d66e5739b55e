"""Prepared vessels of a season that is lived through: cooked as planned, used by the starts.

Without them every new plan would take the vessels of its first days as ready, week after week,
and so be given cooks that nobody ran.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace

from pinset.planning.plan import Plan
from pinset.planning.problem import Problem
from pinset.planning.resources import Begun, Resources, Sterile
from pinset.planning.season.targets import Key

KEEPS_DAYS = 14  # sterile and closed, after the cook; common practice, no source
BEGUN_KEEPS_DAYS = 1  # soaked or filled, until its cook; common practice, no source
LEAST_LITRES = 0.01


@dataclass(slots=True)
class _Cooked:
    """What stands of one kind from one day's cooks."""

    kind: str
    day: int  # of the cook
    from_day: int  # it may be inoculated
    litres: float


@dataclass(slots=True)
class _Meant:
    """What a plan starts on one day into vessels of one sort."""

    day: int
    kind: str
    mix: str
    litres: float


class Vessels:
    """What was cooked and is not used yet, in litres."""

    def __init__(self, problem: Problem) -> None:
        """Begin with what stands on the problem's first day."""
        self._problem = problem
        self._is_first = not problem.resources.is_sterile_counted
        self._standing = [
            _Cooked(each.cook, each.last_day - KEEPS_DAYS, each.first_day, each.litres)
            for each in problem.resources.sterile
        ]
        self._cooks: dict[int, list[_Cooked]] = {}
        self._meant: list[_Meant] = []

    def follow(self, plan: Plan) -> None:
        """Cook and start by this plan from now on; the first one's ready vessels are put there."""
        problem = self._problem
        litres = {
            (steriliser.code, option.kind): option.litres
            for steriliser in problem.resources.sterilisers
            for option in steriliser.cooks
        }
        cooks: dict[int, list[_Cooked]] = defaultdict(list)
        for cook in plan.cooks:
            day = (cook.day - problem.start).days
            ready = problem.resources.serves_from(cook.steriliser, cook.kind, day, is_last=False)
            made = cook.cooks * litres[cook.steriliser, cook.kind]
            if ready is None or cook.provisional:  # a far week's cooks stand on its first day
                ready = day + 1
            cooks[day].append(_Cooked(cook.kind, day, ready, made))
        self._cooks, self._meant = cooks, []
        for start in plan.starts:
            recipe = problem.recipe(start.variety)
            making = recipe.making(start.step) if recipe is not None else None
            if making is None or not making.cook or making.litres <= 0.0:
                continue
            day = (start.day - problem.start).days
            meant = _Meant(day, making.cook, making.mix, start.count * making.litres)
            self._meant.append(meant)
            if self._is_first and start.assumes_prepared:
                self._standing.append(_Cooked(making.cook, day - 1, day, meant.litres))
        self._meant.sort(key=lambda each: (each.day, each.mix))
        self._is_first = False

    def live(self, day: int, started: Mapping[Key, tuple[float, float]]) -> None:
        """Use the vessels of a day's starts, then cook what is planned for it.

        Parameters
        ----------
        day : int
            Of the problem.
        started : mapping
            Units planned of each of its batches, and units that were started. Vessels for which
            there was no parent stay over.
        """
        for (r, k, _), (_, units) in started.items():
            making = self._problem.recipes[r].makings[k]
            if making.cook:
                self._use(making.cook, units * making.litres)
        self._standing += [replace(each) for each in self._cooks.get(day, ())]
        self._standing = [
            each
            for each in self._standing
            if each.litres > LEAST_LITRES and each.day + KEEPS_DAYS > day
        ]

    def _use(self, kind: str, litres: float) -> None:
        for each in self._standing:
            if each.kind == kind:
                taken = min(each.litres, litres)
                each.litres -= taken
                litres -= taken

    def counted(self, resources: Resources, day: int) -> Resources:
        """Return the resources of a later day with the vessels that stand then.

        They hold the mix of the starts they were cooked for, the soonest first; what is left over
        serves any.
        """
        sterile = []
        wishes = [replace(each) for each in self._meant if each.day >= day]
        for each in self._standing:
            ready = Sterile(
                each.kind, each.litres, each.day + KEEPS_DAYS - day, max(0, each.from_day - day)
            )
            left = each.litres
            for wish in wishes:
                taken = min(left, wish.litres) if wish.kind == each.kind else 0.0
                if taken > LEAST_LITRES:
                    sterile.append(replace(ready, litres=taken, mix=wish.mix))
                    wish.litres -= taken
                    left -= taken
            if left > LEAST_LITRES:
                sterile.append(replace(ready, litres=left))
        first: dict[str, int] = {}
        for soonest in resources.first_cook:
            first[soonest.cook] = max(first.get(soonest.cook, 0), soonest.day)
        begun = tuple(
            Begun(cook.kind, cook.litres, when - day, when - day + BEGUN_KEEPS_DAYS)
            for when, cooks in sorted(self._cooks.items())
            for cook in cooks
            if day <= when < day + first.get(cook.kind, 0)
        )
        return replace(resources, sterile=tuple(sterile), begun=begun, is_sterile_counted=True)
