"""What ripens, is picked, kept cold and handed over, in many seasons at once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np
from numpy.typing import NDArray

from pinset.chain.register import Spread
from pinset.planning.problem import Problem
from pinset.planning.recipes import Picking
from pinset.planning.season.draws import Draws, Row
from pinset.planning.season.odds import Bearing
from pinset.planning.season.stock import ZERO

AFTER_DAYS = 90  # past the last that late pickings may fall on
BEFORE_DAYS = 31  # before today on which what hangs may have ripened


@dataclass(slots=True)
class Hung:
    """What entered a grow room in the one season that is lived through."""

    r: int
    units: float
    curve: Sequence[Picking]  # of one unit, days counted from ``entered``
    entered: int
    days: list[float]  # on which each picking of the curve is ripe
    places: float = 0.0  # in all; 0: as its recipe says


class Harvest:
    """Mushrooms of every variety: hanging in the rooms, and fresh in the store."""

    def __init__(self, problem: Problem, draws: Draws) -> None:
        """Put what lies in the store there; nothing hangs yet."""
        days = problem.days + AFTER_DAYS
        self._draws = draws
        self._everyone = np.arange(draws.seasons)
        self._staffed = [problem.resources.next_staffed(day) for day in range(days)]
        self._is_sold = np.array(  # what ripens on a day, from BEFORE_DAYS before today on
            [problem.resources.picked_on(day) is not None for day in range(-BEFORE_DAYS, days)]
        )
        self.hung: list[Hung] = []  # where there is one season only
        self._keeps = [recipe.picked_keeps_days for recipe in problem.recipes]
        self.hanging: list[NDArray[np.float32]] = [
            np.zeros((days, draws.seasons), np.float32) for _ in problem.recipes
        ]
        self._awaited: list[NDArray[np.float32]] = [  # what units bear as expected, when it ripens
            np.zeros((days, draws.seasons), np.float32) for _ in problem.recipes
        ]
        self.left_over: list[NDArray[np.float32]] = [  # by the day it is too old to be sold
            np.zeros((days, draws.seasons), np.float32) for _ in problem.recipes
        ]
        self._fresh: list[list[tuple[int, Row]]] = [[] for _ in problem.recipes]
        numbers = {recipe.variety: r for r, recipe in enumerate(problem.recipes)}
        for each in sorted(problem.store, key=lambda one: one.last_day):
            if each.variety in numbers:
                grams = np.full(draws.seasons, each.grams, np.float32)
                self._fresh[numbers[each.variety]].append((each.last_day, grams))

    def bear(
        self,
        r: int,
        units: Row | np.float32,
        curve: Sequence[Picking],
        bearing: Bearing | None,
        *,
        entered: int = 0,
        age: float | None = 0.0,
        slowness: float = 1.0,
    ) -> Row:
        """Let units bear along a curve, each lot late or early, more or less than expected.

        Parameters
        ----------
        r : int
            Number of the recipe.
        units : Row
            In the room; the curve is of one.
        curve : sequence of Picking
            Grams by day, counted from ``entered``.
        bearing : Bearing or None
            The spreads; without them it comes as the curve says.
        entered : int
            Day they entered the room, or 0 where the curve's days are the problem's.
        age : float or None
            Days they have waited for their first flush already; None: that has begun.
        slowness : float
            Times the usual days that the months take.

        Returns
        -------
        Row
            Days by which the last flush is later than the curve's.
        """
        late = np.zeros(self._draws.seasons, np.float32)
        factor = self._draws.bearing(bearing.spread if bearing is not None else 0.0)
        if bearing is not None and curve and age is not None:
            late = self._late(bearing.days, bearing.curve[0].day, age, slowness)
        days: list[float] = []
        flush = min((pick.flush for pick in curve), default=1)
        for pick in curve:
            if pick.flush > flush:
                late, flush = late + self._gap(bearing, pick.flush, slowness), pick.flush
            expected = units * np.float32(pick.grams)
            self._ripen(r, late + np.float32(entered + pick.day), expected, factor)
            days.append(float(late[0]) + entered + pick.day)
        if self._draws.seasons == 1:
            self.hung.append(Hung(r, float(np.max(units)), curve, entered, days))
        return late

    def _late(self, spread: Spread, planned: int, age: float, slowness: float) -> Row:
        if slowness != 1.0:
            low, mode, high = (slowness * each for each in (spread.low, spread.mode, spread.high))
            spread, planned = Spread(low, mode, high), ceil(slowness * planned)
        return self._draws.days_off_plan(spread, planned, age)

    def _gap(self, bearing: Bearing | None, flush: int, slowness: float) -> Row:
        if bearing is None or not 0 <= flush - 2 < len(bearing.gaps):
            return np.zeros(self._draws.seasons, np.float32)
        gap = bearing.gaps[flush - 2]
        return self._late(gap, ceil(gap.mean), 0.0, slowness)

    def _ripen(self, r: int, day: Row, expected: Row | np.float32, factor: Row) -> None:
        hanging = self.hanging[r]
        ripe = np.clip(day, -BEFORE_DAYS, len(hanging) - 1).astype(np.intp)
        expected = expected * self._is_sold[ripe + BEFORE_DAYS]
        place = np.maximum(ripe, 0)
        hanging[place, self._everyone] += expected * factor
        self._awaited[r][place, self._everyone] += expected

    def coming(self, r: int, day: int, until: int) -> Row:
        """Return the grams of a recipe that lie fresh or are expected to ripen until a day.

        When they ripen is seen ahead; how much it will be is not.
        """
        total: Row = self._awaited[r][day : until + 1].sum(axis=0)
        for last, grams in self._fresh[r]:
            if last >= day:
                total += grams
        return total

    def pick(self, r: int, day: int) -> None:
        """Pick what is ripe if somebody is here; else it hangs until somebody is.

        What would be spoilt until then does not hang here: see :meth:`_ripen`.
        """
        hanging, fresh = self.hanging[r], self._fresh[r]
        staffed = self._staffed[day]
        if staffed != day:
            hanging[min(staffed, len(hanging) - 1)] += hanging[day]
            hanging[day] = ZERO
            awaited = self._awaited[r]
            awaited[min(staffed, len(awaited) - 1)] += awaited[day]
        elif hanging[day].any():
            fresh.append((day + self._keeps[r], hanging[day].copy()))
        while fresh and fresh[0][0] < day:
            _, grams = fresh.pop(0)
            self.left_over[r][day] += grams

    def lying(self, r: int) -> list[tuple[int, Row]]:
        """Return what lies in the store of a recipe: last day it can be sold, grams."""
        return [(last, grams.copy()) for last, grams in self._fresh[r]]

    def hand_over(self, r: int, wanted: Iterable[tuple[float, int]]) -> list[Row]:
        """Serve buyers in their order; return what each gets, in g.

        Each wants so many grams, and gets the oldest mushrooms that keep until the day on which
        they are handed over.
        """
        served = []
        for amount, due in wanted:
            left = np.full(self._draws.seasons, amount, np.float32)
            for last, grams in self._fresh[r]:
                if last < due:
                    continue
                taken = np.minimum(grams, left)
                np.subtract(grams, taken, out=grams)
                left -= taken
            served.append((np.float32(amount) - left).astype(np.float32))
        return served
