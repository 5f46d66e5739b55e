"""How much faster vapour may heat a bed than conduction does. An estimate nobody has checked.

In a bed whose pores hold air, water evaporates where it is hot and condenses where it is cool. If
the air in each pore is saturated and the vapour diffuses as in a tube, that adds
``e D h (drho/dT) P / (P - p)`` to the conductivity: D the diffusivity of vapour in air, h the heat
of evaporation, rho and p density and pressure of saturated vapour, P the chamber's pressure, and e
the air-filled share times a factor for crooked ways. e is not known; three cases stand for it. Near
saturation the term has no bound, so ``P - p`` is at least 2 % of P, and the sum at most 20 W/(m K).

Advice rests on the cautious case until a log of the farm's own load replaces the guess.
"""

from __future__ import annotations

from collections.abc import Callable
from enum import StrEnum
from typing import overload

import numpy as np
from numpy import float64

from pinset.errors import InputError
from pinset.science.checks import Many, Values, plain, within
from pinset.science.steam.heat import heat_of_condensing, steam_density_slope
from pinset.science.steam.steam import KELVIN, saturation_pressure
from pinset.tables.heat_materials import amount

UNVALIDATED = (
    "An estimate from first principles, not checked against any measured bag. "
    "A log from the core of your own load replaces it."
)
COLDEST_C, HOTTEST_C = 0.0, 200.0
LEAST_KPA, MOST_KPA = 30.0, 500.0
STANDARD_KPA = 101.325
POINTS = 2001  # of a mean
TABULATED = 4001  # of a function


class Case(StrEnum):
    """How much vapour helps."""

    CAUTIOUS = "cautious"  # not at all: conduction only
    MIDDLE = "middle"
    QUICK = "quick"

    @property
    def free_air(self) -> float:
        """The case's e: air-filled share times tortuosity factor."""
        return amount(f"vapour.{self.value}", "free_air")


@overload
def vapour_conductivity(
    temperature_c: float, conductivity: float, free_air: float, pressure_kpa: float
) -> float: ...
@overload
def vapour_conductivity(
    temperature_c: Many, conductivity: float, free_air: float, pressure_kpa: float
) -> Values: ...
def vapour_conductivity(
    temperature_c: float | Many, conductivity: float, free_air: float, pressure_kpa: float
) -> float | Values:
    """Return the conductivity of a bed with what vapour adds. Not validated.

    Parameters
    ----------
    temperature_c : float or array_like
        Of the bed, 0 to 200. [degC]
    conductivity : float
        Of the bed without vapour, above 0, to 20. [W/(m K)]
    free_air : float
        Air-filled share times tortuosity factor, 0 to 1; of a :class:`Case`. [1]
    pressure_kpa : float
        Of the chamber, 30 to 500. [kPa absolute]

    Returns
    -------
    float or ndarray
        [W/(m K)]

    Raises
    ------
    InputError
        If a value is missing or out of range.

    Examples
    --------
    >>> round(vapour_conductivity(80.0, 0.3, Case.MIDDLE.free_air, 101.325), 2)
    0.54
    """
    celsius = within("temperature_c", temperature_c, COLDEST_C, HOTTEST_C, "degC")
    most = amount("vapour", "most_conductivity")
    base = float(within("conductivity", conductivity, 0.0, most, "W/(m K)"))
    if base == 0.0:
        raise InputError("conductivity", conductivity, f"above 0, to {most:g} W/(m K)")
    share = float(within("free_air", free_air, 0.0, 1.0, ""))
    pressure = float(within("pressure_kpa", pressure_kpa, LEAST_KPA, MOST_KPA, "kPa absolute"))
    exponent = amount("vapour", "diffusivity_exponent")
    diffusivity = amount("vapour", "diffusivity") * ((celsius + KELVIN) / KELVIN) ** exponent
    diffusivity *= STANDARD_KPA / pressure
    least = amount("vapour", "least_air") * pressure
    air = np.maximum(pressure - np.asarray(saturation_pressure(celsius)), least)
    carried = diffusivity * heat_of_condensing(celsius) * steam_density_slope(celsius)
    return plain(np.asarray(np.minimum(base + share * carried * pressure / air, most)))


def vapour_function(
    conductivity: float, free_air: float, pressure_kpa: float
) -> Callable[[Values], Values]:
    """Return :func:`vapour_conductivity` as a function of temperature, for a layer of the grid.

    With the pressure of the hold, also while it comes up: at less pressure vapour would carry more,
    so this is the slower of both. Linear between points 0.05 K apart: 0.5 % too
    much beside its kink near saturation, else exact to 0.1 %.

    Raises
    ------
    InputError
        If an argument is missing or out of range.
    """
    points = np.linspace(COLDEST_C, HOTTEST_C, TABULATED)
    values = vapour_conductivity(points, conductivity, free_air, pressure_kpa)

    def found(celsius: Values) -> Values:
        within("temperature_c", celsius, COLDEST_C, HOTTEST_C, "degC")
        return np.asarray(np.interp(celsius, points, values), dtype=float64)

    return found


def mean_vapour_conductivity(
    from_c: float, to_c: float, conductivity: float, free_air: float, pressure_kpa: float
) -> float:
    """Return one conductivity for a hold, for the series of constant properties. Not validated.

    Parameters
    ----------
    from_c, to_c : float
        The load's temperature when it goes in and the chamber's in the hold. [degC]
    conductivity, free_air, pressure_kpa : float
        As :func:`vapour_conductivity`.

    Returns
    -------
    float
        The mean over temperature (what flows between the two in a steady state). Against the grid a
        bag of 15 cm by 20 cm then has F0 of 15 min 13 to 19 % too late, its core 95 degC up to 23 %
        too early at 121.2 degC and 17 to 25 % too late in open steam. [W/(m K)]

    Raises
    ------
    InputError
        If a value is missing or out of range.
    """
    ends = within("from_c, to_c", [from_c, to_c], COLDEST_C, HOTTEST_C, "degC")
    points = np.linspace(ends[0], ends[1], POINTS)
    values = vapour_conductivity(points, conductivity, free_air, pressure_kpa)
    return float(np.trapezoid(values, dx=1.0 / (POINTS - 1)))
