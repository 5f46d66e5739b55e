"""How sure the promises are: the plan carried out in many seasons, order by order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from pinset.planning.outlets.seasons import OutletDays, OutletRange, outlet_ranges
from pinset.planning.plan import Plan
from pinset.planning.problem import Problem
from pinset.planning.season.draws import ByChance, seeded
from pinset.planning.season.odds import Odds
from pinset.planning.season.season import Seasons, carry_out

MET = 0.99
"""An order handed over to this share is met: a scale shows no less."""

SEASONS = 2000
JUDGED_DAYS = 112
"""So many days ahead promises are judged."""

CAUSE_SEASONS = 800
SURE = 0.95
WEAK = 0.9
WEEK = 7

LEAST_SURPLUS = 100.0
"""Grams a week; less is not worth a word."""

LEAST_GAIN = 0.02
"""A cause that would lift the chance by less is not named."""


class Cause(StrEnum):
    """What makes an order uncertain."""

    DAYS = "days"  # lots are ready, or bear, later or earlier than planned
    LOSSES = "losses"
    YIELDS = "yields"


@dataclass(frozen=True, slots=True)
class OrderChance:
    """How sure one promise on one day is."""

    promise: str
    day: date  # it is handed over
    variety: str
    measure: str
    amount: float  # grams or units that are still to be handed over
    chance: float  # that it is met
    expected: float  # grams or units, the mean
    low: float  # one season in ten brings less than this
    high: float  # one in ten brings all of it, or more than this
    lacking: float = 0.0  # what is missing on average where it is not met
    cause: Cause | None = None  # of a weak one
    without_cause: float = 0.0  # the chance if that came as the plan expects
    sure: float | None = None  # so much is there in at least ``SURE`` of the seasons


@dataclass(frozen=True, slots=True)
class WeekChance:
    """How sure it is that a whole week's promises are met."""

    monday: date
    chance: float


@dataclass(frozen=True, slots=True)
class WeekSurplus:
    """What of a variety becomes too old in a week because nobody was promised it."""

    monday: date
    variety: str
    expected: float  # grams
    low: float  # one season in ten leaves less
    high: float  # one in ten leaves more


@dataclass(frozen=True, slots=True)
class FarmChances:
    """How sure the farm's promises are."""

    seasons: int = 0
    orders: tuple[OrderChance, ...] = ()
    weeks: tuple[WeekChance, ...] = ()
    surplus: tuple[WeekSurplus, ...] = ()
    outlets: tuple[OutletRange, ...] = ()  # what each gets by week


def chances_of(
    problem: Problem,
    plan: Plan,
    odds: Odds,
    *,
    seasons: int = SEASONS,
    seed: int = 0,
    days: int | None = None,
    outlets: OutletDays | None = None,
) -> FarmChances:
    """Return how sure each order of a plan is, and each week.

    Parameters
    ----------
    problem, plan, odds : Problem, Plan, Odds
        The farm, what is to be done, and the chances behind its numbers.
    seasons : int
        How many are drawn; the standard error of a chance of 0.9 from 2,000 is 0.007.
    seed : int
        Of the random numbers: the same gives the same chances.
    days : int, optional
        Orders from this day on are left out.
    outlets : OutletDays, optional
        Who takes what is left over, and what the plan has for them.
    """
    last = problem.days if days is None else min(days, problem.days)
    numbers = [
        n for n, order in enumerate(problem.orders) if order.day < last and not order.is_owed
    ]
    if not numbers and outlets is None:
        return FarmChances(seasons)
    drawn = _carried(problem, plan, odds, seed, seasons, last)
    met = is_met(problem, drawn)
    without = _without(problem, plan, odds, seed, last) if _any_weak(met, numbers) else {}
    orders = tuple(_of_order(problem, n, drawn, met, without) for n in numbers)
    to_outlets: tuple[OutletRange, ...] = ()
    if outlets is not None and drawn.left_over is not None:
        to_outlets = outlet_ranges(problem, drawn.left_over, outlets)
    weeks, surplus = _weeks(problem, met, numbers), _surplus(problem, drawn)
    return FarmChances(seasons, orders, weeks, surplus, to_outlets)


def is_met(problem: Problem, seasons: Seasons) -> NDArray[np.bool_]:
    """Return which order is met in which season: orders x seasons."""
    amounts = np.array([order.amount for order in problem.orders], np.float32)
    found: NDArray[np.bool_] = seasons.delivered >= np.float32(MET) * amounts[:, None]
    return found


def _carried(
    problem: Problem,
    plan: Plan,
    odds: Odds,
    seed: int,
    seasons: int,
    last: int,
    cause: Cause | None = None,
) -> Seasons:
    draws = ByChance(
        seeded(seed),
        seasons,
        with_days=cause is not Cause.DAYS,
        with_losses=cause is not Cause.LOSSES,
        with_yields=cause is not Cause.YIELDS,
    )
    return carry_out(problem, plan, odds, draws, until=last, keeps_picks=cause is None)


def _any_weak(met: NDArray[np.bool_], numbers: list[int]) -> bool:
    return bool(numbers) and bool((met[numbers].mean(axis=1) < SURE).any())


def _without(
    problem: Problem, plan: Plan, odds: Odds, seed: int, last: int
) -> Mapping[Cause, NDArray[np.float64]]:
    """Return the chance of every order if one source of chance came as the plan expects."""
    return {
        cause: is_met(
            problem, _carried(problem, plan, odds, seed, CAUSE_SEASONS, last, cause)
        ).mean(axis=1)
        for cause in Cause
    }


def _of_order(
    problem: Problem,
    number: int,
    seasons: Seasons,
    met: NDArray[np.bool_],
    without: Mapping[Cause, NDArray[np.float64]],
) -> OrderChance:
    order, given = problem.orders[number], seasons.delivered[number]
    chance = float(met[number].mean())
    missed = ~met[number]
    sure, low, high = np.quantile(given, (1.0 - SURE, 0.1, 0.9), method="inverted_cdf")
    cause, best = None, 0.0
    if chance < SURE and without:
        cause = max(without, key=lambda each: float(without[each][number]))
        best = float(without[cause][number])
        cause = cause if best >= chance + LEAST_GAIN else None
    return OrderChance(
        promise=order.promise,
        day=problem.date_of(order.due),
        variety=order.variety,
        measure=order.measure,
        amount=order.amount,
        chance=chance,
        expected=float(given.mean()),
        low=float(low),
        high=float(high),
        lacking=float(order.amount - given[missed].mean()) if missed.any() else 0.0,
        cause=cause,
        without_cause=best if cause is not None else 0.0,
        sure=float(sure),
    )


def _weeks(problem: Problem, met: NDArray[np.bool_], numbers: list[int]) -> tuple[WeekChance, ...]:
    weeks: dict[date, list[int]] = {}
    for number in numbers:
        day = problem.date_of(problem.orders[number].due)
        weeks.setdefault(day - timedelta(days=day.weekday()), []).append(number)
    return tuple(
        WeekChance(monday, float(met[mine].all(axis=0).mean()))
        for monday, mine in sorted(weeks.items())
    )


def _surplus(problem: Problem, seasons: Seasons) -> tuple[WeekSurplus, ...]:
    """Return what is left over by week and variety; the last week is told only if it is whole."""
    if seasons.left_over is None:
        return ()
    found = []
    days = seasons.left_over.shape[1]
    first = -problem.start.weekday()  # the Monday of the first week
    for begin in range(first, days - WEEK + 1, WEEK):
        here = slice(max(0, begin), begin + WEEK)
        for recipe, rows in zip(problem.recipes, seasons.left_over, strict=True):
            grams = rows[here].sum(axis=0)
            mean = float(grams.mean())
            if mean >= LEAST_SURPLUS:
                low, high = np.quantile(grams, (0.1, 0.9))
                monday = problem.date_of(begin)
                found.append(WeekSurplus(monday, recipe.variety, mean, float(low), float(high)))
    return tuple(found)
