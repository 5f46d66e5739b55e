"""A long curve thinned for drawing: peaks, dips and corners stay, gaps stay gaps."""

from __future__ import annotations

import numpy as np
from numpy import float64
from numpy.typing import ArrayLike

from pinset.errors import InputError

Piece = tuple[tuple[float, float], ...]
MOST = 300


def thinned(x: ArrayLike, y: ArrayLike, most: int = MOST) -> tuple[Piece, ...]:
    """Return pieces of a curve with about so many points in all.

    Parameters
    ----------
    x : array_like, shape (n,)
        Rising.
    y : array_like, shape (n,)
        Values; a NaN parts the curve.
    most : int
        Points to keep, 4 or more. The lowest and the highest of every stretch are kept, and the
        first and the last of every piece.

    Returns
    -------
    tuple of pieces
        Each a tuple of (x, y), rising in x; pieces of one point are kept.

    Raises
    ------
    InputError
        If shapes differ or ``most`` is below 4.
    """
    across, up = np.asarray(x, dtype=float64), np.asarray(y, dtype=float64)
    if across.shape != up.shape or across.ndim != 1:
        raise InputError("y", up.shape, f"as many values as there are in x, {across.shape}")
    if most < 4:  # noqa: PLR2004  (two ends, a peak and a dip)
        raise InputError("most", most, "4 points or more")
    known = np.flatnonzero(~np.isnan(up))
    if len(known) == 0:
        return ()
    runs = np.split(known, np.flatnonzero(np.diff(known) > 1) + 1)
    stretch = max(1, -(-2 * len(known) // most))  # two points are kept of each stretch
    return tuple(_piece(across[run], up[run], stretch) for run in runs)


def _piece(x: np.ndarray, y: np.ndarray, stretch: int) -> Piece:
    if stretch == 1:
        return tuple(zip(x.tolist(), y.tolist(), strict=True))
    kept = {0, len(x) - 1}
    for begin in range(0, len(x), stretch):
        part = y[begin : begin + stretch]
        kept |= {begin + int(np.argmin(part)), begin + int(np.argmax(part))}
    order = sorted(kept)
    return tuple(zip(x[order].tolist(), y[order].tolist(), strict=True))
