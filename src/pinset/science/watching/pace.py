"""Whether a core of a cook that goes on heats quicker than a unit of its load can.

The same test as of a log afterwards (:mod:`~pinset.science.judging.core_pace`), once the core has
gone half of its way: before, errors of the probes may be all there is of it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.science.heating.heated_unit import Unit
from pinset.science.heating.heating import Shape
from pinset.science.heating.loads import Fill
from pinset.science.judging.core_pace import Lateness, lateness, thinned_to
from pinset.science.watching.chamber import ChamberSoFar

Values = NDArray[float64]

FEWEST = 3  # minutes that both were read
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
    if np.max(inside) < inside[0] + HALF * (np.max(outside) - inside[0]):
        return None
    t, inside, outside = thinned_to(t, inside, outside)
    late = lateness(known.shape, known.fill, known.own, (t, inside, outside))
    return late if late is not None and late.was < late.least else None
