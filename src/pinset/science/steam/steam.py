"""The saturation line of steam: pressure and temperature of boiling water, both ways.

Source: IAPWS R7-97(2012), Industrial Formulation 1997, region 4, equations 30 and 31. Both are
closed, hold from 0 to 373.946 degC, and are exact inverses of each other.
"""

from __future__ import annotations

from typing import overload

import numpy as np

from pinset.science.checks import Many, Values, plain, within

KELVIN = 273.15
CRITICAL_C = 373.946
LEAST_KPA, CRITICAL_KPA = 0.611212, 22_064.0

_N1, _N2, _N3 = 0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2
_N4, _N5, _N6 = 0.12020824702470e5, -0.32325550322333e7, 0.14915108613530e2
_N7, _N8, _N9 = -0.48232657361591e4, 0.40511340542057e6, -0.23855557567849e0
_N10 = 0.65017534844798e3


@overload
def saturation_pressure(temperature_c: float) -> float: ...
@overload
def saturation_pressure(temperature_c: Many) -> Values: ...
def saturation_pressure(temperature_c: float | Many) -> float | Values:
    """Return the absolute pressure of saturated steam (equation 30).

    Parameters
    ----------
    temperature_c : float or array_like
        0 to 373.946. [degC]

    Returns
    -------
    float or ndarray
        [kPa absolute]

    Raises
    ------
    InputError
        If a temperature is missing or out of range.

    Examples
    --------
    >>> round(saturation_pressure(121.1), 2)
    205.69
    """
    kelvin = within("temperature_c", temperature_c, 0.0, CRITICAL_C, "degC") + KELVIN
    return plain(1000.0 * _beta(kelvin)[0] ** 4)


@overload
def saturation_slope(temperature_c: float) -> float: ...
@overload
def saturation_slope(temperature_c: Many) -> Values: ...
def saturation_slope(temperature_c: float | Many) -> float | Values:
    """Return by how much saturation pressure rises with temperature: equation 30, differentiated.

    Parameters and errors as :func:`saturation_pressure`. [kPa/K]
    """
    kelvin = within("temperature_c", temperature_c, 0.0, CRITICAL_C, "degC") + KELVIN
    beta, slope = _beta(kelvin)
    return plain(4000.0 * beta**3 * slope)


def _beta(kelvin: Values) -> tuple[Values, Values]:
    """Return the fourth root of the pressure in MPa, and its derivative by temperature."""
    theta = kelvin + _N9 / (kelvin - _N10)
    a = theta**2 + _N1 * theta + _N2
    b = _N3 * theta**2 + _N4 * theta + _N5
    c = _N6 * theta**2 + _N7 * theta + _N8
    beta = 2.0 * c / (-b + np.sqrt(b**2 - 4.0 * a * c))
    of_theta = (
        beta**2 * (2.0 * theta + _N1) + beta * (2.0 * _N3 * theta + _N4) + 2.0 * _N6 * theta + _N7
    )
    slope = -of_theta / (2.0 * a * beta + b) * (1.0 - _N9 / (kelvin - _N10) ** 2)
    return beta, slope


@overload
def saturation_temperature(pressure_kpa: float) -> float: ...
@overload
def saturation_temperature(pressure_kpa: Many) -> Values: ...
def saturation_temperature(pressure_kpa: float | Many) -> float | Values:
    """Return the temperature of saturated steam (equation 31, the exact inverse of equation 30).

    Parameters
    ----------
    pressure_kpa : float or array_like
        0.611212 to 22064. [kPa absolute]

    Returns
    -------
    float or ndarray
        [degC]

    Raises
    ------
    InputError
        If a pressure is missing or out of range.

    Examples
    --------
    >>> round(saturation_temperature(101.325), 2)
    99.97
    """
    pressure = within("pressure_kpa", pressure_kpa, LEAST_KPA, CRITICAL_KPA, "kPa absolute")
    beta = (pressure / 1000.0) ** 0.25
    e = beta**2 + _N3 * beta + _N6
    f = _N1 * beta**2 + _N4 * beta + _N7
    g = _N2 * beta**2 + _N5 * beta + _N8
    d = 2.0 * g / (-f - np.sqrt(f**2 - 4.0 * e * g))
    kelvin = (_N10 + d - np.sqrt((_N10 + d) ** 2 - 4.0 * (_N9 + _N10 * d))) / 2.0
    return plain(kelvin - KELVIN)
