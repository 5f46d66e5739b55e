"""Whether counts are rising, steady or falling, with how sure that is.

The rate changes by the same factor every week. Level, change and clumping are averaged over all
that go with the counts, so that a few small counts give a wide range instead of a sure slope.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import exp, log

import numpy as np

from pinset.errors import InputError
from pinset.learning.charts.laws import Believed, Floats, Law, checked_counts, grid

FEWEST = 4
SPAN_DAYS = 14.0
"""Fewer counts, or a shorter time, make no trend; our own choice."""

SURE = 0.975
"""Chance from which on a rise or a fall is called one: two-sided 95 %."""

STEADY_TIMES = 2.0
"""Steady are counts that in four weeks neither double nor halve, as far as 95 % goes; our own
choice."""

_WEEK, _WEEKS = 7.0, 4.0
_SD = 0.35  # of the logarithm of the change a week, believed beforehand; assumed, no source
_NODES = 41
_WIDE = 4.0


class Direction(StrEnum):
    """Where counts are going."""

    RISING = "rising"
    STEADY = "steady"
    FALLING = "falling"
    UNCERTAIN = "uncertain"  # rising, steady and falling all go with the counts


@dataclass(frozen=True, slots=True)
class Trend:
    """How counts change from week to week."""

    direction: Direction
    times_a_week: float
    low: float  # of the range with 95 % certainty
    high: float
    counts: int
    days: float  # from the first of them to the last


def trend(law: Law, found: Floats, of: Floats, days: Floats, believed: Believed) -> Trend | None:
    """Return the trend of counts; None of too few, or of too short a time.

    Parameters
    ----------
    law, found, of, days, believed
        As of :func:`pinset.learning.charts.own_usual.followed`; all counts given are used.

    Raises
    ------
    InputError
        If counts are none of their kind or not in their order.
    """
    checked_counts(law, found, of)
    if days.shape != found.shape or (np.diff(days) < 0.0).any():
        raise InputError("days", days.tolist(), "one a count, oldest first")
    if found.size < FEWEST or days[-1] - days[0] < SPAN_DAYS:
        return None
    weeks = (days - np.average(days, weights=of)) / _WEEK
    middle, sd = 0.0, _SD
    for _ in range(3):  # the nodes close in on where the change lies
        nodes = middle + sd * np.linspace(-_WIDE, _WIDE, _NODES)
        mass = _masses(law, found, of, weeks, believed, nodes)
        middle = float(nodes @ mass)
        spread = float(np.sqrt(np.square(nodes - middle) @ mass))
        sd = max(spread, float(nodes[1] - nodes[0]) / 2.0)
    upper = np.cumsum(mass) - mass / 2.0
    low, high = (float(each) for each in np.interp((1.0 - SURE, SURE), upper, nodes))
    return Trend(
        direction=_direction(low, high),
        times_a_week=exp(middle),
        low=exp(low),
        high=exp(high),
        counts=int(found.size),
        days=float(days[-1] - days[0]),
    )


def _masses(
    law: Law, found: Floats, of: Floats, weeks: Floats, believed: Believed, nodes: Floats
) -> Floats:
    """Return the chance of each change a week, summed over levels and clumpings."""
    points = grid(law, believed)
    total = np.tile(points.log_weight, (nodes.size, 1))
    for count, on, week in zip(found, of, weeks, strict=True):
        log_rate = points.log_rate[None, :] + week * nodes[:, None]
        total += law.log_chance(np.array(count), np.array(on), log_rate, points.clumping)
    weight = np.logaddexp.reduce(total, axis=1) - 0.5 * np.square(nodes / _SD)
    mass = np.exp(weight - weight.max())
    return np.asarray(mass / mass.sum())


def _direction(low: float, high: float) -> Direction:
    if low > 0.0:
        return Direction.RISING
    if high < 0.0:
        return Direction.FALLING
    is_steady = max(-low, high) * _WEEKS < log(STEADY_TIMES)
    return Direction.STEADY if is_steady else Direction.UNCERTAIN
