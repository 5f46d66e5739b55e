"""Ranges of shares: every row of checks_intervals.csv (Newcombe 1998), and scipy."""

from __future__ import annotations

import pytest
from scipy.stats import binomtest

from learning.check_tables import table
from pinset.errors import InputError
from pinset.learning.intervals import clopper_pearson, jeffreys, wilson

WAYS = {"wilson": wilson, "clopper_pearson": clopper_pearson, "jeffreys": jeffreys}


@pytest.mark.parametrize(
    "row", table("checks_intervals.csv"), ids=lambda row: f"{row['method']}-{row['k']}-{row['n']}"
)
def test_rows(row: dict[str, str]) -> None:
    found = WAYS[row["method"]](int(row["k"]), int(row["n"]))
    assert found.low == pytest.approx(float(row["lower"]), abs=6e-5)
    assert found.high == pytest.approx(float(row["upper"]), abs=6e-5)


@pytest.mark.parametrize("of", [1, 7, 60])
@pytest.mark.parametrize("chance", [0.5, 0.8, 0.99])
def test_scipy_has_two_of_them(of: int, chance: float) -> None:
    for found in range(of + 1):
        test = binomtest(found, of)
        for way, name in ((wilson, "wilson"), (clopper_pearson, "exact")):
            ours, theirs = way(found, of, chance), test.proportion_ci(chance, name)
            assert (ours.low, ours.high) == pytest.approx((theirs.low, theirs.high), abs=1e-9)


@pytest.mark.parametrize("way", WAYS.values())
def test_counts_and_chances_that_are_none(way: type) -> None:
    for found, of, chance in ((1, 0, 0.95), (3, 2, 0.95), (-1, 2, 0.95), (1, 2, 1.0), (1, 2, 0.0)):
        with pytest.raises(InputError):
            way(found, of, chance)
