"""What speaks against a core by its readings and those of the chamber: it may not stand in a unit.

A core follows the chamber late and smoothly, and nothing inside a unit is ever hotter than what has
been around it. All limits are the code's own choice: no source.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy import bool_, float64
from numpy.typing import NDArray
from scipy.ndimage import maximum_filter1d, minimum_filter1d

from pinset.science.judging.core_laws import moves_within
from pinset.science.judging.core_moves import falls_alone, steps_up, to_and_fro
from pinset.science.judging.core_pace import SAME_K, delay_in_heat, lag_behind
from pinset.science.judging.core_slips import comes_out, falls_with, may_be_out
from pinset.science.judging.hot_core import hotter_than_chamber
from pinset.science.judging.stuck_core import stuck
from pinset.science.lethality.lethality import lethal_rate

Values = NDArray[float64]
Pair = tuple[Values, Values, Values]  # times [s], core and chamber read together [degC]

MINUTE = 60.0
FEWEST = 3  # readings of both probes

LEAPS_WITHIN_S = 3.0 * MINUTE
SLIPS_FROM_K = 20.0  # off the chamber, to what the chamber reads
OPENED_C = 50.0  # a chamber that stays colder is cooling or open, and earns nothing any more
MOST_ARRIVALS = 50  # at what a cold chamber reads, that are looked at
MOVES = 0.6  # of that way is gone by the core, not by the chamber
STAYS_S = 10.0 * MINUTE
LEAPS_K = 25.0  # of a core that becomes hot
HOT_C = 90.0

LEAST_LAG_S = 3.0 * MINUTE  # behind the chamber, of any bag or jar

CHANGED_K, CHANGED_S = 8.0, 2.0 * MINUTE  # a leap of both probes, from one reading to the next
ALIKE = 0.25  # of it, by which the two may differ

AS_QUICK = 0.5  # of the longest lag of a core behind a probe of the chamber

LEVEL_K = 0.5  # within which a core stands still, noise and all
AWAY_K = 25.0  # of the chamber, all the while
STILL_MIN = 30.0  # and one and a half times what it took to begin with: see the test
DEAD = 1.5
MOVED_K = 20.0  # since the start: before, heat may not have reached it

HOTTER_K = 1.0  # and both errors
LASTS_S = 5.0 * MINUTE
MOST_EARNED = 1.0  # min of F0 while it is hotter, however short that is

HOTTEST_C = 137.0  # where the hottest usual cycle, 134 degC, has its upper limit: EN 285; memory


def doubt_of_core(
    seconds: Values,
    core_c: Values,
    chambers_c: Sequence[Values],
    error_k: float,
    *,
    is_said: bool = False,
    is_fine: bool = False,
) -> str:
    """Return what speaks against a probe that is held for a core; empty: nothing.

    Parameters
    ----------
    seconds : ndarray, shape (n,)
        Rising times. [s]
    core_c : ndarray, shape (n,)
        Its readings; NaN where it gave none. [degC]
    chambers_c : sequence of ndarray, shape (n,)
        Those of the probes in the chamber.
    error_k : float
        Largest error of a core and a chamber together, either way. [K]
    is_said : bool
        Whether somebody said that it is a core. Then it may be in a tube, quick, or the chamber's
        probe in a colder place; but none slips out, or stands still in a hot chamber, and is one.
    is_fine : bool
        Whether somebody said why it stood in its unit and was fine for all that: what leaps, slips
        or stands still is believed then, and nothing else by it.

    Examples
    --------
    >>> t = 60.0 * np.arange(121)
    >>> chamber = np.interp(t, [0.0, 3600.0, 7200.0], [20.0, 121.0, 121.0])
    >>> doubt_of_core(t, chamber - 0.3, [chamber], 1.0)
    'it follows the chamber within 0.2 min, as if it stood in no unit'
    """
    known = ~np.isnan(core_c)
    too_hot = core_c[known] > HOTTEST_C + error_k
    lasting = _longest(seconds[known], too_hot)
    if lasting >= LASTS_S or _earned(seconds[known], core_c[known], too_hot) >= MOST_EARNED:
        return f"it reads more than {HOTTEST_C:.0f} °C for {lasting / MINUTE:.0f} min"
    pairs = []
    for chamber in chambers_c:
        both = known & ~np.isnan(chamber)
        if np.count_nonzero(both) < FEWEST:
            continue
        pair = (seconds[both], core_c[both], chamber[both])
        opened = _until_opened(*pair, SAME_K + error_k)
        if opened >= FEWEST:
            pairs.append((pair[0][:opened], pair[1][:opened], pair[2][:opened]))
    quick = _of_quick_chambers(pairs)
    slipped = leaps = still = stands = ""
    if not is_fine:
        slipped = to_and_fro(seconds[known], core_c[known]) or _out_of_unit(pairs, quick, error_k)
        leaps = _leaps(seconds[known], core_c[known])
        still = next((said for pair in pairs if (said := _still(*pair))), "")
        stands = next((f"it {found.words}" for pair in pairs if (found := stuck(*pair))), "")
    if slipped or is_said:
        return slipped or leaps or stands
    return (
        leaps
        or _quick([lag for pair in pairs if (lag := _delay(*pair)) is not None])
        or still
        or stands
        or _hotter(seconds, core_c, chambers_c, HOTTER_K + error_k)
        or steps_up(seconds[known], core_c[known])
        or falls_alone(seconds, core_c, chambers_c)
        or next((said for pair in quick if (said := _untold(*pair, SAME_K + error_k))), "")
    )


def slip_of_core(t: Values, inside: Values, outside: Values, error_k: float) -> str:
    """Return what shows that a core is out of its unit, whatever anybody says; empty: nothing.

    Parameters
    ----------
    t, inside, outside : ndarray, shape (n,)
        Rising times [s], readings of core and chamber, none missing. [degC]
    error_k : float
        Largest error of both together, either way. [K]
    """
    if len(t) < FEWEST:
        return ""
    opened = _until_opened(t, inside, outside, SAME_K + error_k)
    if opened < FEWEST:
        return ""
    pair = (t[:opened], inside[:opened], outside[:opened])
    return _out_of_unit([pair], [pair], error_k) or _leaps(t, inside)


def _out_of_unit(pairs: Sequence[Pair], quick: Sequence[Pair], error_k: float) -> str:
    """Say that a core slips out or moves within, or changes places with the chamber's probe."""
    same_k = SAME_K + error_k
    return (
        next((said for pair in pairs if (said := _slipped(*pair, same_k))), "")
        or next((said for pair in pairs if (said := _change_places(*pair))), "")
        or next((said for pair in pairs if (said := falls_with(*pair))), "")
        or next((said for pair in quick if (said := comes_out(*pair, same_k))), "")
        or next((said for pair in quick if (said := moves_within(*pair, error_k))), "")
    )


def _of_quick_chambers(pairs: Sequence[Pair]) -> list[Pair]:
    """Return those pairs whose chamber's probe is about as quick as the quickest."""
    lags = [lag_behind(*pair) or 0.0 for pair in pairs]
    most = max(lags, default=0.0)
    return [pair for pair, lag in zip(pairs, lags, strict=True) if lag >= AS_QUICK * most]


def _untold(t: Values, inside: Values, outside: Values, same_k: float) -> str:
    """Say that a core came to its chamber as quickly as with vapour, or as one that slipped out."""
    found = may_be_out(t, inside, outside, same_k)
    if found is None:
        return ""
    return (
        f"it {found.words}: vapour can do that, and a probe that slips out too, and the log does "
        "not show that it cools behind the chamber"
    )


def _until_opened(t: Values, inside: Values, outside: Values, same_k: float) -> int:
    """Return how many readings there are before a core was pulled out at the opening; else all.

    It leaps down to what a cold chamber reads, which is not heated again. What it read and earned
    before stands.
    """
    above = inside - outside
    cold = np.flip(np.maximum.accumulate(np.flip(outside))) < OPENED_C
    is_there = cold & (above <= same_k)
    arrived = np.flatnonzero(is_there[1:] & ~is_there[:-1])[:MOST_ARRIVALS] + 1
    before = np.searchsorted(t, t[arrived] - LEAPS_WITHIN_S, side="left")
    for first, begin in zip(arrived, before, strict=True):
        leapt = np.flatnonzero(inside[begin:first] - inside[first] >= SLIPS_FROM_K)
        if len(leapt) and above[begin + leapt[-1]] >= SLIPS_FROM_K:
            return int(begin + leapt[-1]) + 1
    return len(t)


def _slipped(t: Values, inside: Values, outside: Values, same_k: float) -> str:
    """Say that a core leaps to what the chamber reads and stays there."""
    off = outside - inside
    near = np.abs(off) <= same_k
    far_off = np.cumsum(~near)  # how many readings so far
    soon = np.searchsorted(t, t + LEAPS_WITHIN_S, side="right")
    is_near_soon = np.cumsum(near)[soon - 1] > np.cumsum(near)
    for at in np.flatnonzero(is_near_soon & (np.abs(off) >= SLIPS_FROM_K)):
        first = int(at + 1 + np.argmax(near[at + 1 :]))
        end = int(np.searchsorted(t, t[first] + STAYS_S, side="left"))
        is_seen = end < len(t) and far_off[end] == far_off[first]
        if is_seen and (inside[first] - inside[at]) / off[at] >= MOVES:
            return (
                f"after {t[at] / MINUTE:.0f} min it leaps from {inside[at]:.0f} °C to what the "
                f"chamber reads, {outside[first]:.0f} °C, and stays there, as if it had slipped out"
            )
    return ""


def _leaps(t: Values, inside: Values) -> str:
    """Say that a core becomes hot faster than any can."""
    if not len(t):
        return ""
    before = np.searchsorted(t, t - LEAPS_WITHIN_S, side="left")
    rise = np.where(inside >= HOT_C, inside - inside[before], 0.0)
    at = int(np.argmax(rise >= LEAPS_K))
    if rise[at] < LEAPS_K:
        return ""
    return (
        f"after {t[before[at]] / MINUTE:.0f} min it leaps from {inside[before[at]]:.0f} to "
        f"{inside[at]:.0f} °C, as if it had slipped out"
    )


def _change_places(t: Values, inside: Values, outside: Values) -> str:
    """Say that core and chamber jump by as much towards each other: their plugs were changed."""
    up, down, step = np.diff(inside), np.diff(outside), np.diff(t)
    mirrored = (np.abs(up) >= CHANGED_K) & (np.abs(up + down) <= ALIKE * np.abs(up))
    at = np.flatnonzero(mirrored & (step <= CHANGED_S))
    if not len(at):
        return ""
    return (
        f"after {t[at[0]] / MINUTE:.0f} min it and the chamber's probe leap by "
        f"{abs(up[at[0]]):.0f} K towards each other, as if their plugs had been changed"
    )


def _delay(t: Values, inside: Values, outside: Values) -> float | None:
    lag = lag_behind(t, inside, outside)
    return delay_in_heat(t, inside, outside) if lag is None else lag


def _quick(lags: Sequence[float]) -> str:
    """Say that a core follows the quickest probe of the chamber without a lag to speak of."""
    lag = max(lags, default=LEAST_LAG_S)
    if lag >= LEAST_LAG_S:
        return ""
    return f"it follows the chamber within {lag / MINUTE:.1f} min, as if it stood in no unit"


def _still(t: Values, inside: Values, outside: Values) -> str:
    """Say that a core stands still far from what the chamber reads, longer than heat takes to it.

    How long that is shows at the beginning: a core begins to cool as late as it began to heat.
    """
    even = np.arange(t[0], t[-1], MINUTE)
    core_c, off = np.interp(even, t, inside), np.interp(even, t, outside - inside)
    is_away = np.abs(off) >= AWAY_K
    moved = np.abs(core_c - core_c[0])
    if not np.any(is_away) or not np.any(moved >= MOVED_K):
        return ""
    dead = max(int(np.argmax(moved > 2 * LEVEL_K)) - int(np.argmax(is_away)), 0)
    width = int(STILL_MIN + DEAD * dead) // 2 * 2 + 1
    if width >= len(even):
        return ""
    spread = maximum_filter1d(core_c, width) - minimum_filter1d(core_c, width)
    near = minimum_filter1d(np.abs(off), width)
    is_still = (spread <= LEVEL_K) & (near >= AWAY_K) & (moved >= MOVED_K)
    is_still[: width // 2] = is_still[-(width // 2) :] = False
    if not np.any(is_still):
        return ""
    at = int(np.argmax(is_still))
    return (
        f"it stands at {core_c[at]:.1f} °C for {width} min or longer while the chamber is "
        f"{abs(off[at]):.0f} K away"
    )


def _hotter(seconds: Values, core_c: Values, chambers_c: Sequence[Values], excess_k: float) -> str:
    """Say that a core gets hotter than anything around it has been."""
    if not len(chambers_c):
        return ""
    hotter, most = hotter_than_chamber(
        seconds, core_c, np.fmax.reduce(list(chambers_c)), excess_k, lasts_s=0.0
    )
    if most is None:
        return ""
    known = ~np.isnan(core_c)
    t, inside, hotter = seconds[known], core_c[known], hotter[known]
    lasting = _longest(t, hotter)
    earned = _earned(t, inside, hotter)
    if lasting < LASTS_S and earned < MOST_EARNED:
        return ""
    return (
        f"it is up to {most.most_k:.1f} K hotter than the chamber has been, for "
        f"{lasting / MINUTE:.0f} min, in which it would have earned {earned:.1f} min"
    )


def _earned(t: Values, inside: Values, is_so: NDArray[bool_]) -> float:
    """Return what a core would have earned while something was so, in min of F0."""
    if not np.any(is_so):
        return 0.0
    return float(np.trapezoid(np.where(is_so, lethal_rate(inside), 0.0), t)) / MINUTE


def _longest(t: Values, is_so: NDArray[bool_]) -> float:
    """Return how long something is so from reading to reading at the longest. In s."""
    edges = np.diff(np.concatenate(([0], is_so.astype(int), [0])))
    begins, ends = np.flatnonzero(edges > 0), np.flatnonzero(edges < 0) - 1
    return max((float(t[b] - t[a]) for a, b in zip(begins, ends, strict=True)), default=0.0)
