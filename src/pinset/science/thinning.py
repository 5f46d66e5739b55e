"""A long curve thinned for drawing: peaks, dips and corners stay, gaps stay gaps."""

from __future__ import annotations

from heapq import heapify, heappop, heappush
from itertools import pairwise

import numpy as np
from numpy import float64, int64
from numpy.typing import ArrayLike, NDArray

from pinset.errors import InputError

Piece = tuple[tuple[float, float], ...]
Rows = NDArray[int64]
Values = NDArray[float64]

MOST = 300
LEAST_MOST = 4  # two ends, a peak and a dip
STRETCHES = 4000  # of a long curve; narrower than a pixel of any screen
GAPS_SHARE = 8  # at least so many points for every gap that is kept


def thinned(x: ArrayLike, y: ArrayLike, most: int = MOST) -> tuple[Piece, ...]:
    """Return pieces of a curve with at most so many points in all.

    Parameters
    ----------
    x : array_like, shape (n,)
        Rising.
    y : array_like, shape (n,)
        Values; a NaN parts the curve.
    most : int
        Points to keep, 4 or more.

    Returns
    -------
    tuple of pieces
        Each a tuple of (x, y), rising in x; pieces of one point are kept. The first and the last
        of every piece stay, the lowest and the highest of all, and then, one by one, whatever lies
        furthest off the line drawn so far: a curve of few corners comes back as it was. Where there
        are more gaps than an eighth of the points, the narrowest are drawn through.

    Raises
    ------
    InputError
        If shapes differ or ``most`` is below 4.

    Examples
    --------
    >>> thinned([0.0, 1.0, 2.0, 3.0], [20.0, 30.0, 40.0, 40.0])
    (((0.0, 20.0), (2.0, 40.0), (3.0, 40.0)),)
    """
    across, up = np.asarray(x, dtype=float64), np.asarray(y, dtype=float64)
    if across.shape != up.shape or across.ndim != 1:
        raise InputError("y", up.shape, f"as many values as there are in x, {across.shape}")
    if most < LEAST_MOST:
        raise InputError("most", most, f"{LEAST_MOST} points or more")
    known = np.flatnonzero(~np.isnan(up))
    if len(known) == 0:
        return ()
    runs = _runs(across, known, most // GAPS_SHARE)
    peaks = [int(known[np.argmax(up[known])]), int(known[np.argmin(up[known])])]
    kept = _kept(across, up, [_coarse(up, run) for run in runs], peaks, most)
    return tuple(tuple(zip(across[run].tolist(), up[run].tolist(), strict=True)) for run in kept)


def _runs(x: Values, known: Rows, most_gaps: int) -> list[Rows]:
    """Return rows of the readings that are there, parted at gaps: the widest if too many."""
    gaps = np.flatnonzero(np.diff(known) > 1)
    if len(gaps) > most_gaps:
        width = x[known[gaps + 1]] - x[known[gaps]]
        gaps = np.sort(gaps[np.argsort(-width, kind="stable")[:most_gaps]])
    return np.split(known, gaps + 1)


def _coarse(y: Values, run: Rows) -> Rows:
    """Return rows of a piece; of a long one the first, the lowest and the highest of stretches."""
    stretch = len(run) // STRETCHES
    if stretch <= 3:  # noqa: PLR2004  (three are kept of each stretch)
        return run
    whole = run[: len(run) // stretch * stretch].reshape(-1, stretch)
    rows = np.arange(len(whole))
    lowest = whole[rows, np.argmin(y[whole], axis=1)]
    highest = whole[rows, np.argmax(y[whole], axis=1)]
    rest = run[whole.size :]
    return np.unique(np.concatenate((whole[:, 0], lowest, highest, rest, run[-1:])))


def _kept(x: Values, y: Values, runs: list[Rows], peaks: list[int], most: int) -> list[Rows]:
    """Return the rows that are kept of each run."""
    kept = [{0, len(run) - 1} for run in runs]
    for peak in peaks:
        if any(y[peak] in (y[run[0]], y[run[-1]]) for run in runs):
            continue  # an end that stays anyway is as high, or as low
        number = next(at for at, run in enumerate(runs) if run[0] <= peak <= run[-1])
        kept[number].add(int(np.searchsorted(runs[number], peak)))
    waiting = []
    for number, run in enumerate(runs):
        ends = sorted(kept[number])
        waiting += [_furthest(x, y, run, number, begin, end) for begin, end in pairwise(ends)]
    heapify(waiting)
    left = most - sum(len(each) for each in kept)
    while waiting and left > 0:
        off, number, begin, middle, end = heappop(waiting)
        if off >= 0.0:  # all that remains lies on the line
            break
        kept[number].add(middle)
        left -= 1
        heappush(waiting, _furthest(x, y, runs[number], number, begin, middle))
        heappush(waiting, _furthest(x, y, runs[number], number, middle, end))
    return [run[sorted(each)] for run, each in zip(runs, kept, strict=True)]


def _furthest(
    x: Values, y: Values, run: Rows, number: int, begin: int, end: int
) -> tuple[float, int, int, int, int]:
    """Return how far off (below 0) the furthest reading between two lies, and where it is."""
    if end - begin < 2:  # noqa: PLR2004  (nothing in between)
        return 0.0, number, begin, begin, end
    rows = run[begin : end + 1]
    across, up = x[rows], y[rows]
    slope = (up[-1] - up[0]) / (across[-1] - across[0])
    off = np.abs(up - up[0] - slope * (across - across[0]))
    middle = int(np.argmax(off[1:-1])) + 1
    least = 1e-9 * max(1.0, float(np.max(np.abs(up))))
    return (-float(off[middle]) if off[middle] > least else 0.0), number, begin, begin + middle, end
