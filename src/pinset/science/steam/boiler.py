"""What a steriliser asks of its boiler: heat, steam, and the power to heat up in time.

It says nothing about the core of a bag, which lags by hours, nor about lethality.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pinset.errors import InputError
from pinset.science.air.ranges import Range, over
from pinset.science.checks import within
from pinset.science.steam.heat import heat_of_condensing
from pinset.science.steam.steam import saturation_temperature

WATER_J_KG_K = 4190.0
STEEL_J_KG_K = 500.0
DRY_WOOD_J_KG_K = Range(1300.0, 1500.0, 1700.0)
"""Of dry substrate (memory). [J/(kg K)]"""

VENTING = Range(1.1, 1.15, 1.2)
"""Over the rest while air is driven out (common practice, no source)."""

BOILER_HORSEPOWER_W = 9810.0


def substrate_heat_capacity(moisture_wet: float) -> Range:
    """Return the heat capacity of wet substrate, in J/(kg K).

    Raises
    ------
    InputError
        If the moisture is not 0 to 1 of the wet mass.
    """
    within("moisture", moisture_wet, 0.0, 1.0, "of the wet mass")
    return over(
        lambda dry: moisture_wet * WATER_J_KG_K + (1.0 - moisture_wet) * dry, DRY_WOOD_J_KG_K
    )


@dataclass(frozen=True, slots=True)
class Heated:
    """Some of what a chamber heats."""

    mass_kg: float
    heat_capacity: Range  # [J/(kg K)]


def heat_to_warm(parts: Sequence[Heated], from_c: float, to_c: float) -> Range:
    """Return the heat that warms a load and its vessel, in J, without losses.

    Raises
    ------
    InputError
        If a mass is below 0, or it is not to become warmer.
    """
    within("masses", [part.mass_kg for part in parts], 0.0, 1e6, "kg")
    within("temperatures", [from_c, to_c], -20.0, 200.0, "degC")
    if not to_c > from_c:
        raise InputError("end temperature", to_c, f"above {from_c:g} degC")
    total = Range.exactly(0.0)
    for part in parts:
        total = total.plus(part.heat_capacity.times(part.mass_kg * (to_c - from_c)))
    return total


def steam_condensed(heat_j: Range, losses: float, chamber_c: float) -> Range:
    """Return the steam that condenses to give so much heat, in kg.

    Parameters
    ----------
    heat_j : Range
        0 or more. [J]
    losses : float
        On top, over it, 0 to 5. [1]
    chamber_c : float
        Of the saturated steam, 0 to 200. [degC]

    Raises
    ------
    InputError
        If a number is out of its range.
    """
    within("losses", losses, 0.0, 5.0, "of the heat")
    return heat_j.times((1.0 + losses) / heat_of_condensing(chamber_c))


def boiler_power(heat_j: Range, losses: float, seconds: float) -> Range:
    """Return the power that gives so much heat in a time, in W: size by heating up, not by hold.

    Raises
    ------
    InputError
        If the losses are out of range or the time is not above 0.
    """
    within("losses", losses, 0.0, 5.0, "of the heat")
    if not seconds > 0.0:
        raise InputError("time to heat up", seconds, "above 0 s")
    return heat_j.times((1.0 + losses) / seconds)


def steam_enthalpy(pressure_kpa: float) -> float:
    """Return the heat in saturated steam, from water at 0 degC, in J/kg.

    Parameters
    ----------
    pressure_kpa : float
        0.611212 to 1550. [kPa absolute]

    Raises
    ------
    InputError
        If the pressure is out of range.

    Notes
    -----
    Water up to boiling with 4.2 kJ/(kg K), then the heat of evaporation: 0.1 % of the tables.
    """
    celsius = saturation_temperature(pressure_kpa)
    return 4200.0 * celsius + heat_of_condensing(celsius)


def injected(power_w: float, pressure_kpa: float, end_c: float) -> float:
    """Return the steam that warms water with which it mixes, in kg/s: it cools to the end itself.

    Raises
    ------
    InputError
        If the power is below 0, or the water is to be no colder than the steam.
    """
    if not power_w >= 0.0:
        raise InputError("heating power", power_w, "0 W or more")
    if not end_c < saturation_temperature(pressure_kpa):
        raise InputError("end temperature", end_c, "below that of the steam")
    return power_w / (steam_enthalpy(pressure_kpa) - 4200.0 * end_c)
