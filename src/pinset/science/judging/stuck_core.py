"""A core that stands at one value while its chamber is far hotter: it is stuck, or in no load.

What a load does shows in what its core did before: it is warmed the faster the hotter the chamber
is than itself, and once it has come some way never many times slower than until then. All limits
are the code's own choice: no source.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy import float64
from numpy.typing import NDArray
from scipy.ndimage import maximum_filter1d, minimum_filter1d

Values = NDArray[float64]

MINUTE = 60.0
LEVEL_K = 0.5  # within which it stands still, noise and all
NEVER_K = 0.25  # the same of one that never moved
AWAY_K = 15.0  # of the chamber, all the while
LEAST_MIN = 30
MOVED_K = 20.0  # before, by which its load is known
EXPECTED_K = 10.0  # by which such a load would have been warmed meanwhile
FELL_K = 5.0  # of the chamber: afterwards a core may stand while heat comes in anew
WARM_C = 65.0  # one that never moved and is colder may be a large load; none is filled in hotter
NEVER_MIN, NEVER_WHOLE_MIN = 75, 120  # of tenths of a degree, of whole degrees
APART_S = 605.0  # readings further apart show nothing of what was between


@dataclass(frozen=True, slots=True)
class Stuck:
    """A stretch in which a core did not move."""

    celsius: float
    from_s: float
    minutes: float
    off_k: float  # by which the chamber was hotter at the most

    @property
    def words(self) -> str:
        """What the core does, without its subject."""
        return (
            f"stands at {self.celsius:.1f} °C for {self.minutes:.0f} min while the chamber is "
            f"up to {self.off_k:.0f} K hotter, as if it were stuck or not in the load"
        )


def stuck(t: Values, inside: Values, outside: Values) -> Stuck | None:
    """Return where a core stands still although its chamber is far hotter; None: nowhere.

    Parameters
    ----------
    t, inside, outside : ndarray, shape (n,)
        Rising times [s], readings of core and chamber, none missing. [degC]

    Examples
    --------
    >>> t = 60.0 * np.arange(121)
    >>> chamber = np.interp(t, [0.0, 1800.0, 7200.0], [20.0, 121.0, 121.0])
    >>> stuck(t, np.full(121, 85.0), chamber).words[:27]
    'stands at 85.0 °C for 96 mi'
    >>> stuck(t, np.interp(t, [0.0, 7200.0], [20.0, 26.0]), chamber) is None
    True
    """
    if len(t) < 2 or t[-1] - t[0] < LEAST_MIN * MINUTE:  # noqa: PLR2004  (a line has two ends)
        return None
    even = np.arange(t[0], t[-1] + 1.0, MINUTE)
    core, chamber = np.interp(even, t, inside), np.interp(even, t, outside)
    is_blind = np.diff(t)[np.clip(np.searchsorted(t, even, side="right") - 1, 0, len(t) - 2)]
    off = np.where(is_blind > APART_S, -np.inf, chamber - core)
    if float(np.ptp(inside)) <= NEVER_K:
        is_whole = not np.any(np.mod(outside, 1.0)) and not np.any(np.mod(inside, 1.0))
        least = NEVER_WHOLE_MIN if is_whole else NEVER_MIN
        return _never_moved(even, core, off, least) if core[0] >= WARM_C else None
    return _moved_before(even, core, off, np.maximum.accumulate(chamber) - chamber)


def _never_moved(even: Values, core: Values, off: Values, least: int) -> Stuck | None:
    away = np.flatnonzero(off >= AWAY_K)
    if len(away) <= least:
        return None
    long = float(even[away[-1]] - even[away[0]]) / MINUTE
    return Stuck(float(np.median(core)), float(even[away[0]]), long, float(np.max(off[away])))


def _moved_before(even: Values, core: Values, off: Values, fallen: Values) -> Stuck | None:
    width = LEAST_MIN + 1
    if len(even) < width:
        return None
    spread = maximum_filter1d(core, width) - minimum_filter1d(core, width)
    is_still = (spread <= LEVEL_K) & (minimum_filter1d(off, width) >= AWAY_K)
    is_still[: width // 2] = is_still[-(width // 2) :] = False
    area = np.cumsum(np.maximum(off, 0.0))  # K min
    begins = np.flatnonzero(is_still[1:] & ~is_still[:-1]) + 1 - width // 2
    for begin in begins:
        rise = float(core[begin] - np.min(core[: begin + 1]))
        moves = (np.abs(core[begin:] - core[begin]) > LEVEL_K) | (off[begin:] < AWAY_K)
        moves |= fallen[begin:] > FELL_K
        end = begin + int(np.argmax(moves)) if np.any(moves) else len(core)
        if end <= begin or rise < MOVED_K or np.max(fallen[:end]) > FELL_K:
            continue
        expected = rise * float(area[end - 1] - area[begin]) / float(area[begin])
        if expected >= EXPECTED_K:
            minutes = float(even[end - 1] - even[begin]) / MINUTE
            most = float(np.max(off[begin:end]))
            return Stuck(float(np.median(core[begin:end])), float(even[begin]), minutes, most)
    return None
