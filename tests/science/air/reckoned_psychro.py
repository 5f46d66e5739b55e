"""What pinset makes of the rows of psychro.csv."""

from __future__ import annotations

from pinset.science.air.cooling import drop_by_water, evaporated
from pinset.science.air.moist import (
    MoistAir,
    air_of,
    air_of_wet_bulb,
    pressure_at,
    saturated,
    saturation_pa,
)
from pinset.science.air.ventilation import mixed, supply_for, ventilation_load
from pinset.units import FOOT_M, GALLON_M3, POUND_KG, PSI_PA
from science.air.air_rows import Row

CFM = FOOT_M**3 / 60.0
BTU_J = 1055.05585262


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8


def _example_1(row: Row) -> float:
    air = air_of_wet_bulb(row["Tdb"], row["Twb"])
    return {
        "humidity ratio": air.humidity_ratio,
        "dew point": air.dew_point_c,
        "relative humidity": air.humidity,
        "enthalpy": air.enthalpy / 1e3,
        "specific volume": air.volume,
    }[row.quantity]


def _example_1_us(row: Row) -> float:
    air = air_of_wet_bulb(celsius(row["Tdb"]), celsius(row["Twb"]), row["p"] * PSI_PA)
    us_enthalpy = (air.enthalpy + 1006.0 * 160.0 / 9.0) * POUND_KG / BTU_J
    return {
        "humidity ratio": air.humidity_ratio,
        "dew point": 1.8 * air.dew_point_c + 32.0,
        "relative humidity": air.humidity,
        "enthalpy": us_enthalpy,
        "specific volume": air.volume / FOOT_M**3 * POUND_KG,
    }[row.quantity]


def _heating(row: Row) -> float:
    if "Example 2" in row.topic:
        cold, flow, warm_c = saturated(2.0), 10.0, 40.0
    else:
        cold, flow, warm_c = air_of(10.0, 0.8), 0.5, 30.0
    warm = MoistAir(warm_c, cold.humidity_ratio)
    return cold.dry_air(flow) * (warm.enthalpy - cold.enthalpy) / 1e3


def _mixing(row: Row) -> float:
    cold, warm = air_of_wet_bulb(4.0, 2.0), air_of(25.0, 0.5)
    air = mixed((cold, cold.dry_air(2.0)), (warm, warm.dry_air(6.25)))
    return air.temperature_c if row.quantity == "mixed dry bulb" else air.wet_bulb_c


def _condition_line(row: Row) -> float:
    supply = supply_for(air_of_wet_bulb(25.0, 19.0), 9000.0, 0.0015, 30.0, 15.0)
    return {
        "supply wet bulb": supply.air.wet_bulb_c,
        "supply volume": supply.flow_m3_s,
        "sensible/total ratio": supply.sensible_share,
    }[row.quantity]


def _fruiting_room(row: Row) -> float:
    out_c, out_rh, in_c, in_rh, flow, _ = row.numbers
    load = ventilation_load(flow / 3600.0, air_of(out_c, out_rh / 100.0), air_of(in_c, in_rh / 100))
    return load.water_kg_s * 3600.0 if row.quantity.startswith("water") else load.total_w / 1e3


def _real_gas(row: Row) -> float:
    air = air_of(row["T"], row["RH"] / 100.0)
    return air.wet_bulb_c if row.quantity == "wet bulb" else air.dew_point_c


def _pad(row: Row) -> float:
    warm, humid = row.numbers[:2]
    done = evaporated(air_of(warm, humid / 100.0), row["efficiency"] if row.id != "PY-50" else 0.75)
    return done.drop_k if row.unit == "K" else done.water_kg_m3 * 100_000.0 / 60.0


def _stream(_: Row) -> float:
    water = GALLON_M3 * 998.0 / 60.0
    return 1.8 * drop_by_water(water, 100_000.0 * CFM)


RECKON = {
    "saturation pressure": lambda row: saturation_pa(row["T"]),
    "saturation humidity ratio": lambda row: saturated(row["T"]).humidity_ratio,
    "saturated air enthalpy": lambda row: saturated(row["T"]).enthalpy,
    "standard atmosphere": lambda row: pressure_at(row["altitude"]),
    "ASHRAE Example 1": _example_1,
    "ASHRAE Example 2 sensible heating": _heating,
    "sensible heating": _heating,
    "ASHRAE Example 4 adiabatic mixing": _mixing,
    "ASHRAE Example 6 space condition line": _condition_line,
    "fruiting-room ventilation load": _fruiting_room,
    "wet bulb against real-gas": _real_gas,
    "dew point against real-gas": _real_gas,
    "evaporative pad": _pad,
    "water evaporated into a stream": _stream,
    "saturation pressure (US)": lambda row: saturation_pa(celsius(row["T"])) / PSI_PA,
    "ASHRAE Example 1 (US)": _example_1_us,
}


def psychro(row: Row) -> float:
    """Return what we reckon for a row."""
    return RECKON[row.topic](row)
