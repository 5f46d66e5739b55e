"""Moist air in many states at once: the closed equations of psychrolib, over arrays.

The library computes one state at a time. A year of hours in six rooms is fifty thousand, so the
four equations that such a year needs are written here once more (ASHRAE Fundamentals 2017 ch. 1,
eqs. 5, 6, 20, 26, 30), and the tests hold them to the library digit by digit.
"""

from __future__ import annotations

import numpy as np

from pinset.science.air.moist import COLDEST_C, HOTTEST_C
from pinset.science.checks import Many, Values, within

_KELVIN, _TRIPLE_C = 273.15, 0.01
_ICE = (-5.6745359e3, 6.3925247, -9.677843e-3, 6.2215701e-7, 2.0747825e-9, -9.484024e-13, 4.1635019)
_WATER = (-5.8002206e3, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 0.0, 6.5459673)
_MASS_RATIO, _GAS = 0.621945, 287.042
_LEAST_RATIO = 1e-7
_DEW_STEPS, _DEW_K = 40, 1e-9


def _log_pressure(celsius: Values) -> Values:
    kelvin = celsius + _KELVIN

    def of(c: tuple[float, ...]) -> Values:
        series = c[1] + kelvin * (c[2] + kelvin * (c[3] + kelvin * (c[4] + kelvin * c[5])))
        return np.asarray(c[0] / kelvin + series + c[6] * np.log(kelvin))

    return np.where(celsius <= _TRIPLE_C, of(_ICE), of(_WATER))


def saturation_pa_many(temperature_c: Many) -> Values:
    """Return the pressure of saturated vapour.

    Parameters
    ----------
    temperature_c : array_like
        -60 to 90. [degC]

    Returns
    -------
    ndarray
        Of the same shape. [Pa]

    Raises
    ------
    InputError
        If a temperature is missing or out of range.
    """
    celsius = within("air temperature", temperature_c, COLDEST_C, HOTTEST_C, "degC")
    return np.exp(_log_pressure(celsius))


def humidity_ratio_many(temperature_c: Many, humidity: Many, pressure_pa: float) -> Values:
    """Return water vapour per dry air.

    Parameters
    ----------
    temperature_c, humidity : array_like
        Of shapes that go together: -60 to 90; 0.001 to 1. [degC] [1]
    pressure_pa : float
        Of the place. [Pa]

    Returns
    -------
    ndarray
        [kg/kg]

    Raises
    ------
    InputError
        If a number is missing or out of range; no air is wholly dry.
    """
    vapour = saturation_pa_many(temperature_c) * within("relative humidity", humidity, 1e-3, 1, "")
    return np.maximum(_MASS_RATIO * vapour / (pressure_pa - vapour), _LEAST_RATIO)


def enthalpy_many(temperature_c: Many, humidity_ratio: Many) -> Values:
    """Return the heat in moist air, in J per kg of dry air, of shapes that go together."""
    celsius, ratio = np.asarray(temperature_c, dtype=float), np.asarray(humidity_ratio, dtype=float)
    return np.asarray(1e3 * (1.006 * celsius + ratio * (2501.0 + 1.86 * celsius)))


def volume_many(temperature_c: Many, humidity_ratio: Many, pressure_pa: float) -> Values:
    """Return the volume of a kilogram of dry air with its vapour, in m3/kg."""
    kelvin = np.asarray(temperature_c, dtype=float) + _KELVIN
    swollen = 1.0 + 1.607858 * np.asarray(humidity_ratio, dtype=float)
    return np.asarray(_GAS * kelvin * swollen / pressure_pa)


def dew_point_many(humidity_ratio: Many, pressure_pa: float) -> Values:
    """Return the dew point of air by its vapour, below 0.01 degC over ice.

    Parameters
    ----------
    humidity_ratio : array_like
        Above 0. [kg/kg]
    pressure_pa : float
        Of the place. [Pa]

    Returns
    -------
    ndarray
        Of the same shape, -60 to 90. [degC]

    Raises
    ------
    InputError
        If air is drier than it is at a dew point of -60 degC, or as much vapour as at 90.
    """
    ends = saturation_pa_many([COLDEST_C, HOTTEST_C])
    given = np.asarray(humidity_ratio, dtype=float)
    vapour = within(
        "vapour pressure", pressure_pa * given / (_MASS_RATIO + given), ends[0], ends[1], "Pa"
    )
    wanted = np.log(vapour)
    low, high = np.full(vapour.shape, COLDEST_C), np.full(vapour.shape, HOTTEST_C)
    for _ in range(_DEW_STEPS):
        middle = (low + high) / 2.0
        is_above = _log_pressure(middle) > wanted
        low, high = np.where(is_above, low, middle), np.where(is_above, middle, high)
        if float(np.max(high - low)) < _DEW_K:
            break
    return np.asarray((low + high) / 2.0)
