"""Published data sets with their published fits: files of tests/reference/statistics.

cbpp and VerbAgg are data sets of lme4, salamander of the R package glmm (see LICENCES.md there).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from learning.check_tables import table
from pinset.learning.incidence.inputs import Factor, Records, records
from pinset.learning.incidence.links import Link

CHECKS = "checks_glmm.csv"
Table = tuple[dict[str, str], ...]


def check(group: str, quantity: str) -> tuple[float, float]:
    """Return value and tolerance of a check; of several with one name, the narrowest."""
    found = [row for row in table(CHECKS) if row["id"] == group and row["quantity"] == quantity]
    narrowest = min(found, key=lambda row: float(row["tolerance"]))
    return float(narrowest["value"]), float(narrowest["tolerance"])


def cbpp() -> Records:
    """Return 56 counts of sick cattle in 15 herds over four periods."""
    rows = table("data_cbpp.csv")
    columns = ("intercept", "period2", "period3", "period4")
    return records(
        lost=_numbers(rows, "incidence"),
        risk=_numbers(rows, "size"),
        factors=[_factor(rows, "herd")],
        design=_treatment(rows, "period", ("2", "3", "4")),
        columns=columns,
        link=Link.LOGIT,
    )


def salamander(*, one_mean_each: bool) -> Records:
    """Return 360 matings of 60 females with 60 males of two kinds."""
    rows = table("data_salamander.csv")
    crosses = ("R/R", "R/W", "W/R", "W/W")
    design = np.stack([_is(rows, "cross", cross) for cross in crosses], axis=1)
    if not one_mean_each:
        design[:, 0] = 1.0
    return records(
        lost=_numbers(rows, "mate"),
        risk=np.ones(len(rows)),
        factors=[_factor(rows, "female"), _factor(rows, "male")],
        design=design,
        columns=("RR", "RW", "WR", "WW"),
        link=Link.LOGIT,
    )


def verbagg() -> Records:
    """Return 7,584 answers of 316 persons to 24 items."""
    rows = table("data_verbagg.csv")
    design = np.stack(
        [
            np.ones(len(rows)), _numbers(rows, "Anger"), _is(rows, "Gender", "M"),
            _is(rows, "btype", "scold"), _is(rows, "btype", "shout"), _is(rows, "situ", "self"),
        ],
        axis=1,
    )  # fmt: skip
    return records(
        lost=_is(rows, "r2", "Y"),
        risk=np.ones(len(rows)),
        factors=[_factor(rows, "id"), _factor(rows, "item")],
        design=design,
        columns=("intercept", "Anger", "GenderM", "scold", "shout", "self"),
        link=Link.LOGIT,
    )


def _numbers(rows: Table, column: str) -> NDArray[np.float64]:
    return np.array([float(row[column]) for row in rows])


def _is(rows: Table, column: str, value: str) -> NDArray[np.float64]:
    return np.array([float(row[column] == value) for row in rows])


def _treatment(rows: Table, column: str, values: tuple[str, ...]) -> NDArray[np.float64]:
    return np.stack([np.ones(len(rows)), *(_is(rows, column, each) for each in values)], axis=1)


def _factor(rows: Table, column: str) -> Factor:
    names = sorted({row[column] for row in rows})
    index = {name: at for at, name in enumerate(names)}
    return Factor(column, tuple(names), np.array([index[row[column]] for row in rows]))
