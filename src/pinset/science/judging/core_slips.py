"""A core that comes to its chamber faster than a unit can, or falls with it: its probe got out.

In a unit that conducts, the share of its way that a core has left falls like that of a ball's
middle at the steepest (its first root is the smallest against the delay before; Carslaw and Jaeger
1959, section 9.3; memory), so the time a core took to begin bounds how fast it can end. Vapour
makes a load conduct the better the hotter it is, and can end some times faster. Which limits are
taken: the code's own choice, no source; benchmarks of invented cooks stand in methods/heat.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.science.judging.core_pace import SAME_K, lag_behind, thinned_to

Values = NDArray[float64]

MINUTE = 60.0
FEWEST = 3

CLOSE_S = 30.0  # readings closer together show no more of a pace
FAR_K = 20.0  # behind its chamber, from where it comes
RISEN_K = 20.0  # of the chamber, at the least
FELL_K = 5.0  # of the chamber below its hottest: a core that is near it then did not come up to it
BEGUN = 0.97  # of its way left: with more, it shows no pace yet
MODES = 60
LONGEST = 8.0  # mean delays along which the way left is tabulated

FASTER = 2.5  # times its own pace before: more than conduction alone
FASTEST = 25.0  # times: more than with vapour too

HOT_C = 90.0  # a core that was never so hot earned nothing
BELOW_BOILING_C = 95.0
FALLS_K, FALLS_S = 20.0, 10.0 * MINUTE  # of the chamber, at the least, to tell how a core follows
USUAL_K = 2.0  # that a unit as late would be hotter than its chamber on average while both fall
BEHIND = 0.25  # of it, or of what a core that stood still would be behind


@dataclass(frozen=True, slots=True)
class Arrival:
    """How a core came to what its chamber reads."""

    from_s: float
    to_s: float
    from_c: float
    to_c: float
    times: float  # as fast as its own pace before

    @property
    def words(self) -> str:
        """What the core does, without its subject."""
        return (
            f"comes from {self.from_c:.0f} °C to what the chamber reads, {self.to_c:.0f} °C, "
            f"between {self.from_s / MINUTE:.0f} and {self.to_s / MINUTE:.0f} min, "
            f"{self.times:.0f} times as fast as its own pace before"
        )


def _left_of_ball() -> tuple[Values, Values]:
    """Return times by the slowest mode's, and the share of its way a ball's middle has left."""
    delays = np.linspace(0.05, LONGEST, 1600)
    n = np.arange(1, MODES + 1)[:, np.newaxis]
    left = 2.0 * np.sum(np.where(n % 2, 1.0, -1.0) * np.exp(-(n**2) * delays), axis=0)
    return delays, np.minimum.accumulate(left)


DELAYS, LEFT = _left_of_ball()


def arrival(t: Values, inside: Values, outside: Values, same_k: float) -> Arrival | None:
    """Return the fastest way in which a core came from far behind to what its chamber reads.

    Parameters
    ----------
    t, inside, outside : ndarray, shape (n,)
        Rising times [s], readings of core and chamber, none missing. [degC]
    same_k : float
        What two probes in the same place differ by, with their errors. [K]

    Returns
    -------
    Arrival or None
        None where it never was far behind, or has not come near.

    Examples
    --------
    >>> t = 300.0 * np.arange(12)
    >>> core = np.array([18.0, 18.0, 18.4, 19.2, 21.0, 24.0] + 6 * [121.1])
    >>> arrival(t, core, np.interp(t, [0.0, 1200.0, 3300.0], [20.0, 121.0, 121.3]), 3.0).words[:55]
    'comes from 24 °C to what the chamber reads, 121 °C, bet'
    """
    if len(t) < FEWEST:
        return None
    every = max(1, int(CLOSE_S / float(np.median(np.diff(t)))))
    t, inside, outside = t[::every], inside[::every], outside[::every]
    risen = outside - inside[0]
    off = outside - inside
    is_up = (risen >= RISEN_K) & (outside >= np.maximum.accumulate(outside) - FELL_K)
    near = is_up & (off <= same_k)
    areas = np.maximum(risen, 0.0)
    area = np.concatenate(([0.0], np.cumsum((areas[1:] + areas[:-1]) / 2.0 * np.diff(t))))
    since = area / np.maximum(risen, RISEN_K)  # as if the chamber had been so hot at once
    left = off / np.maximum(risen, RISEN_K)
    gone = np.interp(-np.minimum(left, BEGUN), -LEFT, DELAYS)
    pace = np.divide(gone, since, out=np.zeros_like(gone), where=since > 0.0)
    known = np.maximum.accumulate(np.where(is_up & (left <= BEGUN), pace, 0.0))
    far = is_up & (off >= FAR_K) & (since > 0.0)
    best = None
    comes = np.flatnonzero(near[1:] & ~near[:-1]) + 1
    away = np.flatnonzero(far)
    _, firsts = np.unique(np.searchsorted(away, comes), return_index=True)
    for to in comes[firsts]:  # the first after each time that it was far behind
        at = away[(away < to) & (since[away] < since[to])]
        if not len(at):
            continue
        end = float(np.interp(-max(same_k / risen[to], float(left[to])), -LEFT, DELAYS))
        quick = (end - gone[at]) / (since[to] - since[at]) / np.maximum(known[at], pace[at])
        most = int(np.argmax(quick))
        if best is None or quick[most] > best.times:
            begin = at[most]
            best = Arrival(
                float(t[begin]),
                float(t[to]),
                float(inside[begin]),
                float(inside[to]),
                float(quick[most]),
            )
    return best


def comes_out(t: Values, inside: Values, outside: Values, same_k: float) -> str:
    """Say that a core came out of its unit by how it came to its chamber, or falls with it.

    Parameters
    ----------
    t, inside, outside : ndarray, shape (n,)
        Rising times [s], readings of core and chamber, none missing. [degC]
    same_k : float
        What two probes in the same place differ by, with their errors. [K]
    """
    found = arrival(t, inside, outside, same_k)
    if found is None:
        return ""
    if found.times >= FASTEST:
        return f"it {found.words}, as if it had slipped out"
    share = share_behind(t, inside, outside, same_k, below_c=BELOW_BOILING_C)
    if share is None or share >= BEHIND:
        return ""
    return f"it {found.words}, and falls with it, as if it had worked its way out"


def may_be_out(t: Values, inside: Values, outside: Values, same_k: float) -> Arrival | None:
    """Return how a core came to its chamber if vapour or its slipping out explain it; else None.

    It is in its unit if it cools behind its chamber. Parameters as of :func:`comes_out`.
    """
    found = arrival(t, inside, outside, same_k)
    if found is None or found.times < FASTER:
        return None
    share = share_behind(t, inside, outside, same_k)
    return None if share is not None and share >= BEHIND else found


def share_behind(
    t: Values, inside: Values, outside: Values, same_k: float, *, below_c: float = np.inf
) -> float | None:
    """Return how far behind a core cools, by what a unit as late as it was would; None: not seen.

    That it falls with its chamber tells something below boiling only: above it a wet load boils
    while pressure goes, and falls with it. Parameters as of :func:`comes_out`.
    """
    lag = lag_behind(t, inside, outside)
    hot = np.flatnonzero(outside >= float(np.max(outside)) - SAME_K)
    below = np.flatnonzero(outside[hot[-1] :] <= below_c)
    if lag is None or lag <= 0.0 or not len(below):
        return None
    begin = int(hot[-1] + below[0])
    if len(t) - begin < FEWEST:
        return None
    cool, core, chamber = thinned_to(t[begin:], inside[begin:], outside[begin:])
    above = np.zeros(len(cool))
    for at in range(1, len(cool)):
        step = float(cool[at] - cool[at - 1])
        behind = lag * float(chamber[at - 1] - chamber[at]) / step
        above[at] = behind + (above[at - 1] - behind) * np.exp(-step / lag)
    lasts = float(cool[-1] - cool[0])
    usual = float(np.trapezoid(above, cool)) / lasts
    if usual < USUAL_K:
        return None
    off = inside - outside
    near = hot[np.abs(off[hot]) <= same_k]
    zero = max(0.0, float(np.median(off[near]))) if len(near) else 0.0
    return float(np.trapezoid(core - chamber - zero, cool)) / lasts / usual


def falls_with(t: Values, inside: Values, outside: Values) -> str:
    """Say that a core came up late and falls as the chamber does, as if it had worked its way out.

    Looked at below boiling only: above it a wet load boils while pressure goes, and falls with it.
    """
    lag = lag_behind(t, inside, outside)
    hot = np.flatnonzero(outside >= float(np.max(outside)) - SAME_K)
    below = np.flatnonzero(outside[hot[-1] :] <= BELOW_BOILING_C)
    if lag is None or not len(below) or float(np.max(inside)) < HOT_C:
        return ""
    begin = int(hot[-1] + below[0])
    end = int(np.searchsorted(t, t[begin] + 2.0 * lag, side="right"))
    part = slice(begin, end)
    if end - begin < FEWEST or t[end - 1] - t[begin] < FALLS_S:
        return ""
    fallen = outside[begin] - outside[part]
    if float(fallen[-1]) < FALLS_K:
        return ""
    still = float(np.trapezoid(np.maximum(fallen, 0.0), t[part]))
    above = inside[part] - outside[part]  # how far it is hotter, and by how much less it fell
    slower = fallen - (inside[begin] - inside[part])
    for behind in (above, slower):
        if float(np.trapezoid(np.maximum(behind, 0.0), t[part])) >= BEHIND * still:
            return ""
    return (
        f"it came up {lag / MINUTE:.0f} min behind the chamber and falls with it, as if it had "
        "worked its way out"
    )
