"""What changing the air of a room takes: water and heat, with a sign."""

from __future__ import annotations

from dataclasses import dataclass

from pinset.errors import InputError
from pinset.science.air.moist import MoistAir, air_of_enthalpy, vapour_enthalpy


@dataclass(frozen=True, slots=True)
class AirLoad:
    """What must be given to the outside air to make it room air; below 0 taken from it."""

    dry_air_kg_s: float
    water_kg_s: float  # above 0: to add; below 0: to remove
    sensible_w: float  # above 0: heating; below 0: cooling
    latent_w: float  # heat in the vapour: mist takes it from the room, steam brings its own

    @property
    def total_w(self) -> float:
        """All of the heat: by this the plant is sized, not by the temperatures alone."""
        return self.sensible_w + self.latent_w


def ventilation_load(exhaust_m3_s: float, outside: MoistAir, room: MoistAir) -> AirLoad:
    """Return what changing the air of a room takes.

    Parameters
    ----------
    exhaust_m3_s : float
        What leaves, in the state of the room, 0 or more. [m3/s]
    outside, room : MoistAir
        At one place: of one pressure.

    Raises
    ------
    InputError
        If the flow is below 0, or the pressures are not alike.
    """
    if outside.pressure_pa != room.pressure_pa:
        given = (outside.pressure_pa, room.pressure_pa)
        raise InputError("air pressure outside and in the room", given, "the same")
    dry = room.dry_air(exhaust_m3_s)
    total = dry * (room.enthalpy - outside.enthalpy)
    sensible = dry * outside.heat_capacity * (room.temperature_c - outside.temperature_c)
    water = dry * (room.humidity_ratio - outside.humidity_ratio)
    return AirLoad(dry, water, sensible, total - sensible)


def mixed(*streams: tuple[MoistAir, float]) -> MoistAir:
    """Return air of several streams mixed without gaining or losing heat.

    Parameters
    ----------
    *streams : tuple of MoistAir and float
        Each with its dry air, 0 or more. [kg/s]

    Raises
    ------
    InputError
        If nothing flows, a flow is below 0, pressures are not alike, or they make fog.
    """
    flows = [flow for _, flow in streams]
    if not flows or min(flows) < 0.0 or sum(flows) <= 0.0:
        raise InputError("streams", flows, "flows of 0 or more, at least one of them above 0")
    if len({air.pressure_pa for air, _ in streams}) > 1:
        raise InputError("air pressures", [air.pressure_pa for air, _ in streams], "the same")
    together = sum(flows)
    enthalpy = sum(air.enthalpy * flow for air, flow in streams) / together
    ratio = sum(air.humidity_ratio * flow for air, flow in streams) / together
    return air_of_enthalpy(enthalpy, ratio, streams[0][0].pressure_pa)


@dataclass(frozen=True, slots=True)
class Supply:
    """Air blown in that takes a room's own heat and vapour away."""

    air: MoistAir
    flow_m3_s: float
    sensible_share: float  # of all the heat


def supply_for(
    room: MoistAir, sensible_w: float, vapour_kg_s: float, vapour_c: float, supply_c: float
) -> Supply:
    """Return the supply that keeps a room which gains heat and vapour as it is.

    Parameters
    ----------
    room : MoistAir
        As it is to stay.
    sensible_w, vapour_kg_s : float
        Gained in the room: above 0; 0 or more. [W] [kg/s]
    vapour_c : float
        How warm the vapour comes. [degC]
    supply_c : float
        Below the room. [degC]

    Raises
    ------
    InputError
        If a number is out of range, or air so cold cannot be so dry.
    """
    if not (sensible_w > 0.0 and vapour_kg_s >= 0.0):
        given = (sensible_w, vapour_kg_s)
        raise InputError("heat and vapour gained", given, "heat above 0, vapour 0 or more")
    if not supply_c < room.temperature_c:
        raise InputError("supply temperature", supply_c, f"below {room.temperature_c:g} degC")
    latent = vapour_kg_s * vapour_enthalpy(vapour_c)
    slope = (sensible_w + latent) / vapour_kg_s if vapour_kg_s else 0.0
    ratio = _on_line(room, slope, supply_c) if slope else room.humidity_ratio
    air = MoistAir(supply_c, ratio, room.pressure_pa)
    dry = (sensible_w + latent) / (room.enthalpy - air.enthalpy)
    return Supply(air, dry * air.volume, sensible_w / (sensible_w + latent))


def _on_line(room: MoistAir, slope: float, supply_c: float) -> float:
    """Return the humidity ratio where heat and vapour change by ``slope``, in J/kg."""
    dry_heat = room.enthalpy - 1006.0 * supply_c - slope * room.humidity_ratio
    return dry_heat / (vapour_enthalpy(supply_c) - slope)
