"""What pinset makes of the rows of fans_steam.csv."""

from __future__ import annotations

from pinset.science.air.cold_store import heat_of_cooling
from pinset.science.air.cooling import AIR_J_M3_K
from pinset.science.air.ducts import friction
from pinset.science.air.fans import at_speed, fan_power, speed_of
from pinset.science.air.ranges import Range
from pinset.science.steam.boiler import (
    Heated,
    boiler_power,
    heat_to_warm,
    injected,
    steam_condensed,
    steam_enthalpy,
    substrate_heat_capacity,
)
from pinset.science.steam.heat import heat_of_condensing
from pinset.science.steam.steam import saturation_pressure
from pinset.units import FOOT_M, INCH_M, POUND_KG
from science.air.air_rows import Row

IN_WG_PA = 249.089
CFM = FOOT_M**3 / 60.0
BTU_J = 1055.05585262
HORSEPOWER_W = 745.699872
LOAD = heat_to_warm(
    [Heated(500.0, Range.exactly(3114.0)), Heated(400.0, Range.exactly(500.0))], 20.0, 121.0
)


def _dirty(row: Row) -> float:
    flow, clean, dirty, efficiency = row.numbers
    return fan_power(flow, dirty, efficiency) - fan_power(flow, clean, efficiency)


def _injection(row: Row) -> float:
    power = 100.0 * 4200.0 * 60.0 / 300.0
    if row.unit == "kW":
        return power / 1e3
    rate = injected(84_000.0, 220.0, 80.0)
    return rate * 3600.0 if row.unit == "kg/h" else rate * 300.0


RECKON = {
    "velocity pressure": lambda _: speed_of(IN_WG_PA) / FOOT_M * 60.0,
    "fan shaft power": lambda row: fan_power(*row.numbers),
    "fan power constant (US)": lambda _: HORSEPOWER_W / fan_power(CFM, IN_WG_PA, 1.0),
    "fan laws": lambda row: at_speed(row["speed ratio"]).power,
    "dirty filter": _dirty,
    "duct friction": lambda _: friction(1000.0 * CFM, 12 * INCH_M) * 100 * FOOT_M / IN_WG_PA,
    "sensible heat of air (US)": lambda _: CFM * AIR_J_M3_K / 1.8 / BTU_J * 3600.0,
    "steam injection": _injection,
    "steam enthalpy": lambda _: steam_enthalpy(220.0) / 1e3,
    "saturation at 121.1 C": lambda _: saturation_pressure(121.1),
    "latent heat at 121.1 C": lambda _: heat_of_condensing(121.1) / 1e3,
    "substrate specific heat": lambda _: substrate_heat_capacity(0.60).middle / 1e3,
    "chamber load": lambda _: LOAD.middle / 1e6,
    "chamber steam": lambda _: steam_condensed(LOAD, 0.15, 121.1).middle,
    "boiler size": lambda _: boiler_power(LOAD, 0.15, 5400.0).middle / 1e3,
    "boiler horsepower": lambda _: 34.5 * POUND_KG / 3600.0 * heat_of_condensing(100.0) / 1e3,
    "sensible cooling at a chiller": lambda _: (
        heat_of_cooling(20_000.0, 4187.0, 15.0, 0.0, latent=334_000.0) / 86_400.0 / 1e3
    ),
}


def fans_steam(row: Row) -> float:
    """Return what we reckon for a row."""
    return RECKON[row.topic](row)
