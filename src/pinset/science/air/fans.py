"""Fans: the power a flow at a pressure takes, what another speed does, how moving air presses."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite

from pinset.errors import InputError
from pinset.science.checks import within

AIR_KG_M3 = 1.2041
"""Air at 20 degC and 101.325 kPa. [kg/m3]"""

_MOST_M3_S, _MOST_PA, _MOST_RATIO = 1e3, 1e4, 3.0


def fan_power(flow_m3_s: float, pressure_pa: float, efficiency: float) -> float:
    """Return the shaft power of a fan.

    Parameters
    ----------
    flow_m3_s : float
        0 or more. [m3/s]
    pressure_pa : float
        Total, with **loaded** filters, 0 or more. [Pa]
    efficiency : float
        Of the fan, above 0 to 1; of fan and motor together for electric power. [1]

    Returns
    -------
    float
        [W]

    Raises
    ------
    InputError
        If a number is out of its range.
    """
    within("air flow", flow_m3_s, 0.0, _MOST_M3_S, "m3/s")
    within("fan pressure", pressure_pa, 0.0, _MOST_PA, "Pa")
    if not 0.0 < efficiency <= 1.0:
        raise InputError("fan efficiency", efficiency, "above 0 to 1")
    return flow_m3_s * pressure_pa / efficiency


@dataclass(frozen=True, slots=True)
class AtSpeed:
    """What a fan does at another speed, over what it did."""

    flow: float
    pressure: float
    power: float


def at_speed(ratio: float) -> AtSpeed:
    """Return what turning a fan at another speed does in the same duct.

    Parameters
    ----------
    ratio : float
        Over the speed it had, above 0 to 3. [1]

    Raises
    ------
    InputError
        If the ratio is out of range.

    Notes
    -----
    The fan laws: flow with the speed, pressure with its square, power with its cube.
    """
    if not 0.0 < ratio <= _MOST_RATIO:
        raise InputError("fan speed over before", ratio, "above 0 to 3")
    return AtSpeed(ratio, ratio**2, ratio**3)


def velocity_pressure(speed_m_s: float, density: float = AIR_KG_M3) -> float:
    """Return the pressure of moving air, ``rho v^2 / 2`` in Pa.

    Raises
    ------
    InputError
        If the speed is not 0 to 100 m/s.
    """
    within("air speed", speed_m_s, 0.0, 100.0, "m/s")
    return density * speed_m_s**2 / 2.0


def speed_of(pressure_pa: float, density: float = AIR_KG_M3) -> float:
    """Return the speed of air of a velocity pressure, in m/s.

    Raises
    ------
    InputError
        If the pressure is below 0.
    """
    if not (isfinite(pressure_pa) and pressure_pa >= 0.0):
        raise InputError("velocity pressure", pressure_pa, "0 Pa or more")
    return float((2.0 * pressure_pa / density) ** 0.5)
