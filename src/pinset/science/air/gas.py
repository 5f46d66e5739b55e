"""Carbon dioxide of one well mixed room: steady, over time, and the fresh air that holds it.

``dC/dt = G/V + (Q/V) (Cout - C)``. A widely copied form has a plus where that minus stands.
"""

from __future__ import annotations

from math import exp, expm1, inf, isfinite, log

from pinset.errors import InputError
from pinset.science.air.moist import SEA_PA
from pinset.science.checks import within

PPM = 1e-6
HEAT_J_G = 10_700.0
"""Heat that comes with a gram of it, from what is burned. [J/g]"""

_MOLAR_G, _GAS = 44.0095, 8.314462618  # [g/mol] [J/(mol K)]
_KELVIN = 273.15
_MOST_PPM = 1e6
_FOREVER_S = 1e12  # an air change in so long is none


def grams_m3(temperature_c: float = 20.0, pressure_pa: float = SEA_PA) -> float:
    """Return how much a m3 of the gas weighs, in g.

    Parameters
    ----------
    temperature_c : float
        -60 to 90. [degC]
    pressure_pa : float
        30 000 to 120 000. [Pa]

    Raises
    ------
    InputError
        If a number is out of its range.

    Notes
    -----
    An ideal gas: 1.83 g/L at 20 degC and sea level, 0.6 % below the real one. The 1.96 of many
    tables holds at 0 degC.
    """
    within("temperature", temperature_c, -60.0, 90.0, "degC")
    within("air pressure", pressure_pa, 30_000.0, 120_000.0, "Pa")
    return pressure_pa * _MOLAR_G / (_GAS * (temperature_c + _KELVIN))


def gas_flow(grams_h: float, temperature_c: float = 20.0, pressure_pa: float = SEA_PA) -> float:
    """Return so many grams an hour as a flow of gas, in m3/s.

    Raises
    ------
    InputError
        If a number is out of its range.
    """
    if not (isfinite(grams_h) and grams_h >= 0.0):
        raise InputError("CO2 given off", grams_h, "0 g/h or more")
    return grams_h / 3600.0 / grams_m3(temperature_c, pressure_pa)


def _ppm(**values: float) -> None:
    for name, value in values.items():
        within(name, value, 0.0, _MOST_PPM, "ppm")


def steady_ppm(gas_m3_s: float, fresh_m3_s: float, outdoor_ppm: float) -> float:
    """Return the CO2 of a room that has been left as it is.

    Parameters
    ----------
    gas_m3_s : float
        Given off in it, 0 or more. [m3/s]
    fresh_m3_s : float
        0 or more. [m3/s]
    outdoor_ppm : float
        0 to 1 000 000. [ppm]

    Returns
    -------
    float
        Infinite without fresh air, unless nothing is given off. [ppm]

    Raises
    ------
    InputError
        If a number is out of its range.
    """
    _flows(gas_m3_s, fresh_m3_s)
    _ppm(outdoors=outdoor_ppm)
    if gas_m3_s == 0.0:
        return outdoor_ppm
    return outdoor_ppm + gas_m3_s / fresh_m3_s / PPM if fresh_m3_s > 0.0 else inf


def _flows(gas_m3_s: float, fresh_m3_s: float) -> None:
    if not (gas_m3_s >= 0.0 and fresh_m3_s >= 0.0):
        given = (gas_m3_s, fresh_m3_s)
        raise InputError("CO2 given off and fresh air", given, "flows of 0 m3/s or more")


def fresh_air_for(gas_m3_s: float, target_ppm: float, outdoor_ppm: float) -> float:
    """Return the fresh air that holds a room at so much CO2, in m3/s.

    Raises
    ------
    InputError
        If the target is not above what is outdoors (no flow holds that), or a number is out of
        its range.
    """
    _flows(gas_m3_s, 0.0)
    _ppm(outdoors=outdoor_ppm, target=target_ppm)
    if not target_ppm > outdoor_ppm:
        raise InputError(
            "CO2 wanted",
            target_ppm,
            f"above the {outdoor_ppm:g} ppm outdoors",
            "Fresh air brings no room below the air outside.",
        )
    return gas_m3_s / ((target_ppm - outdoor_ppm) * PPM)


def ppm_after(
    start_ppm: float,
    seconds: float,
    gas_m3_s: float,
    fresh_m3_s: float,
    outdoor_ppm: float,
    free_m3: float,
) -> float:
    """Return the CO2 of a room some time after it had so much.

    Parameters
    ----------
    start_ppm, outdoor_ppm : float
        [ppm]
    seconds : float
        0 or more. [s]
    gas_m3_s, fresh_m3_s : float
        0 or more; without fresh air it rises in a straight line. [m3/s]
    free_m3 : float
        Air in the room, without what stands in it, above 0. [m3]

    Returns
    -------
    float
        [ppm]

    Raises
    ------
    InputError
        If a number is out of its range.
    """
    _flows(gas_m3_s, fresh_m3_s)
    _ppm(start=start_ppm, outdoors=outdoor_ppm)
    if not (seconds >= 0.0 and free_m3 > 0.0):
        raise InputError("time and free air", (seconds, free_m3), "0 s or more; above 0 m3")
    changes = fresh_m3_s * seconds / free_m3
    new = -expm1(-changes)
    for_how_long = seconds * new / changes if changes > 0.0 else seconds
    own = gas_m3_s / free_m3 * for_how_long / PPM
    return start_ppm * exp(-changes) + outdoor_ppm * new + own


def seconds_to(
    limit_ppm: float,
    start_ppm: float,
    gas_m3_s: float,
    fresh_m3_s: float,
    outdoor_ppm: float,
    free_m3: float,
) -> float:
    """Return how long it takes a room to reach so much CO2, rising or falling.

    Parameters as :func:`ppm_after`.

    Returns
    -------
    float
        Infinite if it never does. [s]

    Raises
    ------
    InputError
        If a number is out of its range.
    """
    _ppm(limit=limit_ppm)
    if limit_ppm == start_ppm:
        return 0.0
    ppm_after(start_ppm, 0.0, gas_m3_s, fresh_m3_s, outdoor_ppm, free_m3)
    if fresh_m3_s * _FOREVER_S < free_m3:
        rate = gas_m3_s / free_m3 / PPM
        return (limit_ppm - start_ppm) / rate if limit_ppm > start_ppm and rate > 0.0 else inf
    end = steady_ppm(gas_m3_s, fresh_m3_s, outdoor_ppm)
    ratio = (start_ppm - end) / (limit_ppm - end) if limit_ppm != end else 0.0
    return log(ratio) * free_m3 / fresh_m3_s if ratio > 1.0 else inf
