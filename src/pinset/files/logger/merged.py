"""One column that two probes seem to have written: its readings leap to and fro all the time.

So do those of a probe with a loose contact. In either case no line through them is what one place
in a cook had. All limits are the code's own choice: no source.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.files.logger.records import LogColumn, Use
from pinset.files.logger.report import LogReport

Values = NDArray[float64]

LEAP_K = 4.0  # there and back again, in two steps that follow each other
NEAR_S = 300.0  # between readings: further apart, heat itself moves so much
FEWEST, SHARE = 10, 0.05  # leaps to and fro, and of the readings


def say_merged(seconds: Values, columns: Sequence[LogColumn], report: LogReport) -> None:
    """Report columns of temperatures that leap between two levels, and mark them as in doubt.

    Parameters
    ----------
    seconds : ndarray, shape (n,)
        Rising times. [s]
    columns : sequence of LogColumn
        As read, nothing left out for leaping yet.
    report : LogReport
        Where findings go.
    """
    for column in columns:
        if column.use is not Use.TEMPERATURE:
            continue
        known = ~np.isnan(column.values)
        count, apart_k = _to_and_fro(seconds[known], column.values[known])
        if count < max(FEWEST, SHARE * np.count_nonzero(known)):
            continue
        report.wrong(
            "merged",
            f"{column.name} leaps to and fro {count} times, mostly by about {apart_k:.0f} K, as if "
            "two probes wrote into one column, or a contact were loose; it passes nothing.",
            "Export a column for each probe; look at the plug and the wire if there is only one.",
            column=column.name,
        )
        report.doubt(column.index, "merged")


def _to_and_fro(t: Values, celsius: Values) -> tuple[int, float]:
    """Return how often a reading leaps away and the next one back, and how far usually, in K."""
    if len(celsius) < 3:  # noqa: PLR2004  (there and back)
        return 0, 0.0
    steps, is_near = np.diff(celsius), np.diff(t) <= NEAR_S
    smaller = np.minimum(np.abs(steps[:-1]), np.abs(steps[1:]))
    turns = (steps[:-1] * steps[1:] < 0) & (smaller > LEAP_K) & is_near[:-1] & is_near[1:]
    return int(np.count_nonzero(turns)), float(np.median(smaller[turns])) if turns.any() else 0.0
