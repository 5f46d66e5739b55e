"""What each outlet gets in many seasons, week by week.

In every season only what no promise takes goes to outlets: what is left of a picking once promises
were served from the oldest. That is settled by what lies there already, whatever is picked later,
so no promise is touched. On each day as much of it stays in the store as the plan has there; the
rest goes to the outlets of the day: first what the plan has for each, then more, the better payer
first, within least and most.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from pinset.planning.outlets.surplus import Crop, SurplusPlan
from pinset.planning.outlets.visits import Visit
from pinset.planning.problem import IN_STORE, Problem

Row = NDArray[np.float32]
WEEK = 7
ZERO = np.float32(0.0)
GRAMS_PER_KG = 1000.0


@dataclass(frozen=True, slots=True)
class OutletRange:
    """What an outlet gets in one week, as chance may have it."""

    outlet: str
    monday: date
    expected: float  # g, the mean
    low: float  # g: one season in ten brings less
    high: float  # g: one in ten brings more
    cents: float | None = None  # what that brings, the mean; None: told before it was reckoned


@dataclass(frozen=True, slots=True)
class OutletDays:
    """The outlets of a farm, what is expected to be left over, and what of it each is to get."""

    visits: tuple[Visit, ...]
    crops: tuple[Crop, ...]
    planned: SurplusPlan


def outlet_ranges(
    problem: Problem, left_over: NDArray[np.float32], outlets: OutletDays
) -> tuple[OutletRange, ...]:
    """Return what each outlet gets by week: the mean, its money, and the range of 8 seasons in 10.

    Weeks are left out near whose end something may be picked of which it is not known whether
    promises take it.

    Parameters
    ----------
    problem : Problem
        The farm.
    left_over : ndarray, shape (recipes, days, seasons)
        What becomes too old on each day because no promise takes it. [g]
    outlets : OutletDays
        Who takes what, when, and what the plan has for them.
    """
    days, weeks = left_over.shape[1], defaultdict[tuple[date, str], list[Row]](list)
    brought: dict[tuple[date, str], float] = defaultdict(float)
    known = days - 1 - max((recipe.picked_keeps_days for recipe in problem.recipes), default=0)
    shop = _sold(problem, left_over, outlets)
    for v, grams in shop.given.items():
        visit = outlets.visits[v]
        on = problem.date_of(visit.day)
        if visit.day + WEEK - 1 - on.weekday() < known:
            key = on - timedelta(days=on.weekday()), visit.outlet
            weeks[key].append(grams)
            brought[key] += shop.cents[v]
    found = []
    for (monday, outlet), rows in sorted(weeks.items()):
        grams = np.sum(rows, axis=0, dtype=np.float32)
        low, high = np.quantile(grams, (0.1, 0.9))
        cents = brought[monday, outlet]
        mean = float(grams.mean())
        found.append(OutletRange(outlet, monday, mean, float(low), float(high), cents))
    return tuple(found)


def handed_over(
    problem: Problem, left_over: NDArray[np.float32], outlets: OutletDays
) -> dict[int, Row]:
    """Return what each visit, by its number, gets in every season, all varieties together. [g]."""
    return _sold(problem, left_over, outlets).given


def _sold(problem: Problem, left_over: NDArray[np.float32], outlets: OutletDays) -> _Shop:
    """Return the outlets' days as they were in every season."""
    planned = _planned(problem, outlets)
    expected = _Shop(problem, _expected(problem, left_over.shape[1], outlets.crops), outlets.visits)
    expected.open(planned, None)
    shop = _Shop(problem, left_over, outlets.visits)
    shop.open(planned, {key: float(grams[0]) for key, grams in expected.kept.items()})
    return shop


def _expected(problem: Problem, days: int, crops: Sequence[Crop]) -> NDArray[np.float32]:
    """Return what the plan expects to become too old, as one season."""
    numbers = {recipe.variety: r for r, recipe in enumerate(problem.recipes)}
    found = np.zeros((len(problem.recipes), days, 1), np.float32)
    for crop in crops:
        if crop.last_day + 1 < days:
            found[numbers[crop.variety], crop.last_day + 1] += np.float32(crop.grams)
    return found


def _planned(problem: Problem, outlets: OutletDays) -> dict[int, dict[str, float]]:
    """Return what the plan has for each visit, by variety."""
    of_day: dict[tuple[str, date], dict[str, float]] = defaultdict(dict)
    for share in outlets.planned.shares:
        of_day[share.outlet, share.day][share.variety] = share.grams
    return {
        v: of_day.get((visit.outlet, problem.date_of(visit.day)), {})
        for v, visit in enumerate(outlets.visits)
    }


class _Shop:
    """What no promise takes, as it lies in the store of every season until an outlet gets it."""

    def __init__(
        self, problem: Problem, left_over: NDArray[np.float32], visits: Sequence[Visit]
    ) -> None:
        self.problem, self.left_over, self.visits = problem, left_over, visits
        self.seasons = left_over.shape[2]
        self.lying: list[list[tuple[int, Row]]] = [[] for _ in problem.recipes]
        self.given: dict[int, Row] = {}
        self.cents: dict[int, float] = {}  # what each visit brings, the mean of the seasons
        self.kept: dict[tuple[int, int], Row] = {}  # by recipe and day
        self.by_day: dict[int, list[int]] = defaultdict(list)
        for v, visit in enumerate(visits):
            self.by_day[visit.packed].append(v)
        for here in self.by_day.values():
            here.sort(key=lambda v: -max(visits[v].cents.values()))

    def open(
        self,
        planned: Mapping[int, Mapping[str, float]],
        levels: Mapping[tuple[int, int], float] | None,
    ) -> None:
        """Live all days; without levels nothing beyond what is planned is handed over."""
        keeps = [recipe.picked_keeps_days for recipe in self.problem.recipes]
        days = self.left_over.shape[1]
        for r, kept in enumerate(keeps):
            self.lying[r] = [
                (last, self.left_over[r, last + 1].copy())
                for last in range(min(kept, days - 1))
                if self.left_over[r, last + 1].any()
            ]
        self._serve(IN_STORE, planned, levels)
        for day in range(days):
            for r, kept in enumerate(keeps):
                self.lying[r] = [part for part in self.lying[r] if part[0] >= day]
                last = day + kept
                if last + 1 < days and self.left_over[r, last + 1].any():
                    self.lying[r].append((last, self.left_over[r, last + 1].copy()))
            self._serve(day, planned, levels)

    def _serve(
        self,
        day: int,
        planned: Mapping[int, Mapping[str, float]],
        levels: Mapping[tuple[int, int], float] | None,
    ) -> None:
        """Serve the outlets that are packed at the end of a day, and note what stays."""
        here = self.by_day.get(day, [])
        free = {
            (r, self.visits[v].day): self._beyond(r, day, self.visits[v].day, levels or {})
            for v in here
            for r in self._recipes(v)
        }
        given = {v: self._as_planned(v, planned[v], free) for v in here}
        for v in here if levels is not None else ():
            self._more(v, given[v], free)
        for v in here:
            self._hand_over(v, given[v])
        for r in range(len(self.lying)):
            self.kept[r, day] = self._stock(r, day)

    def _recipes(self, v: int) -> list[int]:
        """Return the recipes a visit takes, the best paid first."""
        cents = self.visits[v].cents
        found = [r for r, recipe in enumerate(self.problem.recipes) if recipe.variety in cents]
        return sorted(found, key=lambda r: -cents[self.problem.recipes[r].variety])

    def _stock(self, r: int, good_on: int) -> Row:
        found = np.zeros(self.seasons, np.float32)
        for last, grams in self.lying[r]:
            if last >= good_on:
                found += grams
        return found

    def _beyond(
        self, r: int, day: int, good_on: int, levels: Mapping[tuple[int, int], float]
    ) -> Row:
        kept = np.float32(levels.get((r, day), 0.0))
        beyond: Row = np.maximum(ZERO, self._stock(r, good_on) - kept)
        return beyond

    def _as_planned(
        self, v: int, planned: Mapping[str, float], free: dict[tuple[int, int], Row]
    ) -> dict[int, Row]:
        given: dict[int, Row] = {}
        for r in self._recipes(v):
            wanted = np.float32(planned.get(self.problem.recipes[r].variety, 0.0))
            given[r] = np.minimum(wanted, free[r, self.visits[v].day])
            _less(free, r, given[r])
        return given

    def _more(self, v: int, given: dict[int, Row], free: dict[tuple[int, int], Row]) -> None:
        visit = self.visits[v]
        room = np.float32(visit.most) - np.sum(list(given.values()), axis=0, dtype=np.float32)
        for r in self._recipes(v):
            more = np.minimum(np.maximum(ZERO, room), free[r, visit.day])
            given[r] = given[r] + more
            room = room - more
            _less(free, r, more)

    def _hand_over(self, v: int, given: Mapping[int, Row]) -> None:
        """Give a visit what is for it, from the oldest still good; nothing below its least."""
        visit = self.visits[v]
        total = np.sum(list(given.values()), axis=0, dtype=np.float32)
        goes = total >= np.float32(visit.least * (1.0 - 1e-5))
        handed = np.zeros(self.seasons, np.float32)
        self.cents[v] = 0.0
        for r, grams in given.items():
            wanted = np.where(goes, grams, ZERO).astype(np.float32)
            left = wanted.copy()
            for last, lying in self.lying[r]:
                if last >= visit.day:
                    taken = np.minimum(lying, left)
                    np.subtract(lying, taken, out=lying)
                    left -= taken
                    handed += taken
            price = visit.cents[self.problem.recipes[r].variety]
            self.cents[v] += price * float((wanted - left).mean()) / GRAMS_PER_KG
        self.given[v] = handed


def _less(free: dict[tuple[int, int], Row], r: int, grams: Row) -> None:
    """Take what is given to one visit off what is free for all of that evening."""
    for (recipe, day), row in free.items():
        if recipe == r:
            free[recipe, day] = np.maximum(row - grams, ZERO)
