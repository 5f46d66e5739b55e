"""Readings that leap away from their neighbours and back: no core had them; they are left out."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy import bool_, float64, int64
from numpy.typing import NDArray

from pinset.files.description.place import listed
from pinset.files.logger.records import ColumnRole, LogColumn, Use
from pinset.files.logger.report import LogReport
from pinset.files.logger.stamps import HOUR, MINUTE
from pinset.science.judging.spikes import spikes

MOST_SAID = 4
LONGEST_S = 10.0 * MINUTE  # from the reading before to the one after; a short hold lasts longer
FEW = 5  # readings left out ...
SHARE = 0.001  # ... or of all of them: with more, the probe is not to be trusted in the rest
FEWEST = 3  # readings: one before, one that leaps, one after


def without_spikes(
    seconds: NDArray[float64], rows: NDArray[int64], column: LogColumn, report: LogReport
) -> LogColumn:
    """Return a column in which what a core leapt to counts as not read; others as they are.

    Parameters
    ----------
    seconds, rows : ndarray, shape (n,)
        Rising times of the readings [s], and their rows in the file.
    column : LogColumn
        Its readings.
    report : LogReport
        Where the finding goes: how many, when, and how far off.
    """
    if column.use is not Use.TEMPERATURE or column.role is not ColumnRole.CORE:
        return column
    known = np.flatnonzero(~np.isnan(column.values))
    if len(known) < FEWEST:
        return column
    leaps = spikes(seconds[known], column.values[known])
    at = known[_short(seconds[known], leaps)]
    if not len(at):
        return column
    readings = "1 reading" if len(at) == 1 else f"{len(at)} readings"
    said = [
        f"{column.values[each]:.1f} °C after {_clock(seconds[each])} h in row {rows[each]}"
        for each in at
    ]
    report.warn(
        "spike",
        f"{column.name} leaps away from its neighbours and back in {readings}: "
        f"{listed(said, most=MOST_SAID)}. No core heats so fast; left out.",
        "Look at the plug and the wire of this probe.",
        row=int(rows[at[0]]),
        column=column.name,
    )
    if len(at) > max(FEW, SHARE * len(known)):
        report.wrong(
            "many-spikes",
            f"{column.name} leaps away and back in {len(at)} of its {len(known)} readings; a probe "
            "of which so many are left out passes nothing, whatever is said of it.",
            "Look whether two probes wrote into one column, and at the plug and the wire.",
            row=int(rows[at[0]]),
            column=column.name,
        )
        report.doubt(column.index, "many-spikes")
    values = column.values.copy()
    values[at] = np.nan
    return replace(column, values=values)


def _short(seconds: NDArray[float64], leaps: NDArray[bool_]) -> NDArray[bool_]:
    """Return those of the leaps that are over soon; a small unit may follow a short hold."""
    places = np.flatnonzero(leaps)
    is_short = np.zeros(len(leaps), dtype=bool_)
    for run in np.split(places, np.flatnonzero(np.diff(places) > 1) + 1):
        if len(run):
            before, after = max(run[0] - 1, 0), min(run[-1] + 1, len(seconds) - 1)
            is_short[run] = seconds[after] - seconds[before] <= LONGEST_S
    return is_short


def _clock(seconds: float) -> str:
    """Return a time as h:mm."""
    return f"{int(seconds // HOUR)}:{int(seconds % HOUR // MINUTE):02d}"
