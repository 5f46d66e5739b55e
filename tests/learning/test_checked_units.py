"""How many to check: rows S1 and S2 of checks_sampling.csv, scipy, and checks drawn by hand."""

from __future__ import annotations

import re

import numpy as np
import pytest
from scipy.stats import hypergeom

from learning.check_tables import table
from pinset.errors import InputError
from pinset.learning.checked_units import (
    assurance_of_clean,
    chance_of_none_found,
    units_to_check,
    units_to_check_of_many,
    worth_of_clumped,
)


@pytest.mark.parametrize(
    "row",
    [row for row in table("checks_sampling.csv") if row["id"] in {"S1", "S2"}],
    ids=lambda row: row["what"],
)
def test_rows(row: dict[str, str]) -> None:
    if row["id"] == "S1":
        units, bad = (int(each) for each in re.findall(r"[ND]=(\d+)", row["what"]))
        assert units_to_check(units, bad) == int(row["value"])
    else:
        share = float(re.findall(r"prevalence ([\d.]+)", row["what"])[0])
        assert units_to_check_of_many(share) == int(row["value"])


@pytest.mark.parametrize("units", [1, 9, 40])
def test_scipys_hypergeometric(units: int) -> None:
    for bad in range(units + 1):
        for check in range(units + 1):
            ours = chance_of_none_found(units, bad, check)
            assert ours == pytest.approx(hypergeom.pmf(0, units, bad, check), abs=1e-12)


def test_young_units_hardly_show() -> None:
    """Section 4 of the notes: 59 clean bags at a share of 0.3 shown say under 17 %, not 5 %."""
    chance = (1.0 - 0.05 * 0.3) ** 59
    assert chance_of_none_found(100_000, 5_000, 59, seen=0.3) == pytest.approx(chance, abs=2e-3)
    assert 1.0 - (1.0 - 0.17 * 0.3) ** 59 > 0.95
    assert units_to_check(100, 5, seen=0.3) is None
    assert units_to_check(1000, 50, seen=0.3) == next(
        check
        for check in range(1, 1000)
        if float((hypergeom.pmf(range(51), 1000, 50, check) * 0.7 ** np.arange(51)).sum()) <= 0.05
    )


def test_drawn_checks() -> None:
    rng = np.random.Generator(np.random.PCG64(2))
    draws = 40_000
    bad = rng.hypergeometric(6, 54, 20, draws)
    none = float((rng.binomial(bad, 0.7) == 0).mean())
    assert chance_of_none_found(60, 6, 20, seen=0.7) == pytest.approx(none, abs=0.01)
    assert assurance_of_clean(60, 6, 20, seen=0.7) == pytest.approx(1.0 - none, abs=0.01)


def test_fewest_is_fewest() -> None:
    for units in (2, 13, 77):
        for bad in range(1, units + 1):
            check = units_to_check(units, bad, assurance=0.9)
            assert check is not None
            assert chance_of_none_found(units, bad, check) <= 0.1 + 1e-9
            assert chance_of_none_found(units, bad, check - 1) > 0.1


def test_neighbours_are_worth_less() -> None:
    assert worth_of_clumped(30, 0.0) == 30
    assert worth_of_clumped(30, 1.0) == 1
    assert worth_of_clumped(30, 0.1) == pytest.approx(30 / 3.9)


def test_numbers_that_are_none() -> None:
    for call in (
        lambda: units_to_check(0, 1),
        lambda: units_to_check(10, 0),
        lambda: units_to_check(10, 11),
        lambda: units_to_check(10, 1, assurance=1.0),
        lambda: units_to_check(10, 1, seen=1.5),
        lambda: units_to_check_of_many(0.0),
        lambda: units_to_check_of_many(0.1, seen=0.0),
        lambda: chance_of_none_found(10, 2, 11),
        lambda: worth_of_clumped(0, 0.1),
        lambda: worth_of_clumped(5, -0.1),
    ):
        with pytest.raises(InputError):
            call()
