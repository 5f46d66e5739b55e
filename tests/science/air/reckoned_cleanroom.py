"""What pinset makes of the rows of cleanroom.csv."""

from __future__ import annotations

from math import inf

from pinset.science.air.bench import face_flow
from pinset.science.air.classes import class_limit, sample_litres
from pinset.science.air.filters import LOCAL_TIMES, Filter, filter_of, passes
from pinset.science.air.particles import CleanRoom, clearing_time, fresh_air_for, steady_total
from pinset.science.air.people import Clothes, Counted, shed
from pinset.science.air.pressure import leakage
from pinset.science.air.ranges import Range, published
from pinset.science.air.recovery import recovery
from pinset.units import FOOT_M
from science.air.air_rows import Row

NOTHING = Range.exactly(0.0)
IN_WG_PA = 249.089
CFM = FOOT_M**3 / 60.0
COUNTED = {">=0.5 um": Counted.FINE, ">=5 um": Counted.COARSE, "MCP": Counted.MICROBES}


def room(changes_h: float, **more: float) -> CleanRoom:
    """Return a room of 30 m3 with so many perfectly filtered air changes."""
    return CleanRoom(30.0, 30.0 * changes_h / 3600.0, 0.0, NOTHING, NOTHING, **more)


def _class_limit(row: Row) -> float:
    limit = class_limit(row["N"], row["D"])
    return -inf if limit is None else limit


def _clearing(row: Row) -> float:
    remaining = 1.0 - row["removal"] / 100.0
    there = room(row["air changes"], mixing=row["mixing factor"])
    return clearing_time(there, 1.0, remaining).middle / 60.0


def _people(row: Row) -> float:
    clothes = Clothes.CLEAN if "cleanroom garments" in row.inputs else Clothes.OWN
    counted = next(kind for words, kind in COUNTED.items() if f"{words})" in row.inputs)
    people = Range.exactly(shed(clothes, counted, int(row["people"])).middle)
    assert people.middle * 60.0 == row["people"] * row["emission"]
    there = CleanRoom(row["V"], row["clean supply"] / 3600.0, 0.0, NOTHING, people)
    return steady_total(there).middle


def _for_class(_: Row) -> float:
    people = shed(Clothes.CLEAN, Counted.FINE, 2)
    there = CleanRoom(30.0, 1.0, 0.0, NOTHING, Range.exactly(people.middle))
    target = class_limit(7, 0.5)
    assert target == 352_000
    return 3600.0 * fresh_air_for(there, target).middle


def _leaky(row: Row) -> float:
    there = CleanRoom(
        row["V"],
        600.0 / 3600.0,
        1.0 - row["eff"],
        Range.exactly(3.52e7),
        Range.exactly(row["G"] / 60.0),
        leak_in_m3_s=row["infiltration"] / 3600.0,
    )
    return steady_total(there).middle


def _recovery(row: Row) -> float:
    test = recovery([0.0, 60.0 * row["t"]], [row["C0"], row["C1"]])
    return test.air_changes_h.middle


def _local(_: Row) -> float:
    local = 1.0 - published("filter.h13", "efficiency_local").middle
    ratio = local / passes([filter_of("filter.h13")])
    assert abs(ratio - LOCAL_TIMES) < 1e-9
    return ratio


def _in_series(row: Row) -> float:
    return passes([Filter("pre", row["eff1"], "one size"), Filter("main", row["eff2"], "one size")])


def _us_orifice(row: Row) -> float:
    return leakage(row["A"] * FOOT_M**2, row["dP"] * IN_WG_PA, discharge=1.0) / CFM


def _us_coefficient(_: Row) -> float:
    return leakage(FOOT_M**2, IN_WG_PA, discharge=0.65) / CFM


def _us_bench(row: Row) -> float:
    return face_flow(4 * FOOT_M, 2 * FOOT_M, row["v"] * FOOT_M / 60.0) / CFM


def _band(row: Row) -> float:
    band = published("bench", "speed")
    return band.low if row.quantity == "lower limit" else band.high


def _room_unit(_: Row) -> float:
    return published("room.ungraded", "pressure").middle / IN_WG_PA


RECKON = {
    "ISO class limit": _class_limit,
    "ISO class limit, decimal class": _class_limit,
    "ISO minimum sample volume": lambda row: sample_litres(row["class limit"]),
    "clearance time, perfect mixing": _clearing,
    "ISO 14644-3 recovery": lambda row: (
        clearing_time(room(row["air changes"]), 100.0, 1.0).middle / 60.0
    ),
    "ISO 14644-3 recovery rate": _recovery,
    "steady concentration from people": _people,
    "supply for a class": _for_class,
    "steady with leaky supply and infiltration": _leaky,
    "filters in series": _in_series,
    "filter class penetration": lambda row: (
        100.0 * passes([filter_of(f"filter.{row.inputs.split()[2].lower()}")])
    ),
    "local/overall penetration ratio": _local,
    "leakage through a closed door": lambda row: 1000.0 * leakage(row["A"], row["dP"]),
    "orifice from first principles": lambda row: (
        1000.0 * leakage(row["A"], row["dP"], row["Cd"], row["rho"])
    ),
    "US orifice without discharge coefficient": _us_orifice,
    "US orifice with Cd=0.65": _us_coefficient,
    "room pressure unit": _room_unit,
    "unidirectional bench flow": lambda row: 3600.0 * face_flow(1.2, 0.6, row["v"]),
    "unidirectional bench flow (US)": _us_bench,
    "bench velocity band": _band,
}


def cleanroom(row: Row) -> float:
    """Return what we reckon for a row."""
    return RECKON[row.topic](row)
