"""Pressures: their unit, and whether they are counted from vacuum or from the air outside."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.errors import InputError
from pinset.files.logger.records import Basis, ColumnLayout, Guess, Sure
from pinset.files.logger.report import LogReport
from pinset.units import PSI_PA, STANDARD_GRAVITY

Values = NDArray[float64]

KPA = {
    "bar": 100.0,
    "mbar": 0.1,
    "kPa": 1.0,
    "MPa": 1000.0,
    "Pa": 0.001,
    "psi": PSI_PA / 1000.0,
    "kgf/cm²": STANDARD_GRAVITY * 10.0,
    "atm": 101.325,
    "mmHg": 13.5951 * STANDARD_GRAVITY / 1000.0,
    "inHg": 13.5951 * STANDARD_GRAVITY * 25.4 / 1000.0,
}
"""kPa in one of each; mercury at 0 °C of 13.5951 g/cm³."""

LEAST_KPA, MOST_KPA = -105.0, 1100.0  # of any steriliser; others are faults
NEAR_AIR = 0.15  # of the air outside: what weather and a gauge may err
FEW = 5  # first readings whose median is taken
COLD_C = 90.0  # a chamber colder than that holds no pressure of steam
_BOUNDS = (("MPa", 0.4), ("bar", 5.0), ("psi", 45.0), ("kPa", 500.0), ("mbar", 5000.0))
"""Largest reading up to which each unit is the likeliest for a steriliser."""


def settle_pressure(
    column: ColumnLayout,
    values: Values,
    chamber_first_c: float | None,
    atmosphere_kpa: float,
    report: LogReport,
) -> ColumnLayout:
    """Return a pressure column with its unit and basis settled.

    Parameters
    ----------
    column : ColumnLayout
        The column; what its head says is in it.
    values : ndarray, shape (n,)
        Its numbers as in the file.
    chamber_first_c : float or None
        Hottest first reading of a probe, which tells whether the log began cold. [degC]
    atmosphere_kpa : float
        The air outside. [kPa absolute]
    report : LogReport
        Where findings go.

    Raises
    ------
    InputError
        If the unit said by hand is none of pressure.
    """
    known = values[~np.isnan(values)]
    if not column.unit.value:
        column = replace(column, unit=_unit(column, known, report))
    if column.unit.value not in KPA:
        raise InputError("unit", column.unit.value, ", ".join(KPA))
    kpa = known * KPA[column.unit.value]
    kpa = kpa[(kpa > LEAST_KPA) & (kpa < MOST_KPA)]
    is_cold = chamber_first_c is not None and chamber_first_c < COLD_C
    if column.basis.value is None:
        basis = _basis(kpa, atmosphere_kpa, is_cold=is_cold)
        report.warn(
            "pressure-basis-guessed",
            f"{column.name} does not say whether it is gauge or absolute; {basis.value} was taken: "
            f"{basis.why}.",
            "Name it, for example pressure [bar gauge].",
            column=column.name,
        )
        return replace(column, basis=basis)
    if len(kpa) and is_cold:
        return _against_name(column, kpa, atmosphere_kpa, report)
    return column


def _unit(column: ColumnLayout, known: Values, report: LogReport) -> Guess[str]:
    high = float(np.max(known)) if len(known) else 0.0
    unit = next((unit for unit, most in _BOUNDS if high <= most), "Pa")
    report.warn(
        "pressure-unit-guessed",
        f"No unit is named for {column.name}; {unit} was taken, since it reaches {high:g}.",
        "Name the unit in the head of the column, for example pressure [bar gauge].",
        column=column.name,
    )
    return Guess(unit, Sure.UNSURE, f"it reaches {high:g}")


def _basis(kpa: Values, atmosphere_kpa: float, *, is_cold: bool) -> Guess[Basis | None]:
    if not len(kpa):
        return Guess(Basis.GAUGE, Sure.UNSURE, "there is no reading")
    first = float(np.median(kpa[:FEW]))
    said = f"it begins at {first:.0f} kPa and the air outside is {atmosphere_kpa:.0f}"
    if float(np.min(kpa)) < -NEAR_AIR * atmosphere_kpa / 2:
        return Guess(Basis.GAUGE, Sure.LIKELY, "it falls below 0")
    sure = Sure.LIKELY if is_cold else Sure.UNSURE
    if abs(first) <= NEAR_AIR * atmosphere_kpa:
        return Guess(Basis.GAUGE, sure, said)
    if abs(first - atmosphere_kpa) <= NEAR_AIR * atmosphere_kpa:
        return Guess(Basis.ABSOLUTE, sure, said)
    least = float(np.min(kpa))
    is_gauge = least < atmosphere_kpa / 2
    said = f"its lowest reading is {least:.0f} kPa and the air outside is {atmosphere_kpa:.0f}"
    return Guess(Basis.GAUGE if is_gauge else Basis.ABSOLUTE, Sure.UNSURE, said)


def _against_name(
    column: ColumnLayout, kpa: Values, atmosphere_kpa: float, report: LogReport
) -> ColumnLayout:
    """Hold a named basis against a first reading taken cold."""
    first = float(np.median(kpa[:FEW]))
    near = NEAR_AIR * atmosphere_kpa
    if column.basis.value is Basis.GAUGE and abs(first - atmosphere_kpa) <= near:
        other, finding = Basis.ABSOLUTE, "absolute-as-gauge"
    elif column.basis.value is Basis.ABSOLUTE and abs(first) <= near:
        other, finding = Basis.GAUGE, "gauge-as-absolute"
    else:
        return column
    is_held = column.basis.sure is Sure.GIVEN
    named = column.basis.value.value if column.basis.value else ""
    report.wrong(
        finding,
        f"{column.name} is named {named} and begins at {first:.0f} kPa in a cold chamber, where "
        f"the air outside is {atmosphere_kpa:.0f} kPa: it is {other.value}"
        + (", but what was said by hand stands." if is_held else ", and so it was read."),
        "Look at the sensor, name the column for what it is, and see that the altitude is right.",
        column=column.name,
    )
    report.doubt(column.index, finding)
    if is_held:
        return column
    return replace(column, basis=Guess(other, Sure.LIKELY, "so its first reading says"))


def to_kpa(values: Values, unit: str) -> Values:
    """Return pressures in kPa, shape and basis as given."""
    return values * KPA[unit]
