"""What pinset makes of the rows of co2.csv."""

from __future__ import annotations

from pinset.science.air.door import air_first_ppm
from pinset.science.air.gas import (
    HEAT_J_G,
    PPM,
    fresh_air_for,
    gas_flow,
    grams_m3,
    ppm_after,
    seconds_to,
    steady_ppm,
)
from pinset.science.air.ranges import published
from pinset.science.air.recovery import recovery
from science.air.air_rows import Row

SHUT = {"gas_m3_s": gas_flow(200.0), "fresh_m3_s": 0.0, "outdoor_ppm": 420.0, "free_m3": 60.0}


def _people(row: Row) -> float:
    return steady_ppm(0.31e-3 / 60.0, row.numbers[0] / 1e3, 420.0) - 420.0


def _fresh(row: Row) -> float:
    kg, rate = row["substrate"], row.numbers[1]
    return 3600.0 * fresh_air_for(gas_flow(kg * rate), row["hold"], row["outdoors"])


def _rule(row: Row) -> float:
    rate = 0.03 if row.id == "CO-09" else 0.06
    grams = 90.0 * rate + 190.0 / (7.5 * 24.0)
    return steady_ppm(gas_flow(grams), 1.4 / 3600.0, 420.0) - 420.0


def _rise(_: Row) -> float:
    return ppm_after(800.0, 3600.0, **SHUT) - 800.0


def _to_danger(_: Row) -> float:
    return seconds_to(published("people.co2", "danger").middle, 800.0, **SHUT) / 3600.0


def _decay(_: Row) -> float:
    return recovery([0.0, 1800.0], [5000.0, 1200.0]).air_changes_h.middle


def _flush(row: Row) -> float:
    return ppm_after(
        row["start"], 900.0, gas_flow(200.0), row["Q"] / 3600.0, row["outdoors"], row["V"]
    )


RECKON = {
    "gas density": lambda _: grams_m3(20.0) / 1e3,
    "steady rise, people": _people,
    "fresh air to hold a CO2 level": _fresh,
    "button-mushroom bed air rule": lambda _: 500.0 * 5.0 * 1.4,
    "what that rule implies": _rule,
    "same at the high end": _rule,
    "fan failure rise rate": _rise,
    "fan failure, time to 5000 ppm": lambda _: seconds_to(air_first_ppm(), 800.0, **SHUT) / 3600.0,
    "fan failure, time to 40000 ppm": _to_danger,
    "flush-down": _flush,
    "air-change rate from decay": _decay,
    "time constant rule": lambda _: 1.0 - ppm_after(1.0 / PPM, 3.0, 0.0, 1.0, 0.0, 1.0) * PPM,
    "respiration quotient check": lambda _: 0.35 * 17.5e6 / HEAT_J_G / 1e3,
    "average emission from that": lambda _: 572.43 * 0.4 / (50.0 * 24.0),
    "oyster mushrooms after picking": lambda _: 2500.0 / HEAT_J_G * 1e3,
}


def co2(row: Row) -> float:
    """Return what we reckon for a row."""
    return RECKON[row.topic](row)
