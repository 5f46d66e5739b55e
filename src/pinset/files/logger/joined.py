"""Readings left out for their times, held against those kept: two logs joined in one file.

A copy of the same readings loses nothing by being left out. Where they differ, another logger, or
another unit, wrote them; what that one says is not known to the rest of the reading. All limits
are the code's own choice: no source.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy import bool_, float64, int64
from numpy.typing import NDArray

from pinset.files.logger.report import LogReport
from pinset.files.logger.stamps import MINUTE

Values = NDArray[float64]
Places = NDArray[int64]

DIFFERS_K = 1.0  # beyond what the kept readings around it show
CLOCK_SET_S = 10.0 * MINUTE  # a clock set back by so little explains a difference
FEWEST = 3  # readings that differ
LOOKED_AT = 400  # of those left out, evenly spread


def say_joined(
    seconds: Values,
    kept: Places,
    rows: Places,
    temperatures_c: Sequence[Values],
    report: LogReport,
) -> None:
    """Report readings left out that say otherwise than those kept at the same time.

    Parameters
    ----------
    seconds : ndarray, shape (n,)
        Times in the order of the file. [s]
    kept : ndarray, shape (m,)
        Places of the readings that are kept; their times rise.
    rows : ndarray, shape (n,)
        Rows in the file.
    temperatures_c : sequence of ndarray, shape (n,)
        Columns of temperatures; NaN where there is no reading. [degC]
    report : LogReport
        Where it is said.
    """
    left = np.setdiff1d(np.arange(len(seconds)), kept)
    if len(left) < FEWEST or not len(kept):
        return
    looked = left[np.unique(np.linspace(0, len(left) - 1, min(len(left), LOOKED_AT)).astype(int))]
    by = np.maximum.accumulate(seconds)[looked] - seconds[looked]
    differs = np.zeros(len(looked), dtype=bool)
    most = 0.0
    for column in temperatures_c:
        off = _off(seconds[looked], column[looked], by, seconds[kept], column[kept])
        differs |= off > DIFFERS_K
        most = max(most, float(np.max(off)))
    if np.count_nonzero(differs) < FEWEST:
        return
    first = int(looked[int(np.argmax(differs))])
    share = float(np.mean(differs))
    report.wrong(
        "joined",
        f"Two logs stand in this file: {len(left)} readings come at times that others have "
        f"already, and {share:.0%} of those looked at differ from them, by up to {most:.0f} K, "
        f"first in row {rows[first]}. They were left out, so nothing is passed or failed.",
        "Make a file of each, or give each probe a column of its own, and judge by the slowest.",
        row=int(rows[first]),
    )


def _off(t: Values, read: Values, by: Values, kept_t: Values, kept_c: Values) -> Values:
    """Return by how much readings lie outside of what was kept around their times, in K."""
    known: NDArray[bool_] = ~np.isnan(kept_c)
    if not np.any(known):
        return np.zeros(len(t))
    times, values = kept_t[known], kept_c[known]
    around = np.where(by <= CLOCK_SET_S, by, 0.0)
    first = np.maximum(np.searchsorted(times, t - around, side="left") - 1, 0)
    last = np.minimum(np.searchsorted(times, t + around, side="right"), len(times) - 1)
    off = np.zeros(len(t))
    for n, (a, b, value) in enumerate(zip(first, last, read, strict=True)):
        part = values[a : b + 1]
        off[n] = max(float(part.min()) - value, value - float(part.max()), 0.0)
    return np.nan_to_num(off)
