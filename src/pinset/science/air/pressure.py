"""Air through gaps: what leaks at a pressure, what pressure a surplus holds, how big a gap is.

``Q = Cd A sqrt(2 dP / rho)`` for an opening; for cracks ``Q = C dP^n`` with n about 0.65. A form in
US units without the discharge coefficient Cd is widely copied and reads 54 % high.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite, log, sqrt

from pinset.errors import InputError
from pinset.science.air.fans import AIR_KG_M3
from pinset.science.checks import within

DISCHARGE = 0.644
"""With which the opening law is the usual ``0.83 A sqrt(dP)`` in m3/s, m2 and Pa. [1]"""

CRACK_POWER = 0.65
LEAST_POWER, MOST_POWER = 0.5, 1.0  # turbulent; laminar
_MOST_PA, _MOST_M2 = 1000.0, 100.0


def leakage(
    area_m2: float, pressure_pa: float, discharge: float = DISCHARGE, density: float = AIR_KG_M3
) -> float:
    """Return how much air an opening lets through.

    Parameters
    ----------
    area_m2 : float
        0 to 100. [m2]
    pressure_pa : float
        Across it, 0 to 1000. [Pa]
    discharge : float
        Coefficient, 0 to 1. [1]
    density : float
        Of the air, 0.5 to 2. [kg/m3]

    Returns
    -------
    float
        [m3/s]

    Raises
    ------
    InputError
        If a number is out of its range.

    Examples
    --------
    >>> round(1000.0 * leakage(0.04, 15.0))
    129
    """
    within("gap", area_m2, 0.0, _MOST_M2, "m2")
    within("pressure", pressure_pa, 0.0, _MOST_PA, "Pa")
    within("discharge", discharge, 0.0, 1.0, "")
    within("density", density, 0.5, 2.0, "kg/m3")
    return discharge * area_m2 * sqrt(2.0 * pressure_pa / density)


def pressure_held(surplus_m3_s: float, area_m2: float) -> float:
    """Return the pressure at which gaps let out what is blown in beyond what is drawn off.

    Parameters
    ----------
    surplus_m3_s : float
        Supply less exhaust, 0 or more: below 0 the room draws unfiltered air in. [m3/s]
    area_m2 : float
        Of all gaps, above 0. [m2]

    Returns
    -------
    float
        [Pa]

    Raises
    ------
    InputError
        If more is drawn off than blown in, or the room has no gap.
    """
    if not surplus_m3_s >= 0.0:
        raise InputError(
            "supply less exhaust",
            surplus_m3_s,
            "0 m3/s or more",
            "A room that more is drawn from than blown into sucks unfiltered air in.",
        )
    if not area_m2 > 0.0:
        raise InputError("gaps", area_m2, "above 0 m2")
    return (surplus_m3_s / (DISCHARGE * area_m2)) ** 2 * AIR_KG_M3 / 2.0


def gap_of(flow_m3_s: float, pressure_pa: float) -> float:
    """Return the opening that lets so much through at a measured pressure, in m2.

    Raises
    ------
    InputError
        If either is not above 0.
    """
    if not (flow_m3_s > 0.0 and pressure_pa > 0.0):
        raise InputError("flow and pressure", (flow_m3_s, pressure_pa), "both above 0")
    return flow_m3_s / leakage(1.0, pressure_pa)


@dataclass(frozen=True, slots=True)
class Cracks:
    """All the cracks of a room together: ``flow = coefficient * pressure ** power``."""

    coefficient: float  # [m3/(s Pa^power)]
    power: float

    def flow(self, pressure_pa: float) -> float:
        """Return what they let through at 0 to 1000 Pa, in m3/s."""
        within("pressure", pressure_pa, 0.0, _MOST_PA, "Pa")
        return float(self.coefficient * pressure_pa**self.power)

    def pressure(self, flow_m3_s: float) -> float:
        """Return the pressure at which they let so much (0 or more) through, in Pa."""
        if not flow_m3_s >= 0.0:
            raise InputError("flow", flow_m3_s, "0 m3/s or more")
        return float((flow_m3_s / self.coefficient) ** (1.0 / self.power))


def cracks_of(pressures_pa: Sequence[float], flows_m3_s: Sequence[float]) -> Cracks:
    """Return the cracks of a room by what was blown in at a pressure, or at two.

    Parameters
    ----------
    pressures_pa, flows_m3_s : sequence of float
        One each: the usual power of 0.65 is taken. Two of unlike pressures: it is fitted.

    Raises
    ------
    InputError
        If they are not one or two pairs above 0, or the power comes out beyond 0.5 to 1, which
        no crack has: then one of the readings is wrong.
    """
    pairs = sorted(zip(pressures_pa, flows_m3_s, strict=True))
    if len(pairs) not in {1, 2} or any(not (isfinite(p * q) and p > 0 and q > 0) for p, q in pairs):
        raise InputError("pressures and flows", pairs, "one or two pairs above 0")
    (low_pa, low_flow), (high_pa, high_flow) = pairs[0], pairs[-1]
    if len(pairs) == 1:
        return Cracks(low_flow / low_pa**CRACK_POWER, CRACK_POWER)
    if low_pa == high_pa:
        raise InputError("pressures", pairs, "two that differ")
    power = log(high_flow / low_flow) / log(high_pa / low_pa)
    if not LEAST_POWER <= power <= MOST_POWER:
        accepted = f"flows whose power is from {LEAST_POWER:g} to {MOST_POWER:g}"
        raise InputError("power of the cracks", round(power, 3), accepted, "Measure again.")
    return Cracks(high_flow / high_pa**power, power)
