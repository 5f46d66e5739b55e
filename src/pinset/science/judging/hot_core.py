"""A core hotter than its chamber has ever been: it takes its heat from there, so it can't be.

The same test while a cook goes on and when its log is judged.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy import bool_, float64
from numpy.typing import NDArray

from pinset.science.judging.findings import MOST_BETWEEN

Values = NDArray[float64]

LASTS_S = 120.0  # a core that is hotter than its chamber for less is noise
BESIDE_S = 60.0  # a chamber read so long before a core was read beside it
FILLED_C = 100.0  # a load may be filled in hot, and is hotter than its chamber then


@dataclass(frozen=True, slots=True)
class HotCore:
    """How long a core was hotter than anything around it, and by how much at the most."""

    seconds: float
    most_k: float
    is_now: bool


def hotter_than_chamber(
    seconds: Values,
    core_c: Values,
    chamber_c: Values,
    error_k: float,
    *,
    lasts_s: float = LASTS_S,
    was_c: float = FILLED_C,
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
    lasts_s : float
        What lasts less is not told. [s]
    was_c : float
        How hot a core may have been before it was first read: filled in so, or heated by a chamber
        that was hotter before its own first reading. [degC]

    Returns
    -------
    tuple
        For each reading whether it is too hot, for so long or longer together, and a summary;
        None if it never was.

    Examples
    --------
    >>> t = np.array([0.0, 60.0, 120.0, 180.0])
    >>> core, chamber = np.array([20.0, 123.0, 123.0, 123.0]), np.full(4, 121.0)
    >>> hotter_than_chamber(t, core, chamber, 1.0)
    (array([False,  True,  True,  True]), HotCore(seconds=120.0, most_k=2.0, is_now=True))
    """
    too_hot = np.zeros(len(seconds), dtype=bool)
    if not np.any(core_c - np.fmax.accumulate(chamber_c) > error_k):
        return too_hot, None
    inside, around = np.flatnonzero(~np.isnan(core_c)), np.flatnonzero(~np.isnan(chamber_c))
    if len(inside) == 0 or len(around) == 0:
        return too_hot, None
    t, core = seconds[inside], core_c[inside]
    most, is_seen = _most(t, seconds[around], chamber_c[around])
    most[0] = max(most[0], min(core[0], max(was_c, FILLED_C)))
    after_blind = is_seen & np.concatenate(([False], ~is_seen[:-1]))
    most = np.maximum.accumulate(np.where(after_blind, np.maximum(most, core), most))
    off = np.where(is_seen, core - most - error_k, 0.0)
    lasting = _lasting(t, off > 0.0, lasts_s)
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


def _lasting(t: Values, hot: NDArray[bool_], lasts_s: float) -> NDArray[bool_]:
    """Return which of these stand in a run of so long or longer."""
    kept = np.zeros(len(hot), dtype=bool)
    edges = np.flatnonzero(np.diff(np.concatenate(([0], hot.astype(int), [0]))))
    for begin, end in zip(edges[::2], edges[1::2], strict=True):
        if t[end - 1] - t[begin] >= lasts_s:
            kept[begin:end] = True
    return kept
