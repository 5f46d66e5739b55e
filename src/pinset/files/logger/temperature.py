"""The unit of temperatures: as named, unless no cook could read so, else from plausibility.

Steam for substrate is at most about 138 °C (3.4 bar absolute); a log in °F goes beyond that from
59 °C on, and is seen by it. A pasteurisation that fell short does not: whether the unit is asked
for then goes by what the cook is to reach.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.errors import InputError
from pinset.files.logger.records import ColumnLayout, Guess, Sure
from pinset.files.logger.report import LogReport
from pinset.science.judging.spikes import MINUTE, spikes
from pinset.units import UNITS, Quantity

Values = NDArray[float64]

HOTTEST_STEAM_C = 138.0
"""Hottest that autoclaves for goods in bags and jars run at (134 °C and its band); memory."""

LEAST_C, MOST_C = -30.0, 160.0
LEAST_F, MOST_F = -22.0, 320.0  # the same
LEAST_K, MOST_K = 243.15, 433.15  # the same
COLDEST_STEAM_K = 255.0  # below, kelvin would be a cook colder than -18 °C
ROOM_F = (50.0, 95.0)  # 10 to 35 °C: a load before a cook
COOKED_C = 85.0
SHARE = 0.02  # of the readings, from which on they are no stray faults
LEAP = 0.6  # a reading follows one of at least this share, or it is a fault value

_FACTORS = {unit.name: unit for unit in UNITS[Quantity.TEMPERATURE]}
TEMPERATURE_UNITS = tuple(_FACTORS)


def to_celsius(values: Values, unit: str) -> Values:
    """Return temperatures in degC, shape as given.

    Raises
    ------
    InputError
        If it is no unit of temperature.
    """
    if unit not in _FACTORS:
        raise InputError("unit", unit, ", ".join(_FACTORS))
    return values * _FACTORS[unit].factor + _FACTORS[unit].offset


def keys_of(columns: Sequence[ColumnLayout], unit: str = "C") -> list[str]:
    """Return how the unit of columns is said by hand."""
    return [f"column.{each.index + 1}.unit={unit}" for each in columns]


def celsius_of(value: float, unit: str) -> float:
    """Return one temperature of a unit in degC."""
    return float(to_celsius(np.array([value]), unit)[0])


@dataclass(frozen=True, slots=True)
class _Looks:
    """What the readings of a column, or of several, look like by themselves."""

    first: float
    high: float  # that some readings reach without a leap
    low: float
    is_kelvin: bool
    is_hot_f: bool  # beyond any steam in °C, within it in °F


def _looks(columns: Sequence[Values]) -> _Looks | None:
    known = [each[~np.isnan(each)] for each in columns]
    known = [each[(each > LEAST_C) & (each < MOST_K)] for each in known]
    known = [_without_leaps(_without_spikes(each)) for each in known if len(each)]
    if not known:
        return None
    every = np.concatenate(known)
    beyond = (every > HOTTEST_STEAM_C) & (every <= MOST_F)
    is_kelvin = float(np.quantile(every, SHARE)) >= COLDEST_STEAM_K
    return _Looks(
        first=float(np.median([each[0] for each in known])),
        high=float(np.quantile(every, 1 - SHARE / 2)),
        low=float(np.min(every)),
        is_kelvin=is_kelvin and float(np.max(every)) > LEAST_K,
        is_hot_f=not is_kelvin and float(np.mean(beyond)) > SHARE,
    )


def _without_spikes(values: Values) -> Values:
    """Leave out readings that leap away from their neighbours and back, whatever their spacing."""
    evenly = MINUTE * np.arange(len(values), dtype=float64)
    return values[~spikes(evenly, values)]


def _without_leaps(values: Values) -> Values:
    """Leave out fault values: readings far above the last sound one."""
    usual = float(np.median(values))
    before = np.concatenate(([usual], values[:-1]))
    is_leap = (values > HOTTEST_STEAM_C) & (before < LEAP * values) & (values > 2 * abs(usual))
    if not np.any(is_leap):
        return values
    stray = np.isin(values, np.unique(values[is_leap]))
    return values[~stray] if not np.all(stray) else values


def settle_units(
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
    unnamed = [at for at, column in enumerate(columns) if not column.unit.value]
    looks = _looks([values[at] for at in unnamed])
    guess = _guessed(looks)
    settled: list[ColumnLayout] = []
    for at, column in enumerate(columns):
        if at in unnamed:
            settled.append(replace(column, unit=guess))
        else:
            settled.append(_against_name(column, values[at], report))
    if unnamed and looks:
        _say_guess([columns[at] for at in unnamed], guess, looks, report)
    for at in unnamed if guess.value == "°F" else ():
        own = _looks([values[at]])
        if own and own.first < ROOM_F[0] and COOKED_C < own.high <= HOTTEST_STEAM_C:
            _say_celsius(columns[at], own, report, is_named=False)
    for at in unnamed:
        if guess.sure is Sure.UNSURE:
            report.doubt(columns[at].index, "unit-guessed")
    return settled


def _guessed(looks: _Looks | None) -> Guess[str]:
    if looks is None:
        return Guess("°C", Sure.UNSURE, "nothing speaks for another unit")
    if looks.is_kelvin:
        return Guess("K", Sure.LIKELY, "all readings lie where only kelvin makes sense")
    if looks.is_hot_f:
        return Guess("°F", Sure.LIKELY, "no steam is so hot in °C")
    if ROOM_F[0] <= looks.first <= ROOM_F[1]:
        return Guess("°C", Sure.UNSURE, "it begins where a room would be in °F")
    return Guess("°C", Sure.LIKELY, "its readings are those of a cook in °C")


def _say_guess(
    columns: Sequence[ColumnLayout], guess: Guess[str], looks: _Looks, report: LogReport
) -> None:
    names = ", ".join(each.name for each in columns)
    said = f"No unit is named for {names}; {guess.value} was taken: {guess.why}"
    high = f"the highest reading is {looks.high:g}"
    hint = "Name it in the head of the column, as in core [°C]. Or say the unit."
    say = keys_of(columns, guess.value.removeprefix("°"))
    if guess.value == "°C" and guess.sure is Sure.LIKELY:
        report.note("unit-guessed", f"{said} ({high}).", hint, say=say)
        return
    if guess.value == "°C":
        end = f"({high}; if that is °F, it is {celsius_of(looks.high, '°F'):.0f} °C)."
    else:
        end = f"({high}, {celsius_of(looks.high, guess.value):.0f} °C)."
    report.warn("unit-guessed", f"{said} {end}", hint, say=say)


def _against_name(column: ColumnLayout, values: Values, report: LogReport) -> ColumnLayout:
    """Hold a named unit against the readings; one said by hand is only remarked on."""
    looks = _looks([values])
    named = column.unit.value
    if looks is None or len(values) < 2:  # noqa: PLR2004  (one reading shows nothing)
        return column
    other = ""
    if named == "°C" and looks.is_kelvin:
        other = "K"
    elif named in {"°C", "K"} and looks.is_hot_f:
        other = "°F"
    elif named == "K" and looks.high < LEAST_K:
        other = "°C"
    elif named == "°F" and looks.is_kelvin and looks.low > MOST_F / 1.2:
        other = "K"
    if not other:
        if named == "°F" and looks.first < ROOM_F[0] and COOKED_C < looks.high <= HOTTEST_STEAM_C:
            _say_celsius(column, looks, report)
        return column
    wrong, right = celsius_of(looks.high, named), celsius_of(looks.high, other)
    name = {"°F": "fahrenheit", "K": "kelvin", "°C": "celsius"}
    finding = f"{name[other]}-as-{name[named]}"
    is_held = column.unit.sure is Sure.GIVEN
    report.wrong(
        finding,
        f"{column.name} is named {named} and reaches {looks.high:g}, which would be "
        f"{wrong:.0f} °C; no cook is. As {other} it is {right:.0f} °C"
        + (", but the unit was said by hand and stands." if is_held else ", and so it was read."),
        f"Set the logger to {named}, or name the column {other}. Or say the unit.",
        column=column.name,
        say=keys_of([column], other.removeprefix("°")),
    )
    report.doubt(column.index, finding)
    if is_held:
        return column
    return replace(column, unit=Guess(other, Sure.LIKELY, f"as {named} no cook reads so"))


def _say_celsius(
    column: ColumnLayout, looks: _Looks, report: LogReport, *, is_named: bool = True
) -> None:
    is_f = "is named °F" if is_named else "stands in a log taken for °F"
    report.warn(
        "celsius-as-fahrenheit",
        f"{column.name} {is_f}, begins at {looks.first:g} and reaches {looks.high:g}: in °F "
        "that is frost to begin with and no cook, in °C it is one. It was read as °F.",
        "Look at the unit the logger is set to. Or say the unit.",
        column=column.name,
        say=keys_of([column]),
    )
    report.doubt(column.index, "celsius-as-fahrenheit")
