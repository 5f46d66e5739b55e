"""What speaks against a load learnt from a log, however closely its curve is followed.

A curve can be followed by values that no load has: a unit that conducts less and less while it
heats looks like one that conducts as metal does behind a skin of felt. Bounds are those of the
published values of such loads, with room on either side; how wide is the code's own choice.
"""

from __future__ import annotations

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.science.heating.loads import Fill
from pinset.science.learning.learnt_heat import Learnt

Values = NDArray[float64]

ROOM = 2.0  # below the least published conductivity: a light, dry load
WITH_VAPOUR = 2.0  # W/(m K): three times water (0.68, IAPWS), more than wood, straw and water give
STIRRED = 5.0  # times a liquid's own: it turns over while it heats
UNSURE = 10.0  # a factor either way: by such a value nothing is planned
LEAST_SURFACE = 10.0  # W/(m2 K): still air and radiation alone, no steam at all; memory

BLOCK_S = 600.0  # what is left is looked at in means of so long, in which noise is gone
STRUCTURE_K = 1.0  # root of their mean square
HOT_C, HOT_K = 100.0, 1.0  # a kelvin off where it is hot is a quarter of F0


def bounds_of(fill: Fill) -> tuple[float, float]:
    """Return the least and the most a load can conduct by one value, in W/(m K)."""
    return fill.low / ROOM, WITH_VAPOUR if fill.has_vapour else STIRRED * fill.high


def doubt_of_fit(
    learnt: Learnt, fill: Fill, seconds: Values, reckoned_c: Values, measured_c: Values
) -> str:
    """Return what speaks against what was learnt, and what to do; empty: nothing.

    Parameters
    ----------
    learnt : Learnt
        Conductivity, free air and surface coefficient.
    fill : Fill
        What such a load is known to do.
    seconds : ndarray, shape (n,)
        Rising times. [s]
    reckoned_c, measured_c : ndarray, shape (n,)
        The core by what was learnt, and as read. [degC]
    """
    low, high = bounds_of(fill)
    if not low <= learnt.conductivity <= high:
        return (
            f"its unit would conduct {learnt.conductivity:.2f} W/(m K), and such loads conduct "
            f"{low:.2f} to {high:.2f}. Measure and weigh the unit again, and see that the probe "
            "stood in its middle; if all is right, it conducts otherwise hot than cold, and one "
            "value does not describe it"
        )
    factor = learnt.factors[0]
    if factor > UNSURE:
        return (
            f"that leaves open how well its unit conducts: anything from a {factor:.0f}th to "
            f"{factor:.0f} times {learnt.conductivity:.2f} W/(m K). A probe that follows late "
            "looks so, or one that stood in no unit. Log it again with a bare probe in the middle"
        )
    if learnt.surface < LEAST_SURFACE:
        return (
            f"its surface would take in {learnt.surface:.1f} W/(m2 K), less than in still air "
            f"without steam ({LEAST_SURFACE:g}). Was the unit wrapped, or did its chamber's probe "
            "stand far from it? If not, it conducts otherwise hot than cold, and one value does "
            "not describe it"
        )
    off = reckoned_c - measured_c
    hot = measured_c >= HOT_C
    bias = float(np.mean(off[hot])) if np.any(hot) else 0.0
    if abs(bias) > HOT_K:
        return (
            f"the core would be {abs(bias):.1f} K too {'hot' if bias > 0.0 else 'cold'} on average "
            f"above {HOT_C:.0f} °C, where F0 is earned. Are size, weight and probe right?"
        )
    together = _structure(seconds, off)
    if together > STRUCTURE_K:
        return (
            f"for minutes on end the core would be {together:.1f} K off, which is no noise. Are "
            "size, weight and probe right?"
        )
    return ""


def _structure(seconds: Values, off: Values) -> float:
    """Return the root of the mean square of what is left in means of ten minutes, in K."""
    block = ((seconds - seconds[0]) // BLOCK_S).astype(int)
    counts = np.bincount(block)
    means = np.bincount(block, weights=off)[counts > 0] / counts[counts > 0]
    return float(np.sqrt(np.mean(means**2)))
