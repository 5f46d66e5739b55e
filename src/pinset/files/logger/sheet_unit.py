"""The columns of one sheet are written in one unit, unless their heads or readings say otherwise.

A head that names °C over readings in °F speaks against its neighbours' heads too: whoever set the
logger set it once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.files.description.place import listed
from pinset.files.logger.hot_start import say_hot_start
from pinset.files.logger.records import ColumnLayout, Guess, Sure
from pinset.files.logger.report import LogReport
from pinset.files.logger.temperature import celsius_of, keys_of, settle_units
from pinset.files.logger.words import Topic, letter_in, unit_in, unit_of_letter

Values = NDArray[float64]

NO_FROST_F = 36.0  # a little above freezing: nothing is filled in colder


def units_of_sheet(
    columns: Sequence[ColumnLayout], values: Sequence[Values], report: LogReport
) -> list[ColumnLayout]:
    """Return temperature columns with their units settled; what was doubtful goes to the report.

    Parameters
    ----------
    columns : sequence of ColumnLayout
        Columns of temperatures.
    values : sequence of ndarray, shape (n,)
        Their numbers as in the file.
    report : LogReport
        Where findings go.
    """
    settled = settle_units(columns, values, report)
    shown = [each for each in settled if _is_in_fahrenheit(each)]
    if shown:
        settled = [
            _as_fahrenheit(column, float(np.nanmax(own)), shown, report)
            if _may_be_in_fahrenheit(column, own)
            else column
            for column, own in zip(settled, values, strict=True)
        ]
    say_hot_start(settled, values, report)
    return settled


def _is_in_fahrenheit(column: ColumnLayout) -> bool:
    """Return whether a column is in °F by its readings, or by hand against its head."""
    if column.unit.value != "°F":
        return False
    named = unit_in(column.name, Topic.TEMPERATURE) or unit_of_letter(letter_in(column.name))
    is_against = column.unit.sure is Sure.GIVEN and named == "°C"
    return is_against or column.unit.sure is Sure.LIKELY


def _may_be_in_fahrenheit(column: ColumnLayout, values: Values) -> bool:
    """Return whether a column is held for °C, nobody said so, and °F would not begin in frost."""
    known = values[~np.isnan(values)]
    is_held = column.unit.value == "°C" and column.unit.sure is not Sure.GIVEN
    return is_held and len(known) > 0 and float(known[0]) >= NO_FROST_F


def _as_fahrenheit(
    column: ColumnLayout, high: float, shown: Sequence[ColumnLayout], report: LogReport
) -> ColumnLayout:
    others = listed([each.name for each in shown])
    named = "is named °C" if column.unit.sure is Sure.NAMED else "names no unit"
    report.wrong(
        "fahrenheit-as-celsius",
        f"{column.name} {named} and reaches {high:g}; {others} of the same sheet counts in °F, "
        f"so it was read as °F too, {celsius_of(high, '°F'):.0f} °C.",
        "Look at the unit the logger is set to, and say it: °F, or °C if the sheet mixes them.",
        column=column.name,
        say=keys_of([column], "F"),
    )
    report.doubt(column.index, "fahrenheit-as-celsius")
    why = f"{others} of the same sheet is in it"
    return replace(column, unit=Guess("°F", Sure.LIKELY, why))
