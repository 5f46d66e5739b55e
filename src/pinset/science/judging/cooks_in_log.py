"""Several cooks in one log: hot stretches with a cold one, or hours without readings, between.

A cold stretch of the chamber ends a cook, and so does one of the cores: a new load is cold while
the chamber is still warm. All limits are the code's own choice: no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy import float64
from numpy.typing import NDArray

Values = NDArray[float64]
Span = tuple[int, int]

MOVES_K = 30.0  # a log that moves less holds no cook
LEVEL = 0.35  # of its range; above it is hot
BELOW_K = 5.0  # under that level it is cold
COLD_S = 600.0  # a cold stretch that parts two cooks; a probe may fail for less
HOT_S = 300.0  # a hot stretch that is worth the name ...
FEWEST = 3  # ... or so many readings
LONG_GAP_S = 3.0 * 3600.0  # without readings: another load may have been in it ...
USUALLY = 10.0  # ... unless that is no more than so many of the log's usual steps


def cooks_in(
    seconds: Values, cores_c: Sequence[Values], chambers_c: Sequence[Values]
) -> tuple[Span, ...]:
    """Return first and last place of each cook in a log; together they are the whole log.

    Parameters
    ----------
    seconds : ndarray, shape (n,)
        Rising times. [s]
    cores_c, chambers_c : sequence of ndarray, shape (n,)
        Readings; NaN where there is none. [degC]

    Examples
    --------
    >>> t = 60.0 * np.arange(600)
    >>> core = np.where((t % 18000 > 6000) & (t % 18000 < 12000), 120.0, 20.0)
    >>> cooks_in(t, [core], [])
    ((0, 200), (201, 599))
    """
    breaks: list[Span] = []
    for group in (cores_c, chambers_c):
        if len(group):
            breaks += _breaks(seconds, np.fmax.reduce(list(group)))
    if not breaks:
        return ((0, len(seconds) - 1),)
    cuts = [_cut(seconds, begin, end, [*cores_c, *chambers_c]) for begin, end in _joined(breaks)]
    firsts = [0, *(cut + 1 for cut in cuts)]
    return tuple(zip(firsts, [*cuts, len(seconds) - 1], strict=True))


def _breaks(seconds: Values, celsius: Values) -> list[Span]:
    """Return the last hot reading before, and the first one after, each time between two cooks."""
    known = np.flatnonzero(~np.isnan(celsius))
    if len(known) < FEWEST:
        return []
    t, degrees = seconds[known], celsius[known]
    low, high = float(np.min(degrees)), float(np.max(degrees))
    if high - low < MOVES_K:
        return []
    level = low + LEVEL * (high - low)
    turns = np.where(degrees >= level, 1, np.where(degrees < level - BELOW_K, -1, 0))
    places = np.maximum.accumulate(np.where(turns != 0, np.arange(len(turns)), 0))
    is_hot = turns[places] > 0
    edges = np.diff(np.concatenate(([0], is_hot.astype(int), [0])))
    begins, ends = np.flatnonzero(edges > 0), np.flatnonzero(edges < 0) - 1
    found: list[Span] = []
    hot = [
        (int(begin), int(end))
        for begin, end in zip(begins, ends, strict=True)
        if end - begin + 1 >= FEWEST or t[end] - t[begin] >= HOT_S
    ]
    for (_, before), (after, _) in pairwise(hot):
        if t[after] - t[before] >= COLD_S:
            found.append((int(known[before]), int(known[after])))
    steps = np.diff(t)
    is_long = (steps >= LONG_GAP_S) & (steps > USUALLY * float(np.median(steps)))
    gaps = np.flatnonzero(is_long & is_hot[:-1] & is_hot[1:])
    return found + [(int(known[at]), int(known[at + 1])) for at in gaps]


def _joined(breaks: Sequence[Span]) -> list[Span]:
    """Return breaks of cores and chamber as one where they lie at the same time."""
    joined: list[Span] = []
    for begin, end in sorted(breaks):
        if joined and begin < joined[-1][1]:
            joined[-1] = (max(joined[-1][0], begin), max(min(joined[-1][1], end), begin + 1))
        else:
            joined.append((begin, end))
    return joined


def _cut(seconds: Values, begin: int, end: int, columns: Sequence[Values]) -> int:
    """Return the last reading of the earlier cook: before the widest gap, else the coldest."""
    steps = np.diff(seconds[begin : end + 1])
    widest = int(np.argmax(steps))
    if steps[widest] >= COLD_S:
        return begin + widest
    hottest = np.fmax.reduce([each[begin:end] for each in columns])
    if np.all(np.isnan(hottest)):
        return begin + widest
    return begin + int(np.nanargmin(hottest))
