"""Readings of a core that no core can have had: they leap away from their neighbours, and back.

A wet plug, a knocked cable or a relay beside it gives one reading, or a few, tens of kelvins off. A
core inside a unit cannot heat and cool so fast. F0 grows tenfold with every 10 K, so one such
reading can outweigh a whole cook. How far and how long a leap is: the code's own choice, no source.
"""

from __future__ import annotations

import numpy as np
from numpy import bool_, float64
from numpy.typing import NDArray

Values = NDArray[float64]

LEAP_K = 8.0  # off the line between the neighbours before and after ...
LARGER = 2.0  # ... and so much larger than what lies between those two
LONGEST = 3  # readings in one spike
FASTEST_K_MIN = 15.0  # in which a core goes on to a last reading that nothing follows
SLOWEST_S = 300.0  # between readings: a fall seen more seldom than this may have been one
NEAR_S = 1800.0  # between readings: further apart, only what comes back to where it was is a spike
MINUTE = 60.0


def spikes(seconds: Values, celsius: Values, *, is_going_on: bool = False) -> NDArray[bool_]:
    """Return which readings leap away from their neighbours and back.

    A fall between readings more than five minutes apart is believed: leaving it out would give the
    core more than it had.

    Parameters
    ----------
    seconds, celsius : ndarray, shape (n,)
        Rising times [s] and a core. [degC]
    is_going_on : bool
        Whether more readings are to come. Then the last ones are in doubt, if they leap away, until
        another shows that they stay.

    Returns
    -------
    ndarray of bool, shape (n,)

    Examples
    --------
    >>> import numpy as np
    >>> spikes(60.0 * np.arange(5), np.array([80.0, 81.0, 150.0, 81.5, 82.0])).tolist()
    [False, False, True, False, False]
    """
    found = np.zeros(len(celsius), dtype=bool)
    for length in range(1, LONGEST + 1):
        kept = np.flatnonzero(~found)  # a reading that leaps is no neighbour to leap from
        if len(kept) > length + 1:
            found[kept[_of_length(seconds[kept], celsius[kept], length)]] = True
    if is_going_on:
        found |= _leaping_end(seconds, celsius, found)
    return found


def _of_length(seconds: Values, celsius: Values, length: int) -> NDArray[bool_]:
    """Return which readings are of spikes of so many."""
    found = np.zeros(len(celsius), dtype=bool)
    before, after = slice(None, -length - 1), slice(length + 1, None)
    between = np.abs(celsius[after] - celsius[before])
    least = np.maximum(LEAP_K, LARGER * between)
    stays = (between <= LEAP_K) | (seconds[after] - seconds[before] <= (length + 1) * NEAR_S)
    is_quick = seconds[after] - seconds[before] <= (length + 1) * SLOWEST_S
    slope = (celsius[after] - celsius[before]) / (seconds[after] - seconds[before])
    for place in range(1, length + 1):
        here = slice(place, len(celsius) - length - 1 + place)
        line = celsius[before] + slope * (seconds[here] - seconds[before])
        off = celsius[here] - line
        stays &= (off > least) | ((off < -least) & is_quick)
    for first in np.flatnonzero(stays) + 1:
        if not found[first - 1]:
            found[first : first + length] = True
    return found


def _leaping_end(seconds: Values, celsius: Values, found: NDArray[bool_]) -> NDArray[bool_]:
    """Return which of the last readings leap away and have not come back yet."""
    leaping = np.zeros(len(celsius), dtype=bool)
    good = np.flatnonzero(~found)
    for before, here in zip(good[-LONGEST - 1 : -1], good[-LONGEST:], strict=False):
        off = celsius[here] - celsius[before]
        minutes = (seconds[here] - seconds[before]) / MINUTE
        if abs(off) > LEAP_K and abs(off) > FASTEST_K_MIN * minutes:
            leaping[here:] = True
            break
    return leaping
