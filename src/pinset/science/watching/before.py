"""A chamber that was hot already when it was first read: how it may have come there.

Since when it is heated decides how a core goes on: one that was heated for longer takes heat up
more slowly than its readings alone tell, as its outside is hot already.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy import bool_

from pinset.science.watching.chamber import MINUTE, ChamberSoFar

FAR_K = 15.0
"""A chamber that is hotter than the load was by more, when it is first read, was heated before."""

FALLS_K_PER_S = 10.0 / MINUTE
"""How fast a chamber may have fallen to its first reading."""

GONE_S = tuple(60.0 * each for each in (0, 8, 16, 32, 64, 128, 256))
"""For how long it may have been heated before its first reading, where nobody says it. [s]"""


def is_hot_already(chamber: ChamberSoFar, start_c: float) -> bool:
    """Return whether a chamber was heated before it was first read."""
    return bool(chamber.celsius[0] > start_c + FAR_K)


def with_beginning(
    chamber: ChamberSoFar,
    start_c: float,
    gone_s: float,
    k_per_s: float,
    *,
    most_c: float | None = None,
) -> ChamberSoFar:
    """Return a chamber from when it began to be heated, so long before its first reading.

    Parameters
    ----------
    chamber : ChamberSoFar
        Since its first reading.
    start_c : float
        How warm it was when it began to be heated. [degC]
    gone_s : float
        How long before its first reading. [s]
    k_per_s : float
        How fast it is meant to come up; faster where it came to its first reading sooner. It
        stays there then, which leaves the load's outside as hot as may be. [K/s]
    most_c : float, optional
        How hot it was before it fell to its first reading within a few minutes. [degC]

    Examples
    --------
    >>> nothing = np.zeros(0, dtype=bool_)
    >>> first = ChamberSoFar(np.array([0.0]), np.array([120.0]), nothing, 0.0, 120.0, 120.0, None,
    ...                      False, False, False, 120.0)
    >>> with_beginning(first, 20.0, 180.0, 50.0 / 60.0).celsius.tolist()
    [20.0, 70.0, 120.0, 120.0]
    """
    steps = int(gone_s / MINUTE)
    if steps <= 0:
        return chamber
    first_s, first_c = float(chamber.seconds[0]), float(chamber.celsius[0])
    since = np.arange(0.0, steps) * MINUTE
    speed = max(k_per_s, (first_c - start_c) / (steps * MINUTE))
    came = np.minimum(first_c, start_c + speed * since)
    if most_c is not None:
        falls = first_c + FALLS_K_PER_S * (steps * MINUTE - since)
        came = np.minimum(np.minimum(most_c, falls), start_c + speed * since)
    return replace(
        chamber,
        seconds=np.concatenate((first_s - steps * MINUTE + since, chamber.seconds)),
        celsius=np.concatenate((came, chamber.celsius)),
        is_blind=np.concatenate((np.ones(steps, dtype=bool_), chamber.is_blind)),
    )
