"""What air left in a steam chamber does to its temperature.

A gauge shows steam and air together, and only the steam's own share of the pressure heats (Dalton's
law; saturation line of :mod:`~pinset.science.steam.steam`).
"""

from __future__ import annotations

from typing import overload

import numpy as np
from scipy.optimize import brentq

from pinset.science.checks import Many, Values, plain, within
from pinset.science.steam.gauge import LEAST_AIR_KPA, MOST_AIR_KPA, MOST_GAUGE_KPA
from pinset.science.steam.steam import (
    CRITICAL_KPA,
    KELVIN,
    LEAST_KPA,
    saturation_pressure,
    saturation_temperature,
)

ROOM_C = 20.0
MOST_CHAMBER_KPA = MOST_GAUGE_KPA + MOST_AIR_KPA
MOST_AIR = 0.99  # of the moles; more is no steam chamber
_NEAR_K = 1e-9


@overload
def temperature_with_air(pressure_kpa: float, air: float) -> float: ...
@overload
def temperature_with_air(pressure_kpa: Many, air: float | Many) -> Values: ...
@overload
def temperature_with_air(pressure_kpa: float, air: Many) -> Values: ...
def temperature_with_air(pressure_kpa: float | Many, air: float | Many) -> float | Values:
    """Return the temperature of a chamber in which some of the gas is air.

    Parameters
    ----------
    pressure_kpa : float or array_like
        Of steam and air together. [kPa absolute]
    air : float or array_like
        Air's share of the moles, which is its share of the volume, 0 to 0.99. [1]

    Returns
    -------
    float or ndarray
        ``T_sat((1 - air) p)``. [degC]

    Raises
    ------
    InputError
        If a value is missing or out of range.

    Examples
    --------
    >>> round(temperature_with_air(204.75, 0.05), 1)
    119.3
    """
    pressure = within("pressure_kpa", pressure_kpa, LEAST_KPA, CRITICAL_KPA, "kPa absolute")
    share = within("air", air, 0.0, MOST_AIR, "of the moles")
    return saturation_temperature(np.asarray(pressure * (1.0 - share)))


@overload
def air_implied(pressure_kpa: float, temperature_c: float) -> float: ...
@overload
def air_implied(pressure_kpa: Many, temperature_c: float | Many) -> Values: ...
@overload
def air_implied(pressure_kpa: float, temperature_c: Many) -> Values: ...
def air_implied(pressure_kpa: float | Many, temperature_c: float | Many) -> float | Values:
    """Return the share of air that a temperature below saturation speaks of.

    Parameters
    ----------
    pressure_kpa : float or array_like
        0.611212 to 22064. [kPa absolute]
    temperature_c : float or array_like
        Of the chamber, 0 to 373.946. [degC]

    Returns
    -------
    float or ndarray
        ``1 - p_sat(T) / p``, the inverse of :func:`temperature_with_air`. [1] Below 0 the chamber
        is hotter than saturated steam can be: superheat or a bad sensor, and no share of anything.

    Raises
    ------
    InputError
        If a value is missing or out of range.

    Examples
    --------
    >>> round(air_implied(192.0, 114.9), 2)
    0.12
    """
    pressure = within("pressure_kpa", pressure_kpa, LEAST_KPA, CRITICAL_KPA, "kPa absolute")
    steam = np.asarray(saturation_pressure(np.asarray(temperature_c, dtype=np.float64)))
    return plain(np.asarray(1.0 - steam / pressure))


def unvented_as_remembered(pressure_kpa: float, share: float, atmosphere_kpa: float) -> float:
    """Return the temperature when a share of the first air never left and did not warm.

    It gives back to 0.6 K the table that manuals of microbiology carry (121, 115, 112, 109 and 100
    degC at 15 psi for a share of 0, 1/3, 1/2, 2/3 and 1; memory). The air does warm, so this
    is the hopeful bound; :func:`unvented_cautious` is the one to rely on.

    Parameters
    ----------
    pressure_kpa : float
        Up to 1120. [kPa absolute]
    share : float
        Of the air that filled the chamber at the start, 0 (all vented) to 1 (none). [1]
    atmosphere_kpa : float
        The air outside, 30 to 120. [kPa absolute]

    Returns
    -------
    float
        ``T_sat(p - share p_atm)``. [degC]

    Raises
    ------
    InputError
        If a value is missing or out of range, or air alone makes up the pressure.
    """
    first = _first_air(share, atmosphere_kpa)
    least = first + LEAST_KPA
    within("pressure_kpa", pressure_kpa, least, MOST_CHAMBER_KPA, "kPa absolute, with so much air")
    return saturation_temperature(max(LEAST_KPA, pressure_kpa - first))


def unvented_cautious(
    pressure_kpa: float, share: float, atmosphere_kpa: float, *, start_c: float = ROOM_C
) -> float:
    """Return the temperature when a share of the first air never left and was heated, too.

    Solves ``p_sat(T) + share p_atm (T + 273.15) / (T_start + 273.15) = p``: air that keeps its
    volume gains pressure as it warms, which leaves less of the pressure to steam.

    Parameters
    ----------
    pressure_kpa, share, atmosphere_kpa : float
        As :func:`unvented_as_remembered`.
    start_c : float
        Temperature of the air when the chamber was closed, 0 to 60. [degC]

    Returns
    -------
    float
        Never below ``start_c``. [degC]

    Raises
    ------
    InputError
        If a value is missing or out of range, or the pressure is less than the closed air and the
        moisture of the start have.
    """
    first = _first_air(share, atmosphere_kpa)
    start = float(within("start_c", start_c, 0.0, 60.0, "degC"))
    least = first + saturation_pressure(start)
    within("pressure_kpa", pressure_kpa, least, MOST_CHAMBER_KPA, "kPa absolute, with so much air")
    per_kelvin = first / (start + KELVIN)

    def beyond(temperature_c: float) -> float:
        return (
            saturation_pressure(temperature_c) + per_kelvin * (temperature_c + KELVIN)
        ) - pressure_kpa

    hottest = saturation_temperature(pressure_kpa)
    if beyond(start) >= 0.0:
        return start
    return float(brentq(beyond, start, hottest + _NEAR_K, xtol=_NEAR_K))


def _first_air(share: float, atmosphere_kpa: float) -> float:
    """Return the pressure in kPa that the air that stays had at the start."""
    part = within("share", share, 0.0, 1.0, "of the first air")
    outside = within("atmosphere_kpa", atmosphere_kpa, LEAST_AIR_KPA, MOST_AIR_KPA, "kPa absolute")
    return float(part * outside)
