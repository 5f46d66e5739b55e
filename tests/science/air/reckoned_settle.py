"""What pinset makes of the rows of settle.csv."""

from __future__ import annotations

from pinset.science.air.falling import falls_at
from pinset.science.air.settling import (
    PLATE_M2,
    SKIN_M_S,
    air_of_plates,
    chance_of_any,
    landings,
)
from science.air.air_rows import Row, rows


def _landings(row: Row) -> float:
    return landings(row["C"], row["v"] / 100.0, row["A"], row["t"])


def _as(row: Row) -> Row:
    name = row.inputs.removeprefix("as ")
    return next(other for other in rows("settle") if other.id == name)


def _implied(row: Row) -> float:
    air, plate, hours = row.numbers[0], row.numbers[1], row.numbers[2]
    return 100.0 * plate / (air * PLATE_M2 * hours * 3600.0)


RECKON = {
    "settle plate limit implied velocity": _implied,
    "settling velocity used by Whyte": lambda row: 100.0 * falls_at(row["d"]),
    "settling velocity table": lambda row: 100.0 * falls_at(row["d"]),
    "settling velocity, free spore": lambda row: 100.0 * falls_at(row["d"], row["rho"]),
    "Omelianski rule": lambda _: 100.0 * 0.010 / (100e-4 * 300.0),  # m3 on m2 in s
    "landing on an open surface": _landings,
    "chance of at least one landing": lambda row: chance_of_any(_landings(_as(row))),
    "air count from a settle plate": lambda _: air_of_plates(5, 1, 240.0, SKIN_M_S),
    "no colonies seen, upper bound": lambda _: air_of_plates(0, 4, 60.0, SKIN_M_S, at_most=True),
    "batch risk": lambda _: chance_of_any(0.0046, 40),
}


def settle(row: Row) -> float:
    """Return what we reckon for a row."""
    return RECKON[row.topic](row)
