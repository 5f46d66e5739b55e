"""A log in °C whose probes all begin where a room would be in °F: it may be a log in °F."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.files.logger.records import ColumnLayout, Sure
from pinset.files.logger.report import LogReport
from pinset.files.logger.temperature import HOTTEST_STEAM_C, ROOM_F, celsius_of, keys_of

Values = NDArray[float64]

ALIKE = 6.0  # first readings of probes in a load that has stood in a room
HELD_C, HOLDS_K, HELD_SHARE = 105.0, 2.5, 0.1
HEATS_AS_F_C = 124.0  # as °F 51 °C: from there on a pasteurisation, below nothing that is cooked


def _holds_steam(columns: Sequence[Values], high: float) -> bool:
    """Return whether a log stays where steam in °C is; in °F that would be no treatment at all.

    A load that was filled in hot begins where a room would be in °F. Hotter than 124 °C it may be a
    pasteurisation in °F as well, and the start rules.
    """
    hottest = np.fmax.reduce(list(columns))
    known = hottest[~np.isnan(hottest)]
    at_top = (known >= high - HOLDS_K) & (known <= HOTTEST_STEAM_C)
    is_steam = HELD_C <= high <= HOTTEST_STEAM_C and float(np.mean(at_top)) >= HELD_SHARE
    return is_steam and float(np.quantile(known, 1.0 - HELD_SHARE)) <= HEATS_AS_F_C


def say_hot_start(
    columns: Sequence[ColumnLayout], values: Sequence[Values], report: LogReport
) -> None:
    """Remark on logs in °C whose probes all begin where a room would be in °F."""
    named = [at for at, column in enumerate(columns) if column.unit.value == "°C"]
    named = [at for at in named if columns[at].unit.sure in {Sure.NAMED, Sure.GIVEN}]
    firsts = [values[at][~np.isnan(values[at])][:1] for at in named]
    found = [float(first[0]) for first in firsts if len(first)]
    if not found or max(found) - min(found) > ALIKE:
        return
    if not ROOM_F[0] <= min(found) <= max(found) <= ROOM_F[1]:
        return
    first = float(np.median(found))
    high = max(float(np.nanmax(values[at])) for at in named if not np.all(np.isnan(values[at])))
    if high < first + ALIKE or _holds_steam([values[at] for at in named], high):
        return
    report.warn(
        "maybe-fahrenheit",
        f"The log is named °C and begins at {first:g}, as hot as no room is; as °F that would be "
        f"{celsius_of(first, '°F'):.0f} °C. It was read as °C.",
        "Look at the unit the logger is set to, and say it: °F, or °C if it is so.",
        say=keys_of([columns[at] for at in named], "F"),
    )
    for at in named:
        report.doubt(columns[at].index, "maybe-fahrenheit")
