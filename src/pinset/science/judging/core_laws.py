"""Whether a core heats as the middle of any one body can, whatever it conducts at each temperature.

A probe that moves towards the skin, and stays there, comes up sharply and stops short of its
chamber; no load that conducts does both, for what a body conducts goes by its temperature, and the
shell around the middle has been hotter than it before. So the whole course is held against a body
whose conductivity walks at random over the temperatures (:mod:`~pinset.science.learning.law_fit`).
All limits are the code's own choice: no source; what they were chosen by stands in methods/heat.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache, partial

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.science.heating.law_march import TABLE_C, Bodies, marched
from pinset.science.heating.vapour import COLDEST_C, HOTTEST_C, vapour_function
from pinset.science.judging.core_pace import lag_behind
from pinset.science.judging.core_slips import DELAYS, LEFT
from pinset.science.learning.law_fit import fitted
from pinset.science.steam.steam import saturation_pressure

Values = NDArray[float64]

MINUTE = 60.0
FEWEST = 12  # means of readings
LEAST_LAG_S = 5.0 * MINUTE  # behind the chamber: less is hardly a unit, and holds little back
RISES_K = 20.0  # of core and chamber, at the least
OPENED_K = 8.0  # below its hottest the chamber is so no more
BEFORE_K = 15.0  # above the core at its first reading the chamber was hot before
WARM_K = 10.0  # above the chamber at its first reading a load is not as warm all through
BEFORE_S = (600.0, 1800.0, 5400.0)  # for which it may have been hot then

BEGUN = 0.97  # of its way left: with more, a core shows no pace yet
PACE_S, PACE_K = 5.0 * MINUTE, 15.0  # over which a pace is looked at, and how far behind
FASTER = 1.5  # times its own pace before: less is looked at no further

SHORT_K = 1.0  # behind the chamber: less is no more a gap
STEADY_K = 2.0  # by which a steady chamber may differ within that
SLOWS = 0.6  # times its quickest closing of the gap: what closes it quicker goes on as it came

MOVED_K = 1.0  # left by the likeliest body at the most, from which on a core moved,
UNLIKELY = 140.0  # and sum of squares; of invented cooks see methods/heat

NODES_C = np.array([15.0, 40.0, 60.0, 75.0, 88.0, 98.0, 106.0, 112.0, 117.0, 122.0])
LEVELS = np.linspace(-3.5, 3.0, 14)  # of ln conductivity, for a body that comes in the whole time
AIRS = (-6.0, -2.0, -1.0, 0.0, 1.0)  # of ln of free air over conductivity [m K/W]
LEVEL = 0.7  # errors beforehand: of that level,
WALK = 0.06  # of ln conductivity a kelvin further on, growing as the root of the kelvins,
SURFACE, LIKELY_SURFACE = 1.0, 1.6  # of ln of the surface's coefficient, above the conductivity's,
START_K = 2.0  # of the start,
OFF_K = 1.0  # of what core and chamber differ by, where their errors are no larger,
VALLEY = 1.5  # of the logit of what the load feels of a chamber that falls and comes back,
VAPOUR = 0.7  # of ln of that free air
STEAM_C, OPEN_KPA = 90.0, 100.0  # a chamber as hot as that is steam; else the air outside, about
LITTLE, FREE_AIR = 1e-3, 0.3  # by which what vapour carries is taken from its formula [W/(m K)]
LEAST_LN, MOST_LN = -6.0, 9.0

HEIGHT = 2.4  # of the body, in its radius
MOST_STEPS, BEGINNINGS = 20, 5  # of the search, and how often it begins elsewhere
STEPS, BINS, PARTS = 100, 60, 10  # of the march; means of readings; parts of a step
NOISE_K = 0.3  # error of a mean: readings, and what a cylinder leaves of other shapes


@dataclass(frozen=True, slots=True)
class Followed:
    """How a core is followed by the likeliest body."""

    left_k: float  # root of the mean square of what is left
    most_k: float  # the most of it
    at_s: float  # when that is
    unlikely: float  # sum of squares, of what is left and of the law, in their errors

    @property
    def is_of_none(self) -> bool:
        """Whether it is no course of a body."""
        return self.most_k >= MOVED_K and self.unlikely >= UNLIKELY


def moves_within(t: Values, inside: Values, outside: Values, error_k: float) -> str:
    """Say that a core's course is none of a middle that stays where it is; empty: it may be.

    Parameters
    ----------
    t, inside, outside : ndarray, shape (n,)
        Rising times [s], readings of core and chamber, none missing. [degC]
    error_k : float
        Largest error of both together, either way. [K]
    """
    found = _course(t, inside, outside, error_k)
    if found is None or not found.is_of_none:
        return ""
    return (
        f"it heats as no one place of a load can, however that conducts: around "
        f"{found.at_s / MINUTE:.0f} min it is {found.most_k:.1f} K off the nearest such course, as "
        "if its probe had moved, or air had stood around its unit"
    )


def _course(t: Values, inside: Values, outside: Values, error_k: float) -> Followed | None:
    """Return how the likeliest body follows a core that may have moved; None: nothing says so."""
    lag = lag_behind(t, inside, outside)
    if lag is None or lag < LEAST_LAG_S or inside[0] > outside[0] + WARM_K:
        return None
    end = _heated(inside, outside, error_k)
    means = _means(t[:end], inside[:end], outside[:end])
    if means is None or float(np.ptp(means[1])) < RISES_K or _pace(*means) < FASTER:
        return None
    if not _slows_behind(*means):
        return None
    at, read, _ = means
    found = _likeliest(t[:end], outside[:end], at, read, error_k)
    if outside[0] < inside[0] + BEFORE_K or not found.is_of_none:
        return found
    tried = [found]
    for gone_s in BEFORE_S:
        since = np.concatenate(([t[0] - gone_s], t[:end]))
        hot = np.concatenate((outside[:1], outside[:end]))
        tried.append(_likeliest(since, hot, at, read, error_k))
    return min(tried, key=lambda each: each.unlikely)


def _heated(inside: Values, outside: Values, error_k: float) -> int:
    """Return how many readings there are until its chamber cools, or falls below the core.

    Then water boils in a load while pressure goes, and it gives heat off otherwise than it took it.
    """
    hot = int(np.flatnonzero(outside >= float(np.max(outside)) - OPENED_K)[-1]) + 1
    ahead = np.flatnonzero(outside > inside + OFF_K + error_k)
    if not len(ahead):
        return hot
    colder = np.flatnonzero(outside[ahead[0] : hot] < inside[ahead[0] : hot] - OFF_K - error_k)
    return int(ahead[0] + colder[0]) if len(colder) else hot


def _means(t: Values, inside: Values, outside: Values) -> tuple[Values, Values, Values] | None:
    """Return the means of readings taken together; None: too few."""
    if len(t) < FEWEST:
        return None
    every = max(MINUTE, float(t[-1] - t[0]) / BINS)
    place = ((t - t[0]) / every).astype(np.int64)
    count = np.bincount(place)
    kept = count > 0
    if int(np.sum(kept)) < FEWEST:
        return None
    at, core, chamber = (
        np.bincount(place, each)[kept] / count[kept] for each in (t, inside, outside)
    )
    return at, core, chamber


def _pace(t: Values, inside: Values, outside: Values) -> float:
    """Return how many times as fast as its own pace before a core comes, at the most.

    As :func:`~pinset.science.judging.core_slips.arrival`, wherever it comes to.
    """
    risen = np.maximum(outside - inside[0], RISES_K)
    off = outside - inside
    is_up = (outside >= inside[0] + RISES_K) & (
        outside >= np.maximum.accumulate(outside) - OPENED_K
    )
    areas = np.maximum(outside - inside[0], 0.0)
    area = np.concatenate(([0.0], np.cumsum((areas[1:] + areas[:-1]) / 2.0 * np.diff(t))))
    since = area / risen
    left = off / risen
    gone = np.interp(-np.clip(left, 2.0 * OFF_K / risen, BEGUN), -LEFT, DELAYS)
    pace = np.divide(gone, since, out=np.zeros_like(gone), where=since > 0.0)
    before = np.maximum.accumulate(np.where(is_up & (left <= BEGUN), pace, 0.0))
    known = np.maximum(before, pace)
    later = since[np.newaxis] - since[:, np.newaxis]
    is_told = is_up[:, np.newaxis] & is_up & (later >= PACE_S) & (off >= PACE_K)[:, np.newaxis]
    further = gone[np.newaxis] - gone[:, np.newaxis]
    quick = (
        further / np.where(is_told, later, 1.0) / np.where(known > 0.0, known, 1.0)[:, np.newaxis]
    )
    return float(np.max(np.where(is_told & (known > 0.0)[:, np.newaxis], quick, 0.0)))


def _slows_behind(t: Values, inside: Values, outside: Values) -> bool:
    """Whether a core comes quickly and is then slow, though it is still behind its chamber.

    The middle of a body under a steady chamber closes its gap the quicker the hotter it is, or at
    one rate: only what has moved closes it quickly first and slowly then. So this is asked before
    the costly search for a body. One that comes all the way at once is for :mod:`.core_slips`.
    """
    gap = outside - inside
    every = max(1, int(np.ceil(PACE_S / max(float(np.median(np.diff(t))), 1.0))))
    if len(t) <= 2 * every:
        return False
    steady = np.abs(outside[every:] - outside[:-every]) <= STEADY_K
    behind = steady & (gap[:-every] >= PACE_K) & (gap[every:] > SHORT_K)
    spans = t[every:] - t[:-every]
    with np.errstate(divide="ignore", invalid="ignore"):
        rates = np.where(behind, np.log(gap[:-every] / gap[every:]) / spans, 0.0)
    quickest = int(np.argmax(rates))
    begin = quickest + every
    left = np.flatnonzero((gap[begin:] > SHORT_K) & (outside[begin:] >= np.max(outside) - STEADY_K))
    if not len(left) or rates[quickest] <= 0.0:
        return False
    end = begin + int(left[-1])
    if t[end] - t[begin] < PACE_S:
        return False
    later = float(np.log(gap[begin] / gap[end]) / (t[end] - t[begin]))
    return later < SLOWS * float(rates[quickest])


def _likeliest(t: Values, outside: Values, at: Values, read: Values, error_k: float) -> Followed:
    fine = np.linspace(t[0], t[-1], STEPS * PARTS + 1)
    around = np.interp(fine, t, outside)
    return _followed(*(each.tobytes() for each in (fine, at, read, around)), max(error_k, OFF_K))


@lru_cache(maxsize=64)
def _followed(fine: bytes, times: bytes, core: bytes, chamber: bytes, off_k: float) -> Followed:
    along, at, read, around = (np.frombuffer(each) for each in (fine, times, core, chamber))
    root = _root(off_k)
    seconds = along[::PARTS]
    lasts_s = float(seconds[-1] - seconds[0])
    both = np.stack((_stepped(around), _stepped(_without_valleys(around))))
    nodes = len(NODES_C)
    hot_c = float(np.max(around))
    kpa = float(saturation_pressure(hot_c)) if hot_c >= STEAM_C else OPEN_KPA
    vapour = vapour_function(LITTLE, FREE_AIR, kpa)(np.clip(TABLE_C, COLDEST_C, HOTTEST_C))
    carries = (vapour - LITTLE) / FREE_AIR

    def cores(white: Values, at_first: Values) -> Values:
        values = white @ root.T
        laws = np.array([np.interp(TABLE_C, NODES_C, each[:nodes]) for each in values])
        level, air = (each[:, np.newaxis] for each in at_first.T)
        free = np.exp(np.clip(air + values[:, nodes + 4, None], LEAST_LN, MOST_LN))
        laws += level + np.log1p(free * carries)
        surface = level[:, 0] + LIKELY_SURFACE + values[:, nodes]
        bodies = Bodies(
            radius=1.0,
            height=HEIGHT,
            heat_capacity=lasts_s,
            conductivity=np.exp(np.clip(laws, LEAST_LN, MOST_LN)),
            surface=np.exp(np.clip(surface, LEAST_LN, MOST_LN)),
        )
        start = bodies.at(read[0] + values[:, nodes + 1])
        share = 1.0 / (1.0 + np.exp(-values[:, nodes + 3, None]))
        felt = both[0] + share * (both[1] - both[0])
        found, _ = marched(bodies, start, float(seconds[1] - seconds[0]), felt)
        off = values[:, nodes + 2, None]
        return np.array([np.interp(at, seconds, each) for each in found]) + off

    firsts = np.array([(level, air) for level in LEVELS for air in AIRS])
    left = cores(np.zeros((len(firsts), len(root))), firsts) - read
    costs = np.sum(left**2, axis=1).reshape(len(LEVELS), len(AIRS))
    best = firsts.reshape(len(LEVELS), len(AIRS), 2)[np.argmin(costs, axis=0), range(len(AIRS))]
    tried: list[Followed] = []
    for begin in best[np.argsort(np.min(costs, axis=0))[:BEGINNINGS]]:
        first = begin[np.newaxis]
        fit = fitted(
            partial(cores, at_first=first), read, NOISE_K, len(root), most_steps=MOST_STEPS
        )
        off = read - cores(fit.values[np.newaxis], first)[0]
        most = int(np.argmax(np.abs(off)))
        tried.append(
            Followed(
                left_k=float(np.sqrt(np.mean(off**2))),
                most_k=float(np.abs(off[most])),
                at_s=float(at[most]),
                unlikely=float(np.sum((off / NOISE_K) ** 2) + fit.values @ fit.values),
            )
        )
        if not tried[-1].is_of_none:
            break
    return min(tried, key=lambda each: each.unlikely)


def _root(off_k: float) -> Values:
    """Return that whose product with its transpose is the covariance of the values beforehand."""
    nodes = len(NODES_C)
    others = (SURFACE, START_K, off_k, VALLEY, VAPOUR)
    root = np.zeros((nodes + len(others), nodes + len(others)))
    root[:nodes, 0] = LEVEL
    for node, apart in enumerate(np.diff(NODES_C), start=1):
        root[node:nodes, node] = WALK * np.sqrt(apart)
    root[nodes:, nodes:] = np.diag(others)
    return root


def _without_valleys(chamber: Values) -> Values:
    """Return a chamber that stays as hot as it was and comes to be again."""
    before = np.maximum.accumulate(chamber)
    behind = np.flip(np.maximum.accumulate(np.flip(chamber)))
    return np.minimum(before, behind)


def _stepped(fine: Values) -> Values:
    """Return the means of a chamber around each step, shape (STEPS + 1,)."""
    padded = np.pad(fine, PARTS // 2, mode="edge")
    means = np.convolve(padded, np.ones(PARTS + 1) / (PARTS + 1), "valid")
    return np.asarray(means[::PARTS])
