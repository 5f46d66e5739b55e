"""Readings of a cook that goes on which can't be: leaps of one reading, a core above its chamber.

A leap upwards counts for nothing. A leap downwards counts for nothing only between readings close
together: further apart it may be a chamber that fell, and to believe it is the cautious side. A
last reading of the chamber that fell is believed at once.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy import bool_, float64
from numpy.typing import NDArray

from pinset.science.judging_findings import MOST_BETWEEN, SECONDS_BETWEEN
from pinset.science.spikes import LEAP_K, spikes

Values = NDArray[float64]

LASTS_S = 120.0  # a core that is hotter than its chamber for less is noise
BESIDE_S = 60.0  # a chamber read so long before a core was read beside it
FILLED_C = 100.0  # a load may be filled in hot, and is hotter than its chamber then


@dataclass(frozen=True, slots=True)
class Leap:
    """A reading that leaps away and counts for nothing."""

    record: str  # core, chamber, gauge
    seconds: float
    celsius: float  # of a gauge: of saturated steam at it
    is_last: bool  # nothing was read after it yet


@dataclass(frozen=True, slots=True)
class HotCore:
    """How long a core was hotter than anything around it, and by how much at the most."""

    seconds: float
    most_k: float
    is_now: bool


def leaping(seconds: Values, celsius: Values, *, is_core: bool) -> NDArray[bool_]:
    """Return which readings leap away and count for nothing.

    Parameters
    ----------
    seconds, celsius : ndarray, shape (n,)
        Rising times [s] and temperatures; NaN where there was no reading. [degC]
    is_core : bool
        Whether it stands in a unit, which can't cool at once either.

    Returns
    -------
    ndarray of bool, shape (n,)
    """
    known = np.flatnonzero(~np.isnan(celsius))
    found = np.zeros(len(celsius), dtype=bool)
    if len(known) < 2:  # noqa: PLR2004  (one reading leaps from nothing)
        return found
    t, degrees = seconds[known], celsius[known]
    off = spikes(t, degrees, is_going_on=True)
    sound = np.flatnonzero(~off)
    for at in np.flatnonzero(off):
        after = sound[sound > at]
        before = int(sound[sound < at][-1])
        if degrees[at] >= degrees[before]:
            continue
        is_short = len(after) > 0 and t[after[0]] - t[before] <= SECONDS_BETWEEN
        is_doubted_end = len(after) == 0 and is_core and t[-1] - t[before] <= SECONDS_BETWEEN
        off[at] = is_short or is_doubted_end
    found[known[off]] = True
    return found


def leaps_up_at_end(celsius: Values) -> bool:
    """Return whether the last of two or more readings lies far above the one before."""
    known = celsius[~np.isnan(celsius)]
    return len(known) > 1 and bool(known[-1] - known[-2] > LEAP_K)


def hotter_than_chamber(
    seconds: Values, core_c: Values, chamber_c: Values, error_k: float
) -> tuple[NDArray[bool_], HotCore | None]:
    """Return which readings of a core are hotter than its chamber has ever been.

    Nothing heats a core but its chamber, so the hottest that chamber was is the most it can have.

    Parameters
    ----------
    seconds : ndarray, shape (n,)
        Rising times. [s]
    core_c, chamber_c : ndarray, shape (n,)
        NaN where there was no reading. [degC]
    error_k : float
        Largest errors of both together. [K]

    Returns
    -------
    tuple
        For each reading whether it is too hot, for two minutes or longer together, and a summary;
        None if it never was.
    """
    too_hot = np.zeros(len(seconds), dtype=bool)
    inside, around = np.flatnonzero(~np.isnan(core_c)), np.flatnonzero(~np.isnan(chamber_c))
    if len(inside) == 0 or len(around) == 0:
        return too_hot, None
    t, core = seconds[inside], core_c[inside]
    most, is_seen = _most(t, seconds[around], chamber_c[around])
    most[0] = max(most[0], min(core[0], FILLED_C))
    after_blind = is_seen & np.concatenate(([False], ~is_seen[:-1]))
    most = np.maximum.accumulate(np.where(after_blind, np.maximum(most, core), most))
    off = np.where(is_seen, core - most - error_k, 0.0)
    lasting = _lasting(t, off > 0.0)
    if not np.any(lasting):
        return too_hot, None
    too_hot[inside[lasting]] = True
    both = lasting[1:] & lasting[:-1]
    return too_hot, HotCore(
        seconds=float(np.sum(np.diff(t)[both])),
        most_k=float(np.max((core - most)[lasting])),
        is_now=bool(lasting[-1]),
    )


def _most(t: Values, chamber_t: Values, chamber_c: Values) -> tuple[Values, NDArray[bool_]]:
    """Return the hottest a chamber was up to its next reading, and whether it was read around."""
    later = np.searchsorted(chamber_t, t, side="left")
    last = len(chamber_t) - 1
    place = np.minimum(later, last)
    before = np.maximum(later - 1, 0)
    is_seen = (later <= last) & (chamber_t[place] - chamber_t[before] <= MOST_BETWEEN)
    is_seen |= (later > last) & (t - chamber_t[last] <= BESIDE_S)
    is_seen &= t >= chamber_t[0] - BESIDE_S
    return np.maximum.accumulate(chamber_c)[place], is_seen


def _lasting(t: Values, hot: NDArray[bool_]) -> NDArray[bool_]:
    """Return which of these stand in a run of two minutes or longer."""
    kept = np.zeros(len(hot), dtype=bool)
    edges = np.flatnonzero(np.diff(np.concatenate(([0], hot.astype(int), [0]))))
    for begin, end in zip(edges[::2], edges[1::2], strict=True):
        if t[end - 1] - t[begin] >= LASTS_S:
            kept[begin:end] = True
    return kept
