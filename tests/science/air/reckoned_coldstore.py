"""What pinset makes of the rows of coldstore.csv."""

from __future__ import annotations

from pinset.science.air.cold_store import averaged, heat_of_cooling, mushroom_heat_capacity
from pinset.science.air.gas import HEAT_J_G
from pinset.science.air.picked import (
    SEVEN_EIGHTHS,
    cooled_to,
    mg_of_ml,
    respiration_heat,
)
from science.air.air_rows import Row

KWH_J = 3.6e6
W_TONNE = HEAT_J_G / 3600.0  # of a mg/(kg h)


def _ml(row: Row) -> float:
    return mg_of_ml(row.numbers[1])


def _product(row: Row) -> float:
    mass, capacity, warm, cold, hours = row.numbers
    return heat_of_cooling(mass, 1e3 * capacity, warm, cold) / (hours * 3600.0) / 1e3


def _half(row: Row) -> float:
    start, air, half, hours = row.numbers
    return cooled_to(start, air, 3600.0 * half, 3600.0 * hours)


def _q10(row: Row) -> float:
    if row.id == "CS-26":
        return (2500.0 / 750.0) ** (10.0 / 11.5)
    return 50.0 / 18.0 if row.id == "CS-17" else 145.0 / 50.0


def _oyster(row: Row) -> float:
    joules = 2500.0 if row.id == "CS-16" else 750.0
    published = respiration_heat("pleurotus-ostreatus", row.numbers[0])
    assert published.low < joules / 3600.0 < published.high
    return joules / 3600.0


def _energy(_: Row) -> float:
    return heat_of_cooling(100.0, mushroom_heat_capacity().middle, 16.0, 2.0) / KWH_J


RECKON = {
    "product cooling load": _product,
    "lighting, averaged": lambda _: averaged(12 * 280.0, 8.0) / 1e3,
    "respiration, volume to mass": _ml,
    "respiration heat": lambda row: _ml(row) * W_TONNE,
    "two published heat factors": lambda _: W_TONNE,
    "oyster mushroom respiration heat": _oyster,
    "Q10 of mushroom respiration": _q10,
    "Q10 of oyster mushroom respiration": _q10,
    "Q10 claimed for compost": lambda _: 1.2**10,
    "half-cooling": _half,
    "seven-eighths cooling": lambda _: SEVEN_EIGHTHS * 3.0,
    "pull-down with lag-free product": _half,
    "mushroom pull-down energy": _energy,
    "mushroom store respiration": lambda _: 300.0 * 0.10 * 86_400.0 / KWH_J,
}


def coldstore(row: Row) -> float:
    """Return what we reckon for a row."""
    return RECKON[row.topic](row)
