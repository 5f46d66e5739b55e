"""A core while its cook goes on: what it has earned, and how long to hold from where it is now.

What it earns from now on is reckoned under a chamber that stays as it is, or that is brought back
to what is wanted first. A measured core goes on as the units do that its readings show
(:mod:`~pinset.science.judging.core_match`).
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy import bool_, float64
from numpy.typing import NDArray

from pinset.science.heating.heated_unit import Unit
from pinset.science.heating.holding import LONGEST_HOLD_S
from pinset.science.judging.cook_moments import held
from pinset.science.judging.findings import seen_along
from pinset.science.judging.records import Rule
from pinset.science.lethality.lethality import f_along, lethal_rate
from pinset.science.lethality.target import seconds_to_reach
from pinset.science.watching.chamber import MINUTE, ChamberSoFar

Values = NDArray[float64]

HOT_K = 1.0  # a chamber this near to what is wanted is hot
MEMORY_S = 7200.0  # for which the inside of a unit may be as cold as its chamber was


@dataclass(frozen=True, slots=True)
class Core:
    """A core by its readings, or as reckoned. Times count as those of the readings do."""

    seconds: Values  # rising, shape (n,) [s]
    celsius: Values  # shape (n,) [degC]
    is_blind: NDArray[bool_]  # steps that count for nothing, shape (n - 1,)


@dataclass(frozen=True, slots=True)
class Earned:
    """What a core has of a rule."""

    f0: float  # [min]
    f0_counted: float  # without what gaps hide [min]
    held_min: float  # longest at the rule's temperature or above, no gap in it; 0 without one
    run_s: float  # of that hold, up to now [s]
    reached_s: float | None  # when all of the rule was there [s]


@dataclass(frozen=True, slots=True)
class Ahead:
    """A core from its last reading on, if the chamber goes on as is said."""

    seconds: Values  # from the last reading, as those of the readings [s]
    celsius: Values


def earned(core: Core, rule: Rule) -> Earned:
    """Return what a core has of a rule; what no reading shows counts for nothing."""
    if len(core.seconds) == 1:
        return Earned(0.0, 0.0, 0.0, 0.0, None)
    along = f_along(core.seconds, core.celsius)
    gains = np.where(core.is_blind, 0.0, np.diff(seen_along(core.seconds, core.celsius)))
    counted = np.concatenate(([0.0], np.cumsum(gains)))
    moments = [0.0]
    if rule.f0 is not None:
        moments.append(_first(counted, rule.f0, core.seconds))
    longest = run = 0.0
    if rule.hold_c is not None and rule.hold_minutes is not None:
        at = np.inf
        for begin, end in _pieces(core.is_blind, len(core.seconds)):
            seconds, celsius = core.seconds[begin:end], core.celsius[begin:end]
            at = min(at, _hold_ends(seconds, celsius, rule.hold_c, rule.hold_minutes * MINUTE, 0.0))
            longest = max(longest, held(seconds, celsius, rule.hold_c)[1])
            run = _run(seconds, celsius, rule.hold_c)
        if longest >= rule.hold_minutes:  # as it is judged afterwards
            at = min(at, float(core.seconds[-1]))
        moments.append(at)
    reached = max(moments)
    return Earned(
        f0=float(along[-1]),
        f0_counted=float(counted[-1]),
        held_min=longest,
        run_s=run,
        reached_s=reached if reached < np.inf else None,
    )


def _first(counted: Values, target: float, seconds: Values) -> float:
    """Return when a rising sum comes to a target, infinite if it has not."""
    if counted[-1] < target:
        return float(np.inf)
    after = max(1, int(np.searchsorted(counted, target)))
    pair = slice(after - 1, after + 1)
    return float(np.interp(target, counted[pair], seconds[pair]))


def _pieces(is_blind: NDArray[bool_], count: int) -> list[tuple[int, int]]:
    cuts = [0, *(np.flatnonzero(is_blind) + 1).tolist(), count]
    return [(a, b) for a, b in pairwise(cuts) if b - a > 1]


def _run(seconds: Values, celsius: Values, at_c: float) -> float:
    """Return how long it has been at a temperature or above up to its last reading, in s."""
    cold = np.flatnonzero(celsius < at_c)
    if len(cold) == 0:
        return float(seconds[-1] - seconds[0])
    last = int(cold[-1])
    if last == len(seconds) - 1:
        return 0.0
    pair = slice(last, last + 2)
    return float(seconds[-1] - np.interp(at_c, celsius[pair], seconds[pair]))


def _hold_ends(seconds: Values, celsius: Values, at_c: float, need_s: float, run_s: float) -> float:
    """Return when it has been at a temperature or above for so long, infinite if never."""
    hot = celsius >= at_c
    turns = np.flatnonzero(hot[1:] != hot[:-1])
    rise = (at_c - celsius[turns]) / (celsius[turns + 1] - celsius[turns])
    crossed = seconds[turns] + rise * np.diff(seconds)[turns]
    begins, ends = crossed[hot[turns + 1]], crossed[~hot[turns + 1]]
    if hot[0]:
        begins = np.concatenate((seconds[:1] - run_s, begins))
    if hot[-1]:
        ends = np.concatenate((ends, seconds[-1:]))
    enough = np.flatnonzero(ends - begins >= need_s)
    return float(begins[enough[0]] + need_s) if len(enough) else float(np.inf)


def reckoned(chamber: ChamberSoFar, unit: Unit, start_c: float) -> Core:
    """Return the core as it is reckoned, up to the chamber's last whole minute."""
    return Core(
        chamber.seconds, _core(unit, chamber.seconds, chamber.celsius, start_c), chamber.is_blind
    )


def _core(unit: Unit, seconds: Values, chamber_c: Values, start_c: float) -> Values:
    if len(seconds) == 1:
        return np.array([start_c])
    return unit.core(seconds, chamber_c, start_c)


def ahead(
    chamber: ChamberSoFar,
    unit: Unit,
    start_c: float,
    *,
    read: Core | None = None,
    off_k: float = 0.0,
    fades_s: float = MINUTE,
    to_c: float | None = None,
    k_per_s: float = 0.0,
    for_s: float = LONGEST_HOLD_S,
) -> Ahead:
    """Return the core from its last reading on.

    Parameters
    ----------
    chamber : ChamberSoFar
        Up to now.
    unit, start_c : Unit, float
        The one that heats slowest, and how warm it was when its chamber was first read. [degC]
    read : Core, optional
        The core as its probe reads it. Without one the reckoned core goes on.
    off_k, fades_s : float
        By which it reads above the series, and in which time that falls to 1/e. [K], [s]
    to_c, k_per_s : float
        A chamber that is brought to another temperature first, and how fast. Without one it stays
        as it was last read. [degC], [K/s]
    for_s : float
        How far to look. [s]
    """
    steps = int(for_s / MINUTE)
    times = chamber.seconds[-1] + MINUTE * np.arange(1.0, steps + 1.0)
    coming = np.full(steps, chamber.now_c)
    if to_c is not None:
        coming = np.minimum(chamber.now_c + k_per_s * (times - chamber.last_s), to_c)
    seconds = np.concatenate((chamber.seconds, times))
    celsius = np.concatenate((chamber.celsius, coming))
    core = unit.core(seconds, celsius, start_c)
    begin = float(chamber.seconds[-1] if read is None else read.seconds[-1])
    later = seconds > begin
    t = np.concatenate(([begin], seconds[later]))
    series = np.concatenate((np.interp([begin], seconds, core), core[later]))
    if read is not None:
        around = np.concatenate((np.interp([begin], seconds, celsius), celsius[later]))
        off = off_k * np.exp(-(t - begin) / fades_s)
        lately = chamber.celsius[chamber.seconds >= begin - MEMORY_S]
        coldest = float(np.min(lately, initial=float(read.celsius[-1])))
        series = _joined(series + off, around, float(read.celsius[-1]), coldest)
    return Ahead(t, series)


def _joined(series: Values, chamber: Values, reads_c: float, lately_c: float) -> Values:
    """Return a core that leaves what its surroundings are and have been never.

    When heat comes back the unit is still colder outside than within, as its chamber was, so its
    core goes on falling for a while.
    """
    coldest = np.minimum(lately_c, np.minimum.accumulate(chamber))
    hottest = np.maximum(reads_c, np.maximum.accumulate(chamber))
    return np.asarray(np.clip(series, coldest, hottest))


def is_too_cold(rule: Rule, has: Earned, hottest_c: float) -> bool:
    """Return True if a core that gets no hotter than this has not what is missing in two days."""
    is_held = rule.hold_minutes is None or has.held_min >= rule.hold_minutes
    if rule.hold_c is not None and hottest_c < rule.hold_c and not is_held:
        return True
    missing = 0.0 if rule.f0 is None else rule.f0 - has.f0_counted
    return missing > float(lethal_rate(hottest_c)) * LONGEST_HOLD_S / MINUTE


def rest_of(rule: Rule, has: Earned, future: Ahead) -> float | None:
    """Return for how many seconds the chamber must go on so from the core's last reading.

    None: the rule is not reached within two days.
    """
    if has.reached_s is not None:
        return 0.0
    ends = [0.0]
    begin = float(future.seconds[0])
    if rule.f0 is not None and has.f0_counted < rule.f0:
        reached = seconds_to_reach(rule.f0 - has.f0_counted, future.seconds, future.celsius)
        ends.append(np.inf if reached is None else reached - begin)
    if rule.hold_c is not None and rule.hold_minutes is not None:
        need_s = rule.hold_minutes * MINUTE
        if has.held_min * MINUTE < need_s:
            hold = _hold_ends(future.seconds, future.celsius, rule.hold_c, need_s, has.run_s)
            ends.append(hold - begin)
    most = max(ends)
    return float(most) if most < np.inf else None
