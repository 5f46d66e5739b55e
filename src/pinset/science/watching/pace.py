"""Whether a core of a cook that goes on heats quicker than a unit of its load can.

The same test as of a log afterwards (:mod:`~pinset.science.judging.core_pace`), once the core has
gone half of its way: before, errors of the probes may be all there is of it. Where a log taught the
farm how the load heats, the core is held against that at every temperature it comes to.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.science.heating.heated_unit import Unit
from pinset.science.heating.heating import Shape
from pinset.science.heating.loads import Fill
from pinset.science.judging.core_match import scaled
from pinset.science.judging.core_pace import Lateness, lateness, thinned_to
from pinset.science.watching.chamber import ChamberSoFar

Values = NDArray[float64]

FEWEST = 3  # minutes that both were read
BETTER = 1.5  # times what was learnt: no load of that kind conducts so well another day
HOT_K = 15.0  # above the core at its first reading
AHEAD_K = 8.0  # of such a unit, beyond all errors; both the code's own choice
HALF = 0.5  # of the way from its first reading to its chamber's hottest; the code's own choice


@dataclass(frozen=True, slots=True)
class KnownUnit:
    """A unit of the load as it is known."""

    shape: Shape  # of its filled part [m]
    fill: Fill
    own: Unit | None = None  # as a log taught the farm


def too_quick(
    chamber: ChamberSoFar, seconds: Values, core_c: Values, known: KnownUnit
) -> Lateness | None:
    """Return how late a core was that is quicker than its load can be; None: it is not.

    Parameters
    ----------
    chamber : ChamberSoFar
        Along the straight line between its readings.
    seconds, core_c : ndarray, shape (n,)
        Rising times [s] and readings of the core, none missing. [degC]
    known : KnownUnit
        The unit it stands in.

    Returns
    -------
    Lateness or None
        None too where it can't be told: a chamber that was not read for long or rose too little.
    """
    both = (chamber.seconds >= seconds[0]) & (chamber.seconds <= seconds[-1])
    if int(np.sum(both)) < FEWEST or np.any(chamber.is_blind[both[1:] & both[:-1]]):
        return None
    t, outside = chamber.seconds[both], chamber.celsius[both]
    inside = np.interp(t, seconds, core_c)
    ahead = None if known.own is None else _ahead(known.own, t, inside, outside)
    if ahead is not None or np.max(inside) < inside[0] + HALF * (np.max(outside) - inside[0]):
        return ahead
    t, inside, outside = thinned_to(t, inside, outside)
    late = lateness(known.shape, known.fill, known.own, (t, inside, outside))
    return late if late is not None and late.was < late.least else None


def _ahead(own: Unit, t: Values, inside: Values, outside: Values) -> Lateness | None:
    """Return how late a core comes to where it leaves a learnt unit behind; None: it does not."""
    if outside[0] > inside[0] + HOT_K:  # heated before it was first read, it begins ahead
        return None
    quick = scaled(own, BETTER).core(t, outside, float(inside[0]))
    far = np.flatnonzero(inside > quick + AHEAD_K)
    if not len(far):
        return None
    at = int(far[np.argmax((inside - quick)[far])])
    level = float(inside[at])
    usual = own.core(t, outside, float(inside[0]))
    hot, least, likely = (_comes(t, each, level) for each in (outside, quick, usual))
    return Lateness(float(t[at]) - hot, least - hot, least - hot, np.inf, likely - hot)


def _comes(t: Values, celsius: Values, level: float) -> float:
    """Return when a curve comes to a level; its end, where it has not."""
    there = np.flatnonzero(celsius >= level)
    return float(t[there[0]] if len(there) else t[-1])
