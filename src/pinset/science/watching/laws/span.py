"""How long a core still takes by every way of conducting that its readings allow.

Readings of a core far from its end tell nothing of how its load conducts where it has not been yet.
So beside the likeliest way stands the slowest that readings and what is known beforehand allow
about as well: the likeliest of those by which it takes so many errors longer.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.science.heating.holding import LONGEST_HOLD_S
from pinset.science.heating.law_march import Bodies, marched
from pinset.science.judging.records import Rule
from pinset.science.learning.law_fit import Fit, fitted
from pinset.science.watching.chamber import ChamberSoFar
from pinset.science.watching.core import Ahead, Core, Earned, rest_of
from pinset.science.watching.laws.values import Load

Values = NDArray[float64]

SURE = 2.0  # errors by which the slowest takes longer
NOISE_K, ROUNDED = 0.1, 0.3  # error of a mean of readings; with this share of their last digit
LEAST_DIGIT_K = 1e-3
BIN_S, MOST_BINS = 300.0, 50  # over which readings are taken together
FINE, MOST_STEPS = 30.0, 160  # steps within the slowest mode's time; up to the last reading
AHEAD = ((8.0, 240), (32.0, 240), (np.inf, 240))  # slowest modes' times looked ahead, steps
LATELY = 3  # readings by which a core is off its law now
UP = 0.25  # times the slowest mode's, in which one above its law comes back to it
NUDGE = 0.1
PARTS = np.array([1.0, 0.85, 0.7, 0.55, 0.4, 0.25, 0.1])  # of the way to the slowest
UNLIKELY = 30.0  # sum of squares beyond the likeliest, where a law to walk from is given up
SLACK = 3.0  # sum of squares beyond that of so many errors that is followed about as well
SWING_S = 1200.0  # over which a chamber that swings is evened


@dataclass(frozen=True, slots=True)
class Coming:
    """How a chamber goes on."""

    to_c: float | None = None  # None: it stays [degC]
    k_per_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Span:
    """Seconds from the last reading to enough. None: not within two days."""

    likely_s: float | None
    latest_s: float | None  # two days at the most


class Laws:
    """A core's readings with every way of conducting that they allow."""

    cost: float  # sum of squares of the likeliest one, of readings and of what was known beforehand

    def __init__(self, chamber: ChamberSoFar, read: Core, load: Load) -> None:
        self._chamber, self._read, self._load = chamber, read, load
        self._root = load.root
        begin = float(chamber.seconds[0])
        if load.before_s is not None:
            begin -= load.longest_s
        end = float(max(read.seconds[-1], chamber.seconds[-1]))
        step = max(load.slowest_s / FINE, (end - begin) / MOST_STEPS, 1.0)
        steps = max(1, int(np.ceil((end - begin) / step)))
        self._times = np.linspace(begin, end, steps + 1)
        self._at, self._means = _bins(read.seconds, read.celsius)
        rounded = _last_digit(read.celsius)
        error_k = float(np.hypot(NOISE_K, ROUNDED * rounded))
        self._fit = fitted(self._cores, self._means, error_k, len(self._root))
        off = len(self._means) * (self._fit.left_k / error_k) ** 2
        self.cost = float(off + self._fit.values @ self._fit.values)

    def span(self, rule: Rule, has: Earned, coming: Coming) -> Span:
        """Return how long it takes still, with a chamber that goes on so."""
        ends = partial(self._ends, rule, has, coming)
        around = self._fit.values
        likely, slower = _slower(ends, self._fit, around)
        latest = likely
        for _ in range(2):
            if slower is None:
                break
            found, slower_still = _slower(ends, self._fit, self._followed(slower))
            latest, slower = max(latest, found), slower_still
        if not np.isfinite(likely):
            return Span(None, None)
        return Span(likely, LONGEST_HOLD_S if slower is None else min(latest, LONGEST_HOLD_S))

    def _followed(self, values: Values) -> Values:
        """Return values, or as far on the way to them as the readings are followed about as well.

        Their errors are those of a straight line, which is left where a load conducts so well
        already that its core hardly shows how well.
        """
        way = self._fit.values + np.outer(PARTS, values - self._fit.values)
        costs = self._fit.costs(self._means - self._cores(way), way)
        followed = np.flatnonzero(costs <= self._fit.cost + SURE**2 + SLACK)
        return np.asarray(way[followed[0] if len(followed) else -1])

    def _past(self, white: Values) -> tuple[Bodies, Values, Values]:
        values = white @ self._root.T
        bodies = self._load.bodies(values)
        chamber = self._chamber
        around = self._load.chambers(values, self._times, chamber.seconds, chamber.celsius)
        field = bodies.at(self._load.starts(values))
        return bodies, *marched(bodies, field, self._times[1] - self._times[0], around)

    def _cores(self, white: Values) -> Values:
        _, cores, _ = self._past(white)
        return np.array([np.interp(self._at, self._times, each) for each in cores])

    def _ends(self, rule: Rule, has: Earned, coming: Coming, white: Values) -> Values:
        """Return the seconds from the last reading on, infinite for ever, shape (laws,)."""
        bodies, cores, field = self._past(white)
        read, mode_s = self._read, self._load.slowest_s
        begin, end = float(read.seconds[-1]), float(self._times[-1])
        lately = read.seconds[-LATELY:]
        off = np.array(
            [
                np.median(read.celsius[-LATELY:] - np.interp(lately, self._times, each))
                for each in cores
            ]
        )
        fades = np.where(off > 0.0, UP, 1.0) * mode_s
        later = self._times > begin
        seconds = np.concatenate(([begin], self._times[later]))
        series = np.concatenate((np.full((len(white), 1), read.celsius[-1]), cores[:, later]), 1)
        rest = np.full(len(white), np.inf)
        from_s = end
        for modes, steps in AHEAD:
            to_s = end + min(modes * mode_s, LONGEST_HOLD_S)
            times = np.linspace(from_s, to_s, steps + 1)
            around = self._coming(rule, coming, times)
            found, field = marched(bodies, field, times[1] - times[0], around)
            seconds = np.concatenate((seconds, times[1:]))
            series = np.concatenate((series, found[:, 1:]), 1)
            whole = series + off[:, None] * np.exp(-(seconds - begin) / fades[:, None])
            whole[:, 0] = read.celsius[-1]
            hottest = np.maximum(read.celsius[-1], self._coming(rule, coming, seconds).max())
            rest = np.array(
                [
                    _or_never(rest_of(rule, has, Ahead(seconds, np.minimum(each, hottest))))
                    for each in whole
                ]
            )
            from_s = to_s
            if np.all(np.isfinite(rest)) or to_s >= end + LONGEST_HOLD_S:
                break
        return rest

    def _coming(self, rule: Rule, coming: Coming, seconds: Values) -> Values:
        chamber = self._chamber
        if coming.to_c is not None:
            came = chamber.now_c + coming.k_per_s * (seconds - chamber.last_s)
            return np.minimum(came, coming.to_c)
        now_c = chamber.now_c
        if rule.hold_c is None and not chamber.is_rising and chamber.fell_since_s is None:
            lately = chamber.celsius[chamber.seconds >= chamber.last_s - SWING_S]
            now_c = min(now_c, float(np.mean(lately)))
        return np.full(len(seconds), now_c)


def likely_laws(chamber: ChamberSoFar, read: Core, loads: Sequence[Load]) -> list[Laws]:
    """Return laws about as likely as the likeliest, which comes first, from where each walks."""
    found = sorted((Laws(chamber, read, each) for each in loads), key=lambda laws: laws.cost)
    return [each for each in found if each.cost <= found[0].cost + UNLIKELY]


def longest_span(laws: Sequence[Laws], rule: Rule, has: Earned, coming: Coming) -> Span:
    """Return the likeliest end of the first and the latest of all."""
    spans = [each.span(rule, has, coming) for each in laws]
    latest = [each.latest_s for each in spans if each.latest_s is not None]
    is_known = len(latest) == len(spans)
    return Span(spans[0].likely_s, max(latest) if is_known else None)


def _slower(
    ends: Callable[[Values], Values], fit: Fit, around: Values
) -> tuple[float, Values | None]:
    """Return the end at some values, and those by which it comes so many errors later."""
    found = ends(np.vstack((around, around + NUDGE * np.eye(len(around)))))
    if not np.all(np.isfinite(found)):
        return float(found[0]), None
    slopes = (found[1:] - found[0]) / NUDGE
    spread = fit.covariance @ slopes
    error = float(np.sqrt(slopes @ spread))
    return float(found[0]), fit.values + (SURE * spread / error if error > 0.0 else 0.0)


def _bins(seconds: Values, celsius: Values) -> tuple[Values, Values]:
    """Return times and means of readings taken together."""
    every = max(BIN_S, float(seconds[-1] - seconds[0]) / MOST_BINS)
    places = ((seconds - seconds[0]) / every).astype(np.int64)
    count = np.bincount(places)
    kept = count > 0
    means = (np.bincount(places, each)[kept] / count[kept] for each in (seconds, celsius))
    at, mean = means
    return at, mean


def _last_digit(celsius: Values) -> float:
    """Return the least step between readings, at most 1 K."""
    apart = np.abs(np.diff(celsius))
    return float(np.min(apart[apart > LEAST_DIGIT_K], initial=1.0))


def _or_never(seconds: float | None) -> float:
    return float(np.inf) if seconds is None else seconds
