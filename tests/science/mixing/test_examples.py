"""Blends against the examples of composting handbooks; each row of the table names its source."""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

from pinset.science.mixing.blend import Portion, blended
from pinset.science.mixing.moisture import moisture_of_sample
from pinset.science.mixing.two import mass_for_moisture, mass_for_ratio
from science.mixing.things import GRASS, LEAVES, MANURE, SHAVINGS, made

TABLE = Path(__file__).parents[2] / "reference" / "biology" / "mixing_examples.csv"
ROWS = list(csv.DictReader(TABLE.read_text(encoding="utf-8").splitlines()))


def portion(of: object, kg: float) -> Portion:
    return Portion(of, kg, of.moisture_wet)  # type: ignore[arg-type, attr-defined]


TEN = portion(GRASS, 10.0)
POUND = portion(MANURE, 1.0)
TREE = made("sawdust", 0.50, 0.0011)
HUSK = made("bran", 0.47, 0.027)


def ratio(*portions: Portion) -> float:
    found = blended(portions).carbon_to_nitrogen
    assert found is not None
    return found.middle


def mean_of_ratios() -> float:
    """Return the mistake of averaging ratios, to see that ours is not it."""
    return 0.8 * ratio(portion(TREE, 1.0)) + 0.2 * ratio(portion(HUSK, 1.0))


RECKONED: dict[str, Callable[[], float]] = {
    "M1": lambda: 100.0 * moisture_of_sample(10.0, 2.3),
    "M2": lambda: mass_for_moisture(TEN, 0.35, 0.60),
    "M3": lambda: mass_for_ratio(TEN, LEAVES, 0.35, 30.0),
    "M4": lambda: 100.0 * blended([TEN, portion(LEAVES, 3.474)]).moisture_wet,
    "M5": lambda: ratio(TEN, portion(LEAVES, 6.8)),
    "M6": lambda: mass_for_moisture(POUND, 0.35, 0.60),
    "M7": lambda: ratio(POUND, portion(SHAVINGS, 0.4)),
    "M8": lambda: mass_for_ratio(POUND, SHAVINGS, 0.35, 25.0),
    "M9": lambda: mass_for_ratio(POUND, SHAVINGS, 0.35, 30.0),
    "M10": lambda: ratio(portion(TREE, 80.0), portion(HUSK, 20.0)),
    "M11": mean_of_ratios,
}
ELSEWHERE = {"M12", "M13", "M14"}
"""Spawn rate and biological efficiency: tests/chain and tests/learning hold them."""


def test_every_row_is_reckoned() -> None:
    assert {row["case"] for row in ROWS} == set(RECKONED) | ELSEWHERE


@pytest.mark.parametrize("row", [r for r in ROWS if r["case"] in RECKONED], ids=lambda r: r["case"])
def test_an_example(row: dict[str, str]) -> None:
    value = RECKONED[row["case"]]()
    assert float(row["low"]) <= value <= float(row["high"])


def test_ratios_are_not_averaged() -> None:
    assert RECKONED["M10"]() < 0.25 * RECKONED["M11"]()


def test_moisture_of_the_mixes_that_meet_a_ratio() -> None:
    # M8 and M9 say what moisture comes of them: one ingredient cannot meet both goals.
    for pounds, moisture in ((0.795, 0.545), (1.07, 0.519)):
        found = blended([POUND, portion(SHAVINGS, pounds)]).moisture_wet
        assert found == pytest.approx(moisture, abs=0.0006)
