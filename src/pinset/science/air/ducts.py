"""Ducts: how wide for a flow, what pressure they take."""

from __future__ import annotations

from math import log10, pi, sqrt

from pinset.errors import InputError
from pinset.science.air.fans import AIR_KG_M3, velocity_pressure
from pinset.science.checks import within

VISCOSITY = 1.82e-5
"""Of air at 20 degC. [Pa s]"""

GALVANISED_M = 0.09e-3
"""Roughness of galvanised duct. [m]"""

QUIET_M_S = 5.0
"""Above it branches are heard (common practice, no source). [m/s]"""

FITTINGS = 0.5
"""Of the straight friction, for bends and branches until they are counted (first guess)."""

_LAMINAR, _TURBULENT = 2000.0, 4000.0
_ROUNDS = 30
_MOST_M3_S = 1e3


def diameter_for(flow_m3_s: float, speed_m_s: float = QUIET_M_S) -> float:
    """Return how wide a round duct is in which a flow has a speed, in m.

    Raises
    ------
    InputError
        If either is not above 0.
    """
    if not (flow_m3_s > 0.0 and speed_m_s > 0.0):
        raise InputError("air flow and speed", (flow_m3_s, speed_m_s), "both above 0")
    return sqrt(4.0 * flow_m3_s / (pi * speed_m_s))


def friction(flow_m3_s: float, diameter_m: float, roughness_m: float = GALVANISED_M) -> float:
    """Return what a metre of straight round duct takes of the pressure.

    Parameters
    ----------
    flow_m3_s : float
        0 or more. [m3/s]
    diameter_m : float
        0.02 to 5; of a rectangular duct four times its area over its girth. [m]
    roughness_m : float
        0 to a tenth of the diameter. [m]

    Returns
    -------
    float
        [Pa/m]

    Raises
    ------
    InputError
        If a number is out of its range.

    Notes
    -----
    Darcy and Weisbach with Colebrook's factor; straight between laminar and turbulent flow.
    """
    within("air flow", flow_m3_s, 0.0, _MOST_M3_S, "m3/s")
    within("duct diameter", diameter_m, 0.02, 5.0, "m")
    within("duct roughness", roughness_m, 0.0, diameter_m / 10.0, "m")
    speed = flow_m3_s / (pi * diameter_m**2 / 4.0)
    reynolds = AIR_KG_M3 * speed * diameter_m / VISCOSITY
    if reynolds == 0.0:
        return 0.0
    return _factor(reynolds, roughness_m / diameter_m) / diameter_m * velocity_pressure(speed)


def _factor(reynolds: float, roughness: float) -> float:
    if reynolds <= _LAMINAR:
        return 64.0 / reynolds
    if reynolds < _TURBULENT:
        share = (reynolds - _LAMINAR) / (_TURBULENT - _LAMINAR)
        return 64.0 / _LAMINAR * (1.0 - share) + share * _factor(_TURBULENT, roughness)
    inverse = 8.0  # of the root of the factor
    for _ in range(_ROUNDS):
        inverse = -2.0 * log10(roughness / 3.7 + 2.51 * inverse / reynolds)
    return inverse**-2


def duct_drop(
    flow_m3_s: float, diameter_m: float, length_m: float, fittings: float | None = None
) -> float:
    """Return what a duct takes of the pressure, in Pa.

    Parameters
    ----------
    flow_m3_s, diameter_m : float
        As :func:`friction`.
    length_m : float
        Straight, 0 to 1000. [m]
    fittings : float, optional
        Sum of their loss coefficients, 0 or more; half of the friction if left out.

    Raises
    ------
    InputError
        If a number is out of its range.
    """
    within("duct length", length_m, 0.0, 1000.0, "m")
    straight = friction(flow_m3_s, diameter_m) * length_m
    if fittings is None:
        return straight * (1.0 + FITTINGS)
    within("fittings", fittings, 0.0, 1000.0, "")
    speed = flow_m3_s / (pi * diameter_m**2 / 4.0)
    return straight + fittings * velocity_pressure(speed)
