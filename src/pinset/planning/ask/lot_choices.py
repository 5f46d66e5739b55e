"""What it costs in promises to watch a doubtful lot, use it first, hold it back or take it out.

Every choice is planned anew without whole numbers and carried out in the same seasons, so that
nothing but the choice makes the difference. Promises of other varieties are left out: two plans
that cost alike may serve those a little differently. What more may be lost of the lot than usual is
taken off beforehand, in whole units; where it is culled the whole lot is gone. Used first it is the
same units in another order: what that costs is what watching costs.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum
from math import ceil

import numpy as np

from pinset.chain.living import LivingLot
from pinset.chain.readiness import keeps_until, ready_on
from pinset.errors import InputError
from pinset.planning.ask.trials import Farm, Trial, Trials
from pinset.planning.season.chances import JUDGED_DAYS

LEAST_LESS_SURE = 0.05
"""Of a chance; less than that two plans of one farm may differ by."""


class Choice(StrEnum):
    """What can be decided of a lot that may have caught something."""

    WATCH = "watch"  # goes on as it is, and is looked at again
    FIRST = "use first"  # is used before others, by a day
    HOLD = "hold"  # is not used until it would have shown
    CULL = "cull"  # is taken out


@dataclass(frozen=True, slots=True)
class DoubtfulLot:
    """A lot, and what is thought of it."""

    code: str
    expected_lost: float  # units that are still to be lost of it
    shown_on: date  # by then most of what it may have would have shown


@dataclass(frozen=True, slots=True)
class LessSure:
    """A delivery that is clearly less sure with a choice than with a sound lot."""

    promise: str
    day: date
    chance: float
    if_sound: float


@dataclass(frozen=True, slots=True)
class Outcome:
    """What comes of one choice, the mean of many seasons."""

    choice: Choice
    grams: float  # promised and handed over, less than with a sound lot [g]
    units: float  # likewise of what is sold by units
    less_sure: tuple[LessSure, ...]


@dataclass(frozen=True, slots=True)
class LotOutcomes:
    """What comes of every choice."""

    days: int  # that are judged
    bad: int  # units taken off as lost beyond the usual
    grams: float  # promised of its variety and handed over if the lot is as sound as any [g]
    outcomes: tuple[Outcome, ...]


def outcomes_of(
    farm: Farm,
    lot: DoubtfulLot,
    *,
    seed: int,
    time_limit_s: float,
    say: Callable[[str], None] = lambda _: None,
) -> LotOutcomes:
    """Return what every choice costs in what is promised.

    Parameters
    ----------
    farm : Farm
        As it stands.
    lot : DoubtfulLot
        A lot of it that is alive.
    seed : int
        Of the seasons.
    time_limit_s : float
        Of each plan. [s]
    say : callable
        Takes what is being done; what it raises ends the work.

    Raises
    ------
    InputError
        If no such lot is alive.
    """
    sound = tuple(replace(each, held="") if each.code == lot.code else each for each in farm.living)
    variety = next((each.variety for each in sound if each.code == lot.code), None)
    if variety is None:
        raise InputError("lot", lot.code, "the code of a lot that is alive")
    say("planning as if the lot were sound")
    as_if_sound = _trial(farm, sound, seed, time_limit_s)
    bad = _beyond_usual(as_if_sound, lot)
    fewer = _fewer(sound, lot.code, bad)
    ways = {
        Choice.WATCH: fewer,
        Choice.HOLD: _held(fewer, lot.code, lot.shown_on),
        Choice.CULL: tuple(each for each in sound if each.code != lot.code),
    }
    found: dict[Choice, Outcome] = {}
    for choice, living in ways.items():
        if living == sound:  # the same farm: two plans of it would differ by noise alone
            found[choice] = Outcome(choice, 0.0, 0.0, ())
            continue
        if choice is Choice.HOLD and living == fewer:  # it is ready no sooner in any case
            found[choice] = replace(found[Choice.WATCH], choice=choice)
            continue
        say(f"planning for: {choice.value}")
        trial = _trial(farm, living, seed, time_limit_s)
        found[choice] = _outcome(choice, variety, as_if_sound, trial)
    culled = found[Choice.CULL]
    found[Choice.HOLD] = _no_dearer(found[Choice.HOLD], culled)
    for choice in (Choice.WATCH, Choice.HOLD):
        found[choice] = _milder(found[choice], culled)
    found[Choice.FIRST] = replace(found[Choice.WATCH], choice=Choice.FIRST)
    grams, _units = _handed(as_if_sound, variety)
    return LotOutcomes(JUDGED_DAYS, bad, grams, tuple(found[choice] for choice in Choice))


def _trial(farm: Farm, living: tuple[LivingLot, ...], seed: int, time_limit_s: float) -> Trial:
    trials = Trials(replace(farm, living=living), seed, time_limit_s, JUDGED_DAYS)
    return trials.of(farm.book)


def _held(living: tuple[LivingLot, ...], code: str, until: date) -> tuple[LivingLot, ...]:
    """Return the lots with one that is ready no sooner than a day; gone if it keeps no longer."""
    found = []
    for each in living:
        keeps = keeps_until(each) if each.code == code else None
        if each.code != code or ready_on(each).p50 >= until:
            found.append(each)
        elif keeps is None or keeps >= until:
            found.append(replace(each, expected_ready_on=until))
    return tuple(found)


def _no_dearer(held: Outcome, culled: Outcome) -> Outcome:
    """Return what holding costs: never more than taking out, of which it is the milder form.

    A plan that counts on the lot at its later day may let others wait for it.
    """
    dearer = held.grams > culled.grams or held.units > culled.units
    return replace(culled, choice=Choice.HOLD) if dearer else held


def _milder(outcome: Outcome, culled: Outcome) -> Outcome:
    """Return a choice without the deliveries that are as sure where the whole lot is gone.

    What taking out does not harm, watching and holding cannot: such a difference is the plans'.
    """
    harmed = {(each.promise, each.day) for each in culled.less_sure}
    kept = tuple(each for each in outcome.less_sure if (each.promise, each.day) in harmed)
    return replace(outcome, less_sure=kept)


def _beyond_usual(trial: Trial, lot: DoubtfulLot) -> int:
    """Return the units more that may be lost than the plan reckons with anyway."""
    usual = sum(
        max(0.0, stock.alive - stock.units)
        for stock in trial.problem.stock
        if stock.lot == lot.code
    )
    more = lot.expected_lost - usual
    return ceil(more - 0.25) if more > 0.25 else 0  # noqa: PLR2004 - of a unit: no more than noise


def _fewer(living: tuple[LivingLot, ...], code: str, bad: int) -> tuple[LivingLot, ...]:
    """Return the lots with so many units of one taken off, where it stands first."""
    found, left = [], bad
    for each in living:
        if each.code != code or each.contaminated:
            found.append(each)
            continue
        gone = min(left, each.alive)
        left -= gone
        if each.alive > gone:
            found.append(replace(each, alive=each.alive - gone))
    return tuple(found)


def _handed(trial: Trial, variety: str) -> tuple[float, float]:
    """Return the grams and units of a variety that are handed over, the mean of the seasons."""
    means = trial.given.mean(axis=1, dtype=np.float64)
    by_measure = {"gram": 0.0, "unit": 0.0}
    for order, mean in zip(trial.problem.orders, means, strict=True):
        if order.variety == variety:
            by_measure[order.measure] += float(mean)
    return by_measure["gram"], by_measure["unit"]


def _outcome(choice: Choice, variety: str, sound: Trial, trial: Trial) -> Outcome:
    (grams, units), (grams_now, units_now) = _handed(sound, variety), _handed(trial, variety)
    return Outcome(
        choice,
        max(0.0, grams - grams_now),
        max(0.0, units - units_now),
        _less_sure(variety, sound, trial),
    )


def _less_sure(variety: str, sound: Trial, trial: Trial) -> tuple[LessSure, ...]:
    """Return the deliveries that are clearly less sure, the most so first."""
    before = {
        (order.promise, sound.problem.date_of(order.due)): float(met.mean())
        for order, met in zip(sound.problem.orders, sound.met, strict=True)
    }
    found = []
    for order, met in zip(trial.problem.orders, trial.met, strict=True):
        if order.variety != variety:
            continue
        key = order.promise, trial.problem.date_of(order.due)
        chance, if_sound = float(met.mean()), before.get(key)
        if if_sound is not None and if_sound - chance >= LEAST_LESS_SURE:
            found.append(LessSure(*key, chance, if_sound))
    return tuple(sorted(found, key=lambda each: (each.chance - each.if_sound, each.day)))
