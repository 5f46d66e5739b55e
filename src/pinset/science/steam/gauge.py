"""Steam at a place: what a gauge there reads, what it means, and what the vessel allows.

A gauge reads above the air outside, so "15 psi is 121 degC" holds at sea level only. This is steam
without air; :mod:`~pinset.science.steam.trapped_air` says what air does to it.

Source of the air outside: ISO 2533, the same as the US Standard Atmosphere 1976 below 11 km.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import overload

import numpy as np

from pinset.science.checks import Many, Values, plain, within
from pinset.science.steam.steam import saturation_pressure, saturation_temperature

LOWEST_M, HIGHEST_M = -500.0, 6000.0  # nobody farms outside
LEAST_AIR_KPA, MOST_AIR_KPA = 30.0, 120.0  # outside, in any weather
MOST_GAUGE_KPA = 1000.0

_SEA_KPA, _SEA_K = 101.325, 288.15
_LAPSE_K_M = 0.0065
_GRAVITY, _GAS = 9.80665, 287.05287  # m/s2; J/(kg K) of dry air
_EARTH_M = 6_356_766.0


@overload
def atmosphere(altitude_m: float) -> float: ...
@overload
def atmosphere(altitude_m: Many) -> Values: ...
def atmosphere(altitude_m: float | Many) -> float | Values:
    """Return the pressure of the standard atmosphere at an altitude.

    Parameters
    ----------
    altitude_m : float or array_like
        Geometric altitude above sea level, as maps give it, -500 to 6000. [m]

    Returns
    -------
    float or ndarray
        Weather moves it by about 3 kPa either way (memory). [kPa absolute]

    Raises
    ------
    InputError
        If an altitude is missing or out of range.

    Notes
    -----
    ``p = 101.325 (1 - L H / T0)^(g / (R L))`` with the geopotential height
    ``H = r z / (r + z)``, r = 6356766 m.

    Examples
    --------
    >>> round(atmosphere(2000.0), 1)
    79.5
    """
    z = within("altitude_m", altitude_m, LOWEST_M, HIGHEST_M, "m")
    height = _EARTH_M * z / (_EARTH_M + z)
    exponent = _GRAVITY / (_GAS * _LAPSE_K_M)
    return plain(_SEA_KPA * (1.0 - _LAPSE_K_M / _SEA_K * height) ** exponent)


@overload
def boiling_point(altitude_m: float) -> float: ...
@overload
def boiling_point(altitude_m: Many) -> Values: ...
def boiling_point(altitude_m: float | Many) -> float | Values:
    """Return the temperature of open steam at an altitude.

    Parameters
    ----------
    altitude_m : float or array_like
        -500 to 6000. [m]

    Returns
    -------
    float or ndarray
        [degC]

    Raises
    ------
    InputError
        If an altitude is missing or out of range.

    Examples
    --------
    >>> round(boiling_point(2000.0), 1)
    93.3
    """
    return saturation_temperature(np.asarray(atmosphere(altitude_m)))


@overload
def absolute_pressure(gauge_kpa: float, atmosphere_kpa: float) -> float: ...
@overload
def absolute_pressure(gauge_kpa: Many, atmosphere_kpa: float) -> Values: ...
def absolute_pressure(gauge_kpa: float | Many, atmosphere_kpa: float) -> float | Values:
    """Return what a gauge reading is in absolute pressure.

    Parameters
    ----------
    gauge_kpa : float or array_like
        Above the air outside; below 0 is vacuum. From minus the air outside to 1000. [kPa gauge]
    atmosphere_kpa : float
        The air outside, 30 to 120. [kPa absolute]

    Returns
    -------
    float or ndarray
        [kPa absolute]

    Raises
    ------
    InputError
        If a pressure is missing or out of range.
    """
    outside = float(_outside(atmosphere_kpa))
    gauge = within("gauge_kpa", gauge_kpa, -outside, MOST_GAUGE_KPA, "kPa gauge")
    return plain(gauge + outside)


@overload
def gauge_pressure(pressure_kpa: float, atmosphere_kpa: float) -> float: ...
@overload
def gauge_pressure(pressure_kpa: Many, atmosphere_kpa: float) -> Values: ...
def gauge_pressure(pressure_kpa: float | Many, atmosphere_kpa: float) -> float | Values:
    """Return what a gauge shows at an absolute pressure; the inverse of :func:`absolute_pressure`.

    Parameters
    ----------
    pressure_kpa : float or array_like
        0 to 1000 above the air outside. [kPa absolute]
    atmosphere_kpa : float
        The air outside, 30 to 120. [kPa absolute]

    Returns
    -------
    float or ndarray
        [kPa gauge]

    Raises
    ------
    InputError
        If a pressure is missing or out of range.
    """
    outside = float(_outside(atmosphere_kpa))
    most = outside + MOST_GAUGE_KPA
    return plain(within("pressure_kpa", pressure_kpa, 0.0, most, "kPa absolute") - outside)


@overload
def core_limit(gauge_kpa: float, atmosphere_kpa: float) -> float: ...
@overload
def core_limit(gauge_kpa: Many, atmosphere_kpa: float) -> Values: ...
def core_limit(gauge_kpa: float | Many, atmosphere_kpa: float) -> float | Values:
    """Return the hottest that any core can get: saturated steam at a gauge reading.

    Parameters and errors as :func:`absolute_pressure`; the pressure must be above that of boiling
    at 0 degC.

    Returns
    -------
    float or ndarray
        [degC]

    Examples
    --------
    >>> round(core_limit(103.4, atmosphere(2000.0)), 1)
    117.4
    """
    return saturation_temperature(np.asarray(absolute_pressure(gauge_kpa, atmosphere_kpa)))


@dataclass(frozen=True, slots=True)
class GaugeSetting:
    """The gauge pressure for a wanted temperature, never above what the vessel is rated for."""

    wanted_c: float
    wanted_kpa: float  # gauge pressure for it; 0 where open steam is hot enough
    gauge_kpa: float  # to set: wanted, or the rating where that is less
    reached_c: float  # saturated steam at it
    time_factor: float  # by how much a hold must grow for the same lethality; 1 if not capped

    @property
    def is_capped(self) -> bool:
        """Whether the vessel's rating keeps it below the wanted temperature."""
        return self.gauge_kpa < self.wanted_kpa


def gauge_for(
    wanted_c: float, atmosphere_kpa: float, rated_gauge_kpa: float, *, z: float = 10.0
) -> GaugeSetting:
    """Return the gauge pressure at which steam has a temperature, capped by the vessel's rating.

    Parameters
    ----------
    wanted_c : float
        0 to 180. [degC]
    atmosphere_kpa : float
        The air outside, 30 to 120. [kPa absolute]
    rated_gauge_kpa : float
        The most the vessel's plate allows; 0 for an open steamer. [kPa gauge]
    z : float
        Temperature rise that makes killing tenfold, 1 to 100. [K]

    Returns
    -------
    GaugeSetting
        What to set, what it reaches, and by how much time must grow:
        ``10^((wanted - reached) / z)``.

    Raises
    ------
    InputError
        If a value is missing or out of range.

    Examples
    --------
    >>> setting = gauge_for(121.1, atmosphere(2000.0), 103.4)
    >>> setting.is_capped, round(setting.reached_c, 1), round(setting.time_factor, 1)
    (True, 117.4, 2.3)
    """
    outside = float(_outside(atmosphere_kpa))
    wanted = float(within("wanted_c", wanted_c, 0.0, 180.0, "degC"))
    rated = float(within("rated_gauge_kpa", rated_gauge_kpa, 0.0, MOST_GAUGE_KPA, "kPa gauge"))
    within("z", z, 1.0, 100.0, "K")
    needed = max(0.0, saturation_pressure(wanted) - outside)
    if needed <= rated:
        reached = max(wanted, saturation_temperature(outside))
        return GaugeSetting(wanted, needed, needed, reached, 1.0)
    reached = saturation_temperature(outside + rated)
    return GaugeSetting(wanted, needed, rated, reached, 10.0 ** ((wanted - reached) / z))


def _outside(atmosphere_kpa: float) -> Values:
    return within("atmosphere_kpa", atmosphere_kpa, LEAST_AIR_KPA, MOST_AIR_KPA, "kPa absolute")
