"""How a core of a watched cook goes on: what is missing, by one unit or by each that fits."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import numpy as np

from pinset.science.heating.heated_unit import Conducting, Unit
from pinset.science.heating.holding import LONGEST_HOLD_S, LOOKED_AT_S
from pinset.science.judging.core_match import Match, matches, slowest_s
from pinset.science.judging.records import UNKNOWN_ERROR_K, Rule
from pinset.science.watching.chamber import MINUTE, RISING_S, ChamberSoFar
from pinset.science.watching.core import (
    HOT_K,
    Ahead,
    Core,
    Earned,
    ahead,
    earned,
    is_too_cold,
    rest_of,
)
from pinset.science.watching.pace import KnownUnit

UP = 0.25  # times the slowest mode's, in which a core that reads above its series comes back to it
MEASURED = "measured"


@dataclass(frozen=True, slots=True)
class WatchedLoad:
    """What is cooked, and how the chamber is meant to go."""

    cases: tuple[tuple[str, Unit], ...]  # name of the case and the unit; the slowest first
    start_c: float  # of the load [degC]
    wanted_c: float  # of the chamber while it holds [degC]
    come_up_s: float  # from the start to it [s]
    atmosphere_kpa: float
    probe_error_k: float = UNKNOWN_ERROR_K  # of the chamber's probe
    core_error_k: float = UNKNOWN_ERROR_K
    gauge_error_kpa: float = 0.0
    since_s: float | None = 0.0  # when it began to be heated; None: nobody said it [s]
    known: KnownUnit | None = None  # by which a core may be too quick

    @property
    def k_per_s(self) -> float:
        """How fast its chamber is meant to come up, in K/s."""
        return max(self.wanted_c - self.start_c, HOT_K) / self.come_up_s


@dataclass(frozen=True, slots=True)
class CoreNow:
    """A core as it is now, in one case."""

    name: str  # measured, or the case
    unit: Unit  # that the reckoning goes on with
    core: Core
    earned: Earned
    now_c: float
    rest_s: float | None  # from its last reading, the chamber as it is; None: never [s]
    again_s: float | None  # hold once the chamber is hot again; None: it is hot, or never [s]
    heat_up_s: float  # until it is hot again [s]
    likely_rest_s: float | None = None  # of a core that was read, by its likeliest law [s]
    likely_again_s: float | None = None


def followed(
    chamber: ChamberSoFar, read: Core, load: WatchedLoad, rule: Rule
) -> tuple[float, list[CoreNow]]:
    """Return what the best unit leaves of a core's readings [K], and how it goes on by each."""
    units = [unit for _, unit in load.cases]
    if earned(read, rule).reached_s is not None:  # nothing is reckoned any more but its cooling
        units = [each for each in units if isinstance(each, Conducting)] or units[:1]
    found = matches(
        units,
        (chamber.seconds, chamber.celsius),
        (read.seconds, read.celsius),
        load.start_c,
        load.wanted_c,
    )
    going_on = [now_of(MEASURED, each, read, chamber, load, rule) for each in found]
    return min(each.off_k for each in found), going_on


def longest(now: CoreNow) -> tuple[float, float]:
    """Return how long a core takes from now on, by which the most cautious one is found."""
    return whole_s(now), -now.unit.material.conductivity


def whole_s(now: CoreNow) -> float:
    """Return how long a core takes still, once it is hot where it is not; infinite if for ever."""
    whole = now.rest_s if now.again_s is None else now.again_s
    return np.inf if whole is None else whole


def now_of(
    name: str,
    by: Unit | Match,
    core: Core,
    chamber: ChamberSoFar,
    load: WatchedLoad,
    rule: Rule,
) -> CoreNow:
    """Return a core as reckoned of a unit, or as read and followed by one that was matched."""
    has = earned(core, rule)
    if isinstance(by, Match):
        unit, read, off_k = by.unit, core, by.now_k
        fades_s = slowest_s(unit, load.start_c, load.wanted_c) * (UP if off_k > 0.0 else 1.0)
    else:
        unit, read, off_k, fades_s = by, None, 0.0, MINUTE
    from_here = partial(ahead, chamber, unit, load.start_c, read=read, off_k=off_k, fades_s=fades_s)
    rest = again = None
    heat_up = 0.0
    if has.reached_s is not None:
        rest = 0.0
    else:
        if not is_too_cold(rule, has, max(chamber.now_c, float(core.celsius[-1]))):
            rest = _rest(rule, has, from_here)
        if chamber.now_c < load.wanted_c - HOT_K:
            speed = load.k_per_s
            heat_up = (load.wanted_c - chamber.now_c) / _as_it_comes(chamber, speed)
            future = partial(from_here, to_c=load.wanted_c, k_per_s=speed)
            again = from_hot(_rest(rule, has, future), chamber, load)
    return CoreNow(
        name=name,
        unit=unit,
        core=core,
        earned=has,
        now_c=float(core.celsius[-1]),
        rest_s=rest,
        again_s=again,
        heat_up_s=heat_up,
    )


def from_hot(whole_s: float | None, chamber: ChamberSoFar, load: WatchedLoad) -> float | None:
    """Return what of a time is left once a chamber is hot that comes up as planned, in s."""
    quickest = (load.wanted_c - chamber.now_c) / load.k_per_s
    return None if whole_s is None else max(0.0, whole_s - quickest)


def _as_it_comes(chamber: ChamberSoFar, planned: float) -> float:
    """Return how fast a chamber comes up: as planned, or as it does where that is slower, in K/s.

    The hold from when it is hot is reckoned as planned: what it earned sooner comes on top.
    """
    if not chamber.is_rising or chamber.fell_since_s is not None:
        return planned
    lately = max(float(chamber.seconds[0]), chamber.last_s - RISING_S)
    if chamber.last_s - lately < RISING_S / 2.0:
        return planned
    return min(planned, (chamber.now_c - chamber.earlier_c) / (chamber.last_s - lately))


def _rest(rule: Rule, has: Earned, future: Callable[..., Ahead]) -> float | None:
    """Return :func:`rest_of` with the shortest look ahead that shows it."""
    for for_s in (*LOOKED_AT_S, LONGEST_HOLD_S):
        found = rest_of(rule, has, future(for_s=for_s))
        if found is not None:
            return found
    return None
