"""What pinset makes of the rows of uv.csv."""

from __future__ import annotations

from math import log10, pi

from pinset.science.air.lamp import per_watt_facing
from pinset.science.air.lamp_dose import (
    J_M2,
    W_M2,
    WORKDAY_S,
    Lamp,
    Organism,
    dose,
    dose_per_log,
    kept,
    people_limit_j_m2,
    permitted_s,
)
from pinset.science.air.ranges import Range, published
from science.air.air_rows import Row


def _lit(row: Row) -> float:
    distance = row["mid-lamp distance D"] if "mid-lamp" in row.inputs else row["D"]
    length = row["arc L"] if "arc L" in row.inputs else row["L"]
    return row["P"] * per_watt_facing(length, distance) / W_M2


def _far(row: Row) -> float:
    return _lit(row) / (row["P"] / (pi * row["D"]) ** 2 / W_M2)


def _point(row: Row) -> float:
    return row["P"] / (4.0 * pi * row["D"] ** 2) / W_M2 / _lit(row)


def _begum(row: Row) -> float:
    given = 4644.0 * 15.0 / 60.0 / J_M2
    if row.topic == "dose units":
        return given
    if "percent" in row.topic:
        return given / -log10(1.0 - 0.62)
    return 180.0 * 4644.0 / 60.0 / J_M2 / 3.5


def _to_target(row: Row) -> float:
    worst = dose_per_log(Organism.A_NIGER).high
    assert worst == 398.0 * J_M2
    return worst * 2.0 / (row["E"] * 0.80 * W_M2) / 60.0


def _at_end(row: Row) -> float:
    return row["new"] * kept(Lamp(Range.exactly(12.0), 0.83, 9000.0, 9000.0)).low


def _logs(row: Row) -> float:
    each = published("uv.aspergillus-flavus", "dose_agar").middle
    assert each == row["D90"]
    return row["dose"] / each


RECKON = {
    "line-lamp irradiance (Keitz)": _lit,
    "far-field limit": _far,
    "wrong-model size": _point,
    "catalogue irradiance of a 30 W T8 germicidal tube": _lit,
    "continuous limit": lambda _: people_limit_j_m2() / WORKDAY_S / W_M2,
    "permitted time for people": lambda row: permitted_s(row["E"] * W_M2),
    "spectral weighting": lambda _: people_limit_j_m2() / J_M2,
    "dose": lambda row: dose(Range.exactly(row["E"] * W_M2), row["t"]).middle / J_M2,
    "dose units": _begum,
    "D90 from a percent kill": _begum,
    "D90 from a log kill": _begum,
    "log reduction": _logs,
    "time to a target": _to_target,
    "lamp replacement": _at_end,
}


def uv(row: Row) -> float:
    """Return what we reckon for a row."""
    return RECKON[row.topic](row)
