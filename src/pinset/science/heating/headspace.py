"""What stands above a load in its jar: still air, or steam.

Air hardly conducts, so a lid over air heats the load poorly; air that moves conducts more, so still
air is the cautious case. Steam flows, condenses wherever it is cooler and so is as hot as
its walls: here it conducts as if it were metal. Values with their sources: `heat_materials.csv`.
"""

from __future__ import annotations

from typing import overload

import numpy as np
from numpy import float64

from pinset.science.checks import Many, Values, plain, within
from pinset.science.heating.fractions import KILO
from pinset.science.heating.grid_cells import Layer
from pinset.science.steam.heat import steam_density
from pinset.science.steam.steam import KELVIN, saturation_temperature
from pinset.tables.heat_materials import amount

COLDEST_C, HOTTEST_C = -40.0, 200.0
GAS_CONSTANT = 8.314462618
"""J/(mol K), exact by the SI of 2019."""
AIR_KG_MOL = 0.0289652
"""kg/mol, dry air; memory."""
LEAST_KPA, MOST_KPA = 30.0, 500.0


@overload
def air_conductivity(temperature_c: float) -> float: ...
@overload
def air_conductivity(temperature_c: Many) -> Values: ...
def air_conductivity(temperature_c: float | Many) -> float | Values:
    """Return the conductivity of dry air that stands still.

    Parameters
    ----------
    temperature_c : float or array_like
        -40 to 200. [degC]

    Returns
    -------
    float or ndarray
        Within 2 % from 0 to 130 degC, at any pressure of a cook. [W/(m K)]

    Raises
    ------
    InputError
        If a temperature is missing or out of range.
    """
    celsius = within("temperature_c", temperature_c, COLDEST_C, HOTTEST_C, "degC")
    found = amount("air", "conductivity_0") + amount("air", "conductivity_1") * celsius
    return plain(np.asarray(found))


@overload
def air_heat_capacity(temperature_c: float, pressure_kpa: float) -> float: ...
@overload
def air_heat_capacity(temperature_c: Many, pressure_kpa: float) -> Values: ...
def air_heat_capacity(temperature_c: float | Many, pressure_kpa: float) -> float | Values:
    """Return the heat capacity of a volume of dry air, an ideal gas.

    Parameters
    ----------
    temperature_c : float or array_like
        -40 to 200. [degC]
    pressure_kpa : float
        30 to 500. [kPa absolute]

    Returns
    -------
    float or ndarray
        [J/(m3 K)]

    Raises
    ------
    InputError
        If a value is missing or out of range.
    """
    celsius = within("temperature_c", temperature_c, COLDEST_C, HOTTEST_C, "degC")
    pressure = within("pressure_kpa", pressure_kpa, LEAST_KPA, MOST_KPA, "kPa absolute")
    density = KILO * pressure * AIR_KG_MOL / (GAS_CONSTANT * (celsius + KELVIN))
    return plain(np.asarray(KILO * amount("air", "heat_capacity") * density))


def air_above(height: float, pressure_kpa: float) -> Layer:
    """Return a layer of still air for the grid.

    Parameters
    ----------
    height : float
        From the load to the lid. [m]
    pressure_kpa : float
        Of the chamber, 30 to 500. [kPa absolute]
    """

    def conductivity(celsius: Values) -> Values:
        return np.asarray(air_conductivity(celsius), dtype=float64)

    def heat_capacity(celsius: Values) -> Values:
        return np.asarray(air_heat_capacity(celsius, pressure_kpa), dtype=float64)

    within("pressure_kpa", pressure_kpa, LEAST_KPA, MOST_KPA, "kPa absolute")
    return Layer(height, conductivity, heat_capacity, is_load=False)


def steam_above(height: float, pressure_kpa: float) -> Layer:
    """Return a layer of saturated steam for the grid; arguments as :func:`air_above`.

    It is heated through wall and lid, as water in the jar makes it. Where the chamber's own steam
    comes in freely, leave the layer out and hold the top face at the chamber's
    temperature (coefficient infinite).
    """
    pressure = float(within("pressure_kpa", pressure_kpa, LEAST_KPA, MOST_KPA, "kPa absolute"))
    density = steam_density(saturation_temperature(pressure))
    capacity = KILO * amount("steam", "heat_capacity") * density
    return Layer(height, amount("steam", "conductivity"), capacity, is_load=False)
