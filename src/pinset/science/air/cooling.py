"""Making air colder: a coil that may dry it, and water that evaporates into it."""

from __future__ import annotations

from dataclasses import dataclass

from pinset.errors import InputError
from pinset.science.air.moist import MoistAir, air_of_wet_bulb, saturated, vapour_enthalpy

WATER_J_KG_K = 4186.0
AIR_J_M3_K = 1.2041 * 1006.0  # at 20 degC
_BOILING_C = 100.0


@dataclass(frozen=True, slots=True)
class Cooled:
    """What a coil does to a stream of air."""

    leaving: MoistAir
    sensible_w: float
    latent_w: float
    water_kg_s: float  # that runs off

    @property
    def total_w(self) -> float:
        """What the coil must carry away."""
        return self.sensible_w + self.latent_w


def cooled(entering: MoistAir, dry_air_kg_s: float, coil_c: float, missed: float = 0.1) -> Cooled:
    """Return what a cold coil does to a stream.

    Parameters
    ----------
    entering : MoistAir
        Warmer than the coil.
    dry_air_kg_s : float
        0 or more. [kg/s]
    coil_c : float
        Of its surface. [degC]
    missed : float
        Share of the air that passes without touching it, 0 to below 1: about 0.1 for a coil of
        several rows (common practice, no source). [1]

    Raises
    ------
    InputError
        If the air is no warmer than the coil, or a number is out of range.

    Notes
    -----
    The air that touches it leaves saturated at the coil's temperature if that is below the dew
    point, else as it was but colder; the rest is mixed in.
    """
    if not coil_c < entering.temperature_c:
        raise InputError(
            "coil temperature",
            coil_c,
            f"below that of the air, {entering.temperature_c:g} degC",
            "A coil that is no colder than the air cannot cool it.",
        )
    if not (dry_air_kg_s >= 0.0 and 0.0 <= missed < 1.0):
        raise InputError("air through the coil", (dry_air_kg_s, missed), "0 or more; 0 to below 1")
    touched = 1.0 - missed
    celsius = entering.temperature_c - touched * (entering.temperature_c - coil_c)
    cold = saturated(coil_c, entering.pressure_pa).humidity_ratio
    ratio = entering.humidity_ratio - touched * max(0.0, entering.humidity_ratio - cold)
    most = saturated(celsius, entering.pressure_pa).humidity_ratio  # the rest would be fog
    ratio = min(ratio, most)
    leaving = MoistAir(celsius, ratio, entering.pressure_pa)
    water = dry_air_kg_s * (entering.humidity_ratio - ratio)
    runs_off = water * WATER_J_KG_K * coil_c
    total = dry_air_kg_s * (entering.enthalpy - leaving.enthalpy) - runs_off
    sensible = dry_air_kg_s * leaving.heat_capacity * (entering.temperature_c - celsius)
    return Cooled(leaving, sensible, total - sensible, water)


def dries(air: MoistAir, coil_c: float) -> bool:
    """Whether a coil takes water out of air: only below its dew point."""
    return saturated(coil_c, air.pressure_pa).humidity_ratio < air.humidity_ratio


def cooling_with_drying(air: MoistAir, coil_c: float) -> float:
    """Return the sensible heat a coil takes out while it takes out a kilogram of water, in J/kg.

    What of it the room does not have to spare must be put back by reheating.

    Raises
    ------
    InputError
        If the coil is not below the dew point: it takes out no water at all.
    """
    if not dries(air, coil_c):
        raise InputError(
            "coil temperature",
            coil_c,
            f"below the dew point of the air, {air.dew_point_c:.1f} degC",
            "A warmer coil takes no water out.",
        )
    cold = saturated(coil_c, air.pressure_pa).humidity_ratio
    return air.heat_capacity * (air.temperature_c - coil_c) / (air.humidity_ratio - cold)


@dataclass(frozen=True, slots=True)
class Evaporated:
    """What a wet pad, or mist that is all taken up, does to air."""

    leaving: MoistAir
    drop_k: float
    water_kg_m3: float  # per m3 of entering air


def evaporated(entering: MoistAir, efficiency: float) -> Evaporated:
    """Return what evaporating water does to air that gains no heat from elsewhere.

    Parameters
    ----------
    entering : MoistAir
        As it comes.
    efficiency : float
        Share of the way to the wet bulb, 0 to 1: 0.70 to 0.75 for the pads farms build for. [1]

    Raises
    ------
    InputError
        If the efficiency is out of range.
    """
    if not 0.0 <= efficiency <= 1.0:
        raise InputError("pad efficiency", efficiency, "0 to 1")
    bulb = entering.wet_bulb_c
    drop = efficiency * (entering.temperature_c - bulb)
    celsius = entering.temperature_c - drop
    leaving = air_of_wet_bulb(celsius, bulb, entering.pressure_pa) if drop else entering
    taken_up = leaving.humidity_ratio - entering.humidity_ratio
    return Evaporated(leaving, drop, max(0.0, taken_up) / entering.volume)


def drop_by_water(water_kg_s: float, flow_m3_s: float, water_c: float = 20.0) -> float:
    """Return by how much water that is all taken up cools a stream, in K.

    Parameters
    ----------
    water_kg_s, flow_m3_s : float
        0 or more; above 0. [kg/s] [m3/s]
    water_c : float
        Of the water, 0 to 100. [degC]

    Raises
    ------
    InputError
        If a number is out of its range.
    """
    if not (water_kg_s >= 0.0 and flow_m3_s > 0.0 and 0.0 <= water_c <= _BOILING_C):
        given = (water_kg_s, flow_m3_s, water_c)
        accepted = "0 or more; above 0; 0 to 100"
        raise InputError("water, air flow, water temperature", given, accepted)
    taken = vapour_enthalpy(20.0) - WATER_J_KG_K * water_c
    return water_kg_s * taken / (flow_m3_s * AIR_J_M3_K)
