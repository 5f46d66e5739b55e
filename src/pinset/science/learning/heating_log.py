"""What a log shows of a core while its chamber is hot: up to steam-off, and how long it took."""

from __future__ import annotations

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.science.heating.heated_unit import Unit

Values = NDArray[float64]

STEAM_ON_K = 3.0  # below its hottest the chamber is hot so long as it is no more than this
HELD = 0.8  # of the readings lie below the chamber's hold, or in it
TENTHS = 0.9  # of a way that count as having come
FEWEST = 10  # readings by which two cores are compared
MINUTE = 60.0


def while_heating(seconds: Values, hot: Values, inside: Values) -> tuple[Values, Values, Values]:
    """Return times [s], chamber and core [degC] up to steam-off; shapes (n,), n may be 0.

    A unit gives heat off otherwise than it takes it from steam.
    """
    if len(hot) == 0:
        return seconds, hot, inside
    off = int(np.flatnonzero(hot >= float(hot.max()) - STEAM_ON_K)[-1]) + 1
    return seconds[:off], hot[:off], inside[:off]


def held_c(hot: Values) -> float:
    """Return what the chamber held, in degC."""
    return float(np.quantile(hot, HELD))


def minutes_to_hot(seconds: Values, hot: Values, inside: Values) -> float | None:
    """Return after how many minutes a core had come nine tenths of its way, None if never."""
    there = inside[0] + TENTHS * (held_c(hot) - inside[0])
    took = _until(float(there), seconds, inside)
    return None if took is None else took / MINUTE


def took_and_should(
    unit: Unit, seconds: Values, hot: Values, inside: Values
) -> tuple[float, float] | None:
    """Return how long a core took to nine tenths of the way it came, and how long it should have.

    Parameters
    ----------
    unit : Unit
        As it is thought to heat.
    seconds, hot, inside : ndarray, shape (n,)
        Rising times [s], chamber and core. [degC]

    Returns
    -------
    (float, float) or None
        Minutes; None if there are fewer than ten readings or the core does not move. A unit that
        would not come so far by the end counts as having come there then.
    """
    if len(seconds) < FEWEST or np.ptp(inside) <= 0.0:
        return None
    begin = float(inside[0])
    level = begin + TENTHS * (float(inside.max()) - begin)
    took = _until(level, seconds, inside)
    if took is None:
        return None
    should = _until(level, seconds, unit.core(seconds, hot, begin))
    last = float(seconds[-1] - seconds[0])
    return took / MINUTE, (last if should is None else should) / MINUTE


def _until(level: float, seconds: Values, core: Values) -> float | None:
    """Return how long a core took to a level in s, None if it never came there from below."""
    there = np.flatnonzero(core >= level)
    if len(there) == 0 or there[0] == 0:
        return None
    around = slice(int(there[0]) - 1, int(there[0]) + 1)
    return float(np.interp(level, core[around], seconds[around]) - seconds[0])
