"""A cook while it goes on: chamber, core, what is earned and what is missing, by its readings.

With a probe in a unit the core is what it reads; without one, or with one that is quicker than its
load can be or got out of its unit, it is reckoned for each case of how well the load takes up heat,
the slowest of which rules. Readings that leap away count for nothing, and no single one makes a
cook enough.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy import bool_, float64
from numpy.typing import ArrayLike, NDArray

from pinset.errors import InputError
from pinset.science.heating.holding import LONGEST_HOLD_S
from pinset.science.judging.core_pace import Lateness
from pinset.science.judging.findings import HOT_C, MOST_USUAL, SECONDS_BETWEEN, Given
from pinset.science.judging.hot_core import HotCore, hotter_than_chamber
from pinset.science.judging.records import UNKNOWN_ERROR_K, Probe, Role, Rule
from pinset.science.judging.stuck_core import Stuck, stuck
from pinset.science.steam.check import SteamCheck
from pinset.science.watching.before import is_hot_already
from pinset.science.watching.by_laws import by_every_law
from pinset.science.watching.chamber import ChamberSoFar, chamber_so_far, steam_now
from pinset.science.watching.core import Ahead, Core, earned, reckoned, rest_of
from pinset.science.watching.doubts import Leap
from pinset.science.watching.going_on import (
    MEASURED,
    CoreNow,
    WatchedLoad,
    now_of,
)
from pinset.science.watching.pace import too_quick
from pinset.science.watching.readings import Readings, steam_of, without_last, without_leaps
from pinset.science.watching.reads_high import short_if_high
from pinset.science.watching.slips import slip

Values = NDArray[float64]

FEWEST = 2  # readings of a core


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
    is_bound: bool = False  # it is enough at the latest then: other beginnings may explain the core
    once_c: float | None = None  # a core that was read a single time [degC]
    too_quick: Lateness | None = None  # of a core quicker than its load: it counts for nothing
    stuck: Stuck | None = None  # of a core that stands still: it counts for nothing
    slipped: str = ""  # what shows that a core is out of its unit: it counts for nothing
    reads_high: str = ""  # why a core that has enough may have too little; empty: nothing shows it


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
            read = kept
    high = short_if_high(read, load, rule) if _is_enough(found) and found.is_measured else ""
    return replace(found, leaps=leaps, reads_high=high)


def _watching(read: Readings, load: WatchedLoad, rule: Rule) -> Watching:
    t, probe, kpa, inside = read.seconds, read.probe_c, read.pressure_kpa, read.core_c
    chamber = chamber_so_far(t, probe, kpa, error_k=load.probe_error_k)
    around = np.fmax(probe, steam_of(kpa))
    errors = load.core_error_k + load.probe_error_k
    was_hot = chamber is not None and is_hot_already(chamber, load.start_c)
    too_hot, hot_core = hotter_than_chamber(
        t, inside, around, errors, was_c=load.wanted_c if was_hot else load.start_c
    )
    core = _read(t, inside, load, too_hot)
    sparse_s = _sparse(t) if core is not None else 0.0
    stands = None if chamber is None else _stuck(t, inside, chamber)
    is_hot = hot_core is not None and hot_core.is_now
    slipped = ""
    if chamber is not None and core is not None and stands is None:
        slipped = slip(t, np.where(too_hot, np.nan, inside), chamber, load)
    quick = None if is_hot or stands or slipped else _quick(chamber, core, load)
    if quick or stands or slipped:
        core = None
    read_c = inside[~np.isnan(inside)]
    once_c = float(read_c[0]) if len(read_c) == 1 else None
    is_bound = False
    if core is not None:
        measured, is_bound = _measured(chamber, core, load, rule)
        cores: tuple[CoreNow, ...] = (measured,)
    elif chamber is not None:
        from_c = min([load.start_c, *read_c[:1].tolist()])
        colder = replace(load, start_c=from_c)
        error_k = load.probe_error_k
        counted = chamber_so_far(t, probe, kpa, error_k=error_k, lower_s=SECONDS_BETWEEN) or chamber
        cores = tuple(
            now_of(name, unit, reckoned(counted, unit, from_c), counted, colder, rule)
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
        sparse_s=sparse_s,
        gap_s=_widest(t, probe, kpa, inside, core),
        leaps=(),
        hot_core=hot_core,
        was_hot=was_hot and load.since_s is None,
        is_bound=is_bound,
        once_c=once_c,
        too_quick=quick,
        stuck=stands,
        slipped=slipped,
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


def _quick(chamber: ChamberSoFar | None, core: Core | None, load: WatchedLoad) -> Lateness | None:
    if chamber is None or core is None or load.known is None:
        return None
    return too_quick(chamber, core.seconds, core.celsius, load.known)


def _stuck(t: Values, inside: Values, chamber: ChamberSoFar) -> Stuck | None:
    both = ~np.isnan(inside) & (t >= chamber.seconds[0]) & (t <= chamber.last_s)
    return stuck(t[both], inside[both], np.interp(t[both], chamber.seconds, chamber.celsius))


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


def _measured(
    chamber: ChamberSoFar | None, read: Core, load: WatchedLoad, rule: Rule
) -> tuple[CoreNow, bool]:
    """Return a core by its probe, and whether its end is a bound."""
    slowest = load.cases[0][1]
    if chamber is None:
        has, now_c = earned(read, rule), float(read.celsius[-1])
        begin = float(read.seconds[-1])
        as_it_is = Ahead(np.array([begin, begin + LONGEST_HOLD_S]), np.array([now_c, now_c]))
        rest = rest_of(rule, has, as_it_is)
        return CoreNow(MEASURED, slowest, read, has, now_c, rest, None, 0.0), False
    return by_every_law(chamber, read, load, rule)


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
