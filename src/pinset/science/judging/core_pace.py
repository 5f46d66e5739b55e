"""How late a core is behind its chamber, and whether a unit of a known load can be so.

A probe that stands too shallow is quicker than the middle of its unit. No log shows that by itself;
what the unit weighs and measures, or what an earlier log taught of it, does. All limits are the
code's own choice: no source.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy import float64
from numpy.typing import NDArray
from scipy.optimize import brentq

from pinset.science.heating.heated_unit import Conducting, Unit
from pinset.science.heating.heating import Material, Shape
from pinset.science.heating.loads import Fill
from pinset.science.learning.fit_doubts import bounds_of

Values = NDArray[float64]

MINUTE = 60.0
SAME_K = 2.0  # what two probes in the same place differ by, without their errors
RISES_K = 30.0  # of the chamber, by which a lag is measured
BEGINS = 0.1  # of its rise, by which it has begun

QUICKER = 2.0  # times quicker than the farm's own unit is no unit of that load
SLOWER = 2.0  # times slower, and it is not explained by that load
HELPED = 3.0  # times the highest published conductivity, with what vapour carries, is likely
ANY_SURFACE = 1e4  # W/(m2 K): steam on a bare skin
LEAST_W, MOST_W = 0.02, 60.0  # W/(m K) between which a conductivity is sought
FEWEST = 3
COLD_C, HELD_C = 20.0, 121.0  # between which the time of an approach is reckoned
NEARS, NEAR = 0.3, 0.03  # of the way left, between which only the slowest mode is left
LONGEST_S = 24.0 * 3600.0
MOST_READINGS = 400  # by which units are compared


@dataclass(frozen=True, slots=True)
class Lateness:
    """How late a core was, and how late a unit of a load is in the same chamber. In s."""

    was: float
    least: float  # a unit that is quicker is none of this load
    likely: float  # a quicker one is not explained by it
    most: float  # a slower one is not explained by it
    usual: float  # None is known, where nothing was learnt: then the least


def lag_behind(t: Values, inside: Values, outside: Values) -> float | None:
    """Return how long a core lies behind a chamber that heats, in s; None: not to be told.

    It is the area between both over the rise: behind a ramp, and after a step, the mean delay.
    """
    hottest = float(np.max(outside))
    top = np.flatnonzero(outside >= hottest - SAME_K)
    low = float(np.min(outside[: top[0] + 1]))
    cold = np.flatnonzero(outside[: top[0] + 1] <= low + BEGINS * (hottest - low))
    begin = int(cold[-1])
    rise = hottest - float(outside[begin])
    if rise < RISES_K:
        return None
    arrived = np.flatnonzero(inside[begin:] >= hottest - SAME_K)
    end = min(begin + int(arrived[0]), int(top[-1])) if len(arrived) else int(top[-1])
    part = slice(begin, max(end, int(top[0])) + 1)
    behind = np.maximum(outside[part] - inside[part], 0.0)
    return float(np.trapezoid(behind, t[part])) / rise


def delay_in_heat(t: Values, inside: Values, outside: Values) -> float | None:
    """Return how long a core takes in a chamber that was hot when first read; None: not to be told.

    It is the area between both over the core's rise, in s: the time of an approach. However long
    a unit was heated before, that of its slowest mode is the least there is.
    """
    hottest = float(np.max(outside))
    if hottest - float(np.min(outside)) >= RISES_K:
        return None
    arrived = np.flatnonzero(inside >= hottest - SAME_K)
    part = slice(0, int(arrived[0]) + 1 if len(arrived) else len(t))
    rise = float(inside[part][-1] - inside[0])
    if rise < RISES_K or len(t[part]) < FEWEST:
        return None
    behind = np.maximum(outside[part] - inside[part], 0.0)
    return float(np.trapezoid(behind, t[part])) / rise


def thinned_to(t: Values, *curves: Values) -> tuple[Values, ...]:
    """Return times and curves at no more readings than units are compared by."""
    every = max(1, -(-len(t) // MOST_READINGS))
    return t[::every], *(each[::every] for each in curves)


def lateness(
    shape: Shape, fill: Fill, own: Unit | None, curves: tuple[Values, Values, Values]
) -> Lateness | None:
    """Return how late a core was beside a unit of a load; None: not to be told.

    Parameters
    ----------
    shape : Shape
        Of the filled part of that unit. [m]
    fill : Fill
        What is in it.
    own : Unit or None
        As a log taught the farm; None: by what such loads conduct at most, and at least.
    curves : tuple of ndarray, shape (n,) each
        Rising times [s], core and chamber, up to steam-off. [degC]
    """
    t, inside, outside = curves
    was = lag_behind(t, inside, outside)
    low, high = bounds_of(fill)
    quickest = Conducting(shape, Material(high, fill.heat_capacity, ANY_SURFACE))
    if was is None:
        return _in_heat(quickest, own, curves)
    slowest = Conducting(shape, Material(low, fill.heat_capacity, fill.surface))
    least, most = (_lag_of(unit, curves) for unit in (quickest, slowest))
    if own is None:
        helped = min(high, HELPED * fill.high) if fill.has_vapour else high
        stuff = Material(helped, fill.heat_capacity, ANY_SURFACE)
        likely = _lag_of(Conducting(shape, stuff), curves)
        return Lateness(was, least, likely, most, least)
    usual = _lag_of(own, curves)
    least = max(least, usual / QUICKER)
    return Lateness(was, least, least, usual * SLOWER, usual)


def _in_heat(
    quickest: Unit, own: Unit | None, curves: tuple[Values, Values, Values]
) -> Lateness | None:
    """Return the same of a chamber that was hot when first read: only too quick can be told."""
    was = delay_in_heat(*curves)
    if was is None:
        return None
    least = usual = _slowest_mode(quickest)
    if own is not None:
        usual = _slowest_mode(own)
        least = max(least, usual / QUICKER)
    return Lateness(was, least, np.inf, 0.0, usual)


def _slowest_mode(unit: Unit) -> float:
    """Return in what time a unit comes e times nearer to a hot chamber once it nears it, in s."""
    t = np.arange(0.0, LONGEST_S, MINUTE)
    core = unit.core(t, np.full(len(t), HELD_C), COLD_C)
    excess = (HELD_C - core) / (HELD_C - COLD_C)
    part = np.flatnonzero((excess < NEARS) & (excess > NEAR))
    if len(part) < FEWEST:
        return 0.0
    return float((t[part[-1]] - t[part[0]]) / np.log(excess[part[0]] / excess[part[-1]]))


def would_conduct(
    shape: Shape, fill: Fill, was_s: float, curves: tuple[Values, Values, Values]
) -> float:
    """Return what a unit as quick as that would conduct, in W/(m K); the most that is sought."""
    if lag_behind(*curves) is None:
        high = bounds_of(fill)[1]
        least = _slowest_mode(Conducting(shape, Material(high, fill.heat_capacity, ANY_SURFACE)))
        return float(min(MOST_W, high * least / max(was_s, 1.0)))

    def off(logarithm: float) -> float:
        stuff = Material(float(np.exp(logarithm)), fill.heat_capacity, ANY_SURFACE)
        return _lag_of(Conducting(shape, stuff), curves) - was_s

    ends = float(np.log(LEAST_W)), float(np.log(MOST_W))
    if off(ends[1]) >= 0.0:
        return MOST_W
    return float(np.exp(brentq(off, *ends, xtol=0.01))) if off(ends[0]) > 0.0 else LEAST_W


def _lag_of(unit: Unit, curves: tuple[Values, Values, Values]) -> float:
    t, inside, outside = curves
    return lag_behind(t, unit.core(t, outside, float(inside[0])), outside) or 0.0
