"""A cook while it goes on: chamber, core, what is earned and what is missing, by its readings.

With a probe in a unit the core is what it reads; without one it is reckoned for each case of how
well the load takes up heat, the slowest of which rules. Readings that leap away count for nothing,
and no single one makes a cook enough.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from numpy import bool_, float64
from numpy.typing import ArrayLike, NDArray

from pinset.errors import InputError
from pinset.science.heating.heated_unit import Conducting, Unit
from pinset.science.heating.holding import LONGEST_HOLD_S, LOOKED_AT_S
from pinset.science.judging.core_match import (
    TELLING,
    Match,
    as_it_is,
    as_well_k,
    matches,
    slowest_s,
)
from pinset.science.judging.findings import HOT_C, MOST_USUAL, SECONDS_BETWEEN, Given
from pinset.science.judging.hot_core import HotCore, hotter_than_chamber
from pinset.science.judging.records import UNKNOWN_ERROR_K, Probe, Role, Rule
from pinset.science.steam.check import SteamCheck
from pinset.science.watching.before import GONE_S, is_hot_already, with_beginning
from pinset.science.watching.chamber import MINUTE, ChamberSoFar, chamber_so_far, steam_now
from pinset.science.watching.core import (
    HOT_K,
    Ahead,
    Core,
    Earned,
    ahead,
    earned,
    is_too_cold,
    reckoned,
    rest_of,
)
from pinset.science.watching.doubts import Leap
from pinset.science.watching.readings import Readings, steam_of, without_last, without_leaps

Values = NDArray[float64]

FEWEST = 2  # readings of a core
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


@dataclass(frozen=True, slots=True)
class Watching:
    """A cook so far. Times are seconds as those of the readings."""

    chamber: ChamberSoFar | None
    steam: SteamCheck | None  # of the last probe and gauge read together
    cores: tuple[CoreNow, ...]  # one if measured; else by case, the slowest first; may be none
    is_measured: bool
    sparse_s: float  # usual time between readings, with a core; 0: short enough to judge by
    gap_s: float  # longest time without a reading while it was hot; 0: never too long
    leaps: tuple[Leap, ...]  # readings that count for nothing
    hot_core: HotCore | None  # hotter than the chamber: what it read then counts for nothing
    was_hot: bool  # when it was first read, and nobody said since when it is heated


def watch(
    seconds: ArrayLike,
    probe_c: ArrayLike,
    pressure_kpa: ArrayLike,
    core_c: ArrayLike,
    load: WatchedLoad,
    rule: Rule,
) -> Watching:
    """Return a cook so far.

    Parameters
    ----------
    seconds : array_like, shape (n,)
        Times of the readings, rising. [s]
    probe_c, pressure_kpa, core_c : array_like, shape (n,)
        Chamber [degC], absolute pressure [kPa] and core [degC]; NaN where one was not read.
    load : WatchedLoad
        What is cooked.
    rule : Rule
        What the slowest core is to reach.

    Raises
    ------
    InputError
        If there is no reading, times do not rise, or shapes differ.
    """
    t = np.asarray(seconds, dtype=float64)
    probe, kpa, inside = (np.asarray(each, float64) for each in (probe_c, pressure_kpa, core_c))
    if len(t) == 0 or not all(each.shape == t.shape for each in (probe, kpa, inside)):
        raise InputError("readings", f"{len(t)} times", "one or more times with their readings")
    if np.any(np.diff(t) <= 0.0):
        raise InputError("seconds", "times that do not rise", "each later than the one before")
    read = Readings(t, probe, kpa, inside)
    read, leaps = without_leaps(read)
    found = _watching(read, load, rule)
    if _is_enough(found) and (doubted := without_last(read)) is not None:
        kept, last = doubted
        before = _watching(kept, load, rule)
        if not _is_enough(before):  # that one reading alone would make it enough
            found, leaps = before, (*leaps, *last)
    return replace(found, leaps=leaps)


def _watching(read: Readings, load: WatchedLoad, rule: Rule) -> Watching:
    t, probe, kpa, inside = read.seconds, read.probe_c, read.pressure_kpa, read.core_c
    chamber = chamber_so_far(t, probe, kpa, error_k=load.probe_error_k)
    around = np.fmax(probe, steam_of(kpa))
    errors = load.core_error_k + load.probe_error_k
    too_hot, hot_core = hotter_than_chamber(t, inside, around, errors)
    core = _read(t, inside, load, too_hot)
    if core is not None:
        cores: tuple[CoreNow, ...] = (_measured(chamber, core, load, rule),)
    elif chamber is not None:
        cores = tuple(
            _now(name, unit, reckoned(chamber, unit, load.start_c), chamber, load, rule)
            for name, unit in load.cases
        )
    else:
        cores = ()
    return Watching(
        chamber=chamber,
        steam=steam_now(
            t,
            probe,
            kpa,
            error_k=load.probe_error_k,
            error_kpa=load.gauge_error_kpa,
            atmosphere_kpa=load.atmosphere_kpa,
        ),
        cores=cores,
        is_measured=core is not None,
        sparse_s=_sparse(t) if core is not None else 0.0,
        gap_s=_widest(t, probe, kpa, inside, core),
        leaps=(),
        hot_core=hot_core,
        was_hot=chamber is not None
        and load.since_s is None
        and is_hot_already(chamber, load.start_c),
    )


def _is_enough(found: Watching) -> bool:
    return bool(found.cores) and found.cores[0].earned.reached_s is not None


def _read(t: Values, inside: Values, load: WatchedLoad, too_hot: NDArray[bool_]) -> Core | None:
    given = _given(t, inside, load.core_error_k)
    if given is None:
        return None
    hot = too_hot[~np.isnan(inside)]
    is_blind = given.gaps() | hot[1:] | hot[:-1]
    core = Core(given.seconds, given.temperature_c, is_blind)
    return replace(core, is_blind=np.ones_like(is_blind)) if _sparse(t) else core


def _sparse(t: Values) -> float:
    """Return the usual time between readings if it is too long to judge by, in s; else 0."""
    usual = float(np.median(np.diff(t))) if len(t) > 1 else 0.0
    return usual if usual > MOST_USUAL else 0.0


def _given(t: Values, celsius: Values, error_k: float) -> Given | None:
    known = ~np.isnan(celsius)
    if np.sum(known) < FEWEST:
        return None
    probe = Probe(MEASURED, Role.CORE, celsius, error_k)
    return Given(probe, t[known], celsius[known])


def _measured(chamber: ChamberSoFar | None, read: Core, load: WatchedLoad, rule: Rule) -> CoreNow:
    slowest = load.cases[0][1]
    if chamber is None:
        has, now_c = earned(read, rule), float(read.celsius[-1])
        begin = float(read.seconds[-1])
        as_it_is = Ahead(np.array([begin, begin + LONGEST_HOLD_S]), np.array([now_c, now_c]))
        rest = rest_of(rule, has, as_it_is)
        return CoreNow(MEASURED, slowest, read, has, now_c, rest, None, 0.0)
    if is_hot_already(chamber, load.start_c):
        return _heated_before(chamber, read, load, rule)
    if abs(read.seconds[0] - chamber.seconds[0]) <= SECONDS_BETWEEN:
        load = replace(load, start_c=float(read.celsius[0]))
    return max(_followed(chamber, read, load, rule)[1], key=_longest)


def _heated_before(chamber: ChamberSoFar, read: Core, load: WatchedLoad, rule: Rule) -> CoreNow:
    """Return a core whose chamber was heated before it was first read."""
    speed = max(load.wanted_c - load.start_c, HOT_K) / load.come_up_s
    from_c = min(load.start_c, float(read.celsius[0]))
    if load.since_s is None and earned(read, rule).reached_s is None:
        return _at_the_latest(chamber, read, replace(load, start_c=from_c), rule, speed)
    gone = 0.0 if load.since_s is None else max(0.0, float(chamber.seconds[0]) - load.since_s)
    if gone < MINUTE:
        from_c = float(read.celsius[0])
    load = replace(load, start_c=from_c)
    whole = with_beginning(chamber, from_c, gone, speed)
    return max(_followed(whole, read, load, rule)[1], key=_longest)


def _at_the_latest(
    chamber: ChamberSoFar, read: Core, load: WatchedLoad, rule: Rule, k_per_s: float
) -> CoreNow:
    """Return a core of which nobody says since when it is heated, on the safe side.

    The slowest case as if it had been cold when it was first read; and once the core has come a
    tenth of the way since then, the longest heating before that conduction explains about as well
    as the best one does, and the next beyond it.
    """
    slowest = load.cases[0][1]
    given = (chamber.seconds, chamber.celsius), (read.seconds, read.celsius)
    found = [_now(MEASURED, as_it_is(slowest, *given, load.start_c), read, chamber, load, rule)]
    first_c, best_c = float(read.celsius[0]), float(np.max(read.celsius))
    if best_c - first_c >= TELLING * max(chamber.hottest_c - first_c, 1.0):
        even = [unit for _, unit in load.cases if isinstance(unit, Conducting)]
        even = even or [Conducting(slowest.shape, slowest.material)]
        by_conduction = replace(load, cases=tuple((MEASURED, each) for each in even))
        tried = [
            _followed(
                with_beginning(chamber, load.start_c, each, k_per_s), read, by_conduction, rule
            )
            for each in GONE_S
        ]
        enough = as_well_k(min(off_k for off_k, _ in tried))
        last = max(place for place, (off_k, _) in enumerate(tried) if off_k <= enough)
        found += [now for _, each in tried[: last + 2] for now in each]
    return max(found, key=_longest)


def _followed(
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
    going_on = [_now(MEASURED, each, read, chamber, load, rule) for each in found]
    return min(each.off_k for each in found), going_on


def _longest(now: CoreNow) -> tuple[float, float]:
    """Return how long a core takes from now on, by which the most cautious one is found."""
    whole = now.rest_s if now.again_s is None else now.again_s
    return np.inf if whole is None else whole, -now.unit.material.conductivity


def _now(
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
            speed = max(load.wanted_c - load.start_c, HOT_K) / load.come_up_s
            heat_up = (load.wanted_c - chamber.now_c) / speed
            future = partial(from_here, to_c=load.wanted_c, k_per_s=speed)
            whole = _rest(rule, has, future)
            again = None if whole is None else max(0.0, whole - heat_up)
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


def _rest(rule: Rule, has: Earned, future: Callable[..., Ahead]) -> float | None:
    """Return :func:`rest_of` with the shortest look ahead that shows it."""
    for for_s in (*LOOKED_AT_S, LONGEST_HOLD_S):
        found = rest_of(rule, has, future(for_s=for_s))
        if found is not None:
            return found
    return None


def _widest(t: Values, probe: Values, kpa: Values, inside: Values, read: Core | None) -> float:
    """Return the longest gap while it was hot: of the core, else of whatever was read."""
    if read is None:
        hottest = np.where(np.isnan(probe), np.where(np.isnan(kpa), np.nan, HOT_C), probe)
        given = _given(t, np.where(np.isnan(hottest), inside, hottest), UNKNOWN_ERROR_K)
    else:
        given = _given(t, inside, UNKNOWN_ERROR_K)
    if given is None:
        return 0.0
    return float(np.max(np.where(given.gaps(), np.diff(given.seconds), 0.0)))
