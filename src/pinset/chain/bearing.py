"""How much fruiting units can well bear: more is asked about before it is believed."""

from __future__ import annotations

from math import inf

MOST_OVER_YIELD = 2.0
SOME_GRAMS = 1000
"""More than twice the whole yield of the route, and some, is asked about; common practice, no
source."""


def most_borne_g(whole_g: float) -> float:
    """Return the weight up to which nobody asks whether it was weighed or written wrongly.

    Parameters
    ----------
    whole_g : float
        What the units bring over all flushes, as their route says. [g]

    Returns
    -------
    float
        In g; without end where the route says no yield.

    Examples
    --------
    >>> most_borne_g(32 * 500.0)
    33000.0
    """
    return whole_g * MOST_OVER_YIELD + SOME_GRAMS if whole_g > 0 else inf
