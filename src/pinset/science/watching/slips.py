"""Whether a core of a cook that goes on got out of its unit, so that it counts for nothing.

The checks are those of a log afterwards (:mod:`~pinset.science.judging.core_doubts`). Vapour may
bring a core to its chamber as quickly as slipping out does. Afterwards how it cools tells them
apart; before, the cases of how well its load takes up heat do.
"""

from __future__ import annotations

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.science.heating.holding import LONGEST_HOLD_S
from pinset.science.judging.core_doubts import slip_of_core
from pinset.science.judging.core_pace import MINUTE, SAME_K
from pinset.science.judging.core_slips import Arrival, arrival, may_be_out
from pinset.science.watching.chamber import ChamberSoFar
from pinset.science.watching.going_on import WatchedLoad

Values = NDArray[float64]

MORE = 1.5  # times as fast as the quickest case of its load is no core of it; the code's own choice
FEWEST = 3


def slip(t: Values, core_c: Values, chamber: ChamberSoFar, load: WatchedLoad) -> str:
    """Return what shows that a core is out of its unit; empty: nothing.

    Parameters
    ----------
    t, core_c : ndarray, shape (n,)
        Rising times [s] and readings of the core, NaN where it gave none. [degC]
    chamber : ChamberSoFar
        Along the straight line between its readings.
    load : WatchedLoad
        What is cooked, with the errors of its instruments.
    """
    both = ~np.isnan(core_c) & (t >= chamber.seconds[0]) & (t <= chamber.last_s)
    if np.count_nonzero(both) < FEWEST:
        return ""
    outside = np.interp(t[both], chamber.seconds, chamber.celsius)
    pair = (t[both], core_c[both], outside)
    error_k = load.core_error_k + load.probe_error_k
    said = slip_of_core(*pair, error_k)
    if said:
        return said
    found = may_be_out(*pair, SAME_K + error_k)
    if found is None:
        return ""
    most = _most_times(pair, load, SAME_K + error_k)
    if found.times <= MORE * most:
        return ""
    return f"it {found.words}, as if it had slipped out: a unit of this load comes {most:.1f} times"


def _most_times(pair: tuple[Values, Values, Values], load: WatchedLoad, same_k: float) -> float:
    """Return how many times as fast as before a unit of a load comes to such a chamber."""
    t, inside, outside = pair
    even = np.arange(t[0], t[-1] + LONGEST_HOLD_S, MINUTE)
    hottest = np.maximum.accumulate(np.interp(even, t, outside))
    known = load.known
    own = [] if known is None or known.own is None else [known.own]
    found: list[Arrival | None] = [
        arrival(even, unit.core(even, hottest, float(inside[0])), hottest, same_k)
        for unit in (*own, *(unit for _, unit in load.cases))
    ]
    return max((each.times for each in found if each is not None), default=1.0)
