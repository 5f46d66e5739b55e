"""A core that begins hotter than every other probe while all are at rest: it may read too high.

Before the steam is on a load and its chamber are about as warm as the room, so probes agree then by
their errors. A load that was filled in a little warmer looks the same; which of both it is no log
shows, so what hangs on the difference is said. All limits are the code's own choice: no source.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy import float64
from numpy.typing import NDArray

Values = NDArray[float64]
Readings = tuple[Values, float]  # [degC] and the largest error [K]

FEW = 2.0  # times the errors of both probes, by which they may differ at rest ...
LEAST_K = 1.5  # ... and so much at any rate
MOST_K = 10.0  # no probe reads so much too high: such a load was filled in hot
AT_REST_C = 45.0  # hotter is no room
STILL_K = 1.0  # within which a probe is at rest
LONGEST_S = 1800.0
BEGINS_S = 300.0
SMOOTH = 5  # readings, so that no single one says that a load cooled


def above_at_rest(
    seconds: Values, core: Readings, chambers: Sequence[Readings], cores: Sequence[Readings] = ()
) -> float:
    """Return by how much a core begins above the nearest of the other probes, in K; 0: not so.

    A warm load that cools at rest, while the chamber stands still, says itself how much of the
    difference is its own warmth; only what is left of it counts.

    Parameters
    ----------
    seconds : ndarray, shape (n,)
        Rising times. [s]
    core : tuple of ndarray, shape (n,) and float
        Its readings, NaN where it gave none [degC], and its largest error. [K]
    chambers, cores : sequence of the same
        The other probes. One that agrees with the core speaks for it, but no core that itself
        begins above every probe of the chamber: two may read too high alike.

    Examples
    --------
    >>> t = 60.0 * np.arange(60)
    >>> chamber = np.interp(t, [0.0, 600.0, 1800.0], [20.0, 20.0, 121.0])
    >>> above_at_rest(t, (np.full(60, 23.5), 0.5), [(chamber, 0.5)])
    3.5
    >>> above_at_rest(t, (np.full(60, 21.0), 0.5), [(chamber, 0.5)])
    0.0
    """
    excess = []
    for other, is_core in [
        *((each, False) for each in chambers),
        *((each, True) for each in cores),
    ]:
        pair = _at_rest(seconds, core[0], other[0])
        if pair is None:
            continue
        own, others = pair
        allowed = max(LEAST_K, FEW * (core[1] + other[1]))
        if max(own, others) > AT_REST_C:
            return 0.0
        if own - others > allowed:
            excess.append(own - others)
        elif not is_core or above_at_rest(seconds, other, chambers) == 0.0:
            return 0.0
    nearest = min(excess, default=0.0)
    return nearest if nearest <= MOST_K else 0.0


def _at_rest(seconds: Values, core_c: Values, other_c: Values) -> tuple[float, float] | None:
    """Return what two probes read before either moved; None: not read together at the start."""
    both = np.flatnonzero(~np.isnan(core_c) & ~np.isnan(other_c))
    if len(both) == 0 or seconds[both[0]] - seconds[0] > BEGINS_S:
        return None
    t, core, other = seconds[both], core_c[both], other_c[both]
    has_moved = np.abs(other - other[0]) > STILL_K
    moved = has_moved | (np.abs(core - core[0]) > STILL_K) | (t > t[0] + LONGEST_S)
    end = int(np.argmax(moved)) if np.any(moved) else len(both)
    own, others = float(np.median(core[:end])), float(np.median(other[:end]))
    still = core[: int(np.argmax(has_moved))] if np.any(has_moved) else core
    if len(still) >= SMOOTH:
        windows = np.lib.stride_tricks.sliding_window_view(still, SMOOTH)
        coldest = float(np.min(np.median(windows, axis=1)))
        own = coldest if coldest < own - STILL_K else own
    return own, others
