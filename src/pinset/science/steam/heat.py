"""Saturated steam: its density, and the heat it gives up when it condenses on a load.

The heat is by the law of Clausius and Clapeyron, ``h = T dp/dT (1/rho_steam - 1/rho_water)``, with
the slope of the saturation line of :mod:`~pinset.science.steam.steam`.

Source of the densities: IAPWS SR1-86(1992), equations 2 and 3 (W. Wagner & A. Pruss, J. Phys. Chem.
Ref. Data 22 (1993) 783-787); coefficients read in transcriptions of the release.
"""

from __future__ import annotations

from typing import overload

import numpy as np

from pinset.science.checks import Many, Values, plain, within
from pinset.science.steam.steam import KELVIN, saturation_slope

HOTTEST_C = 200.0
_CRITICAL_K, _CRITICAL_KG_M3 = 647.096, 322.0
_WATER = (
    (1.99274064, 1 / 3),
    (1.09965342, 2 / 3),
    (-0.510839303, 5 / 3),
    (-1.75493479, 16 / 3),
    (-45.5170352, 43 / 3),
    (-6.74694450e5, 110 / 3),
)
_STEAM = (
    (-2.03150240, 2 / 6),
    (-2.68302940, 4 / 6),
    (-5.38626492, 8 / 6),
    (-17.2991605, 18 / 6),
    (-44.7586581, 37 / 6),
    (-63.9201063, 71 / 6),
)


@overload
def heat_of_condensing(temperature_c: float) -> float: ...
@overload
def heat_of_condensing(temperature_c: Many) -> Values: ...
def heat_of_condensing(temperature_c: float | Many) -> float | Values:
    """Return the enthalpy of evaporation: the heat a kilogram of saturated steam gives up.

    Parameters
    ----------
    temperature_c : float or array_like
        0 to 200. [degC]

    Returns
    -------
    float or ndarray
        Within 0.03 % of IAPWS-95. [J/kg]

    Raises
    ------
    InputError
        If a temperature is missing or out of range.

    Examples
    --------
    >>> round(heat_of_condensing(121.1) / 1e6, 2)
    2.2
    """
    celsius = within("temperature_c", temperature_c, 0.0, HOTTEST_C, "degC")
    kelvin = celsius + KELVIN
    tau = 1.0 - kelvin / _CRITICAL_K
    water = _CRITICAL_KG_M3 * (1.0 + np.sum([b * tau**n for b, n in _WATER], axis=0))
    steam = _steam(tau)
    slope = 1000.0 * np.asarray(saturation_slope(celsius))
    return plain(np.asarray(kelvin * slope * (1.0 / steam - 1.0 / water)))


@overload
def steam_density(temperature_c: float) -> float: ...
@overload
def steam_density(temperature_c: Many) -> Values: ...
def steam_density(temperature_c: float | Many) -> float | Values:
    """Return the density of saturated steam.

    Parameters
    ----------
    temperature_c : float or array_like
        0 to 200. [degC]

    Returns
    -------
    float or ndarray
        Within 0.1 % of IAPWS-95. [kg/m3]

    Raises
    ------
    InputError
        If a temperature is missing or out of range.

    Examples
    --------
    >>> round(steam_density(100.0), 3)
    0.598
    """
    celsius = within("temperature_c", temperature_c, 0.0, HOTTEST_C, "degC")
    return plain(np.asarray(_steam(1.0 - (celsius + KELVIN) / _CRITICAL_K)))


@overload
def steam_density_slope(temperature_c: float) -> float: ...
@overload
def steam_density_slope(temperature_c: Many) -> Values: ...
def steam_density_slope(temperature_c: float | Many) -> float | Values:
    """Return by how much the density of saturated steam rises with temperature.

    Parameters and errors as :func:`steam_density`. [kg/(m3 K)]
    """
    celsius = within("temperature_c", temperature_c, 0.0, HOTTEST_C, "degC")
    tau = 1.0 - (celsius + KELVIN) / _CRITICAL_K
    of_tau = np.sum([c * n * tau ** (n - 1.0) for c, n in _STEAM], axis=0)
    return plain(np.asarray(-_steam(tau) * of_tau / _CRITICAL_K))


def _steam(tau: Values) -> Values:
    density: Values = _CRITICAL_KG_M3 * np.exp(np.sum([c * tau**n for c, n in _STEAM], axis=0))
    return density
