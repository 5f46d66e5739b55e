"""ISO 2859-1 single plans: rows S3 to S5 of checks_sampling.csv, which name their sources."""

from __future__ import annotations

import re

import pytest

from learning.check_tables import table
from pinset.errors import InputError
from pinset.learning.acceptance import _LEVELS, LIMITS_PERCENT, acceptance_plan, size_letter

ROWS = table("checks_sampling.csv")


@pytest.mark.parametrize(
    "row", [row for row in ROWS if row["id"] == "S3"], ids=lambda row: row["what"]
)
def test_plans(row: dict[str, str]) -> None:
    level, limit, units = re.findall(r"^(S-\d) AQL ([\d.]+).*lot (\d+)-", row["what"])[0]
    plan = acceptance_plan(int(units), float(limit), level)
    assert f"{plan.check}/{plan.accept}/{plan.refuse}" == row["value"]


@pytest.mark.parametrize(
    "row", [row for row in ROWS if row["id"] == "S4"], ids=lambda row: row["what"]
)
def test_letters(row: dict[str, str]) -> None:
    low, high, level = re.findall(r"lot (\d+)-(\d+), level (\w+)", row["what"])[0]
    assert size_letter(int(low), level) == size_letter(int(high), level) == row["value"]


def test_what_a_plan_lets_through() -> None:
    row = next(row for row in ROWS if row["id"] == "S5")
    plan = acceptance_plan(1000, 1.0)
    assert (plan.check, plan.accept) == (80, 2)
    good, bad = (float(each) for each in row["value"].split(" / "))
    assert plan.chance_to_accept(0.01) == pytest.approx(good, abs=5e-5)
    assert plan.chance_to_accept(0.05) == pytest.approx(bad, abs=5e-5)


@pytest.mark.parametrize("level", _LEVELS)
@pytest.mark.parametrize("limit", LIMITS_PERCENT)
def test_every_plan_comes_to_an_end_and_is_one(level: str, limit: float) -> None:
    for units in (2, 9, 16, 26, 51, 91, 151, 281, 501, 1201, 3201, 10_001, 35_001, 600_000):
        plan = acceptance_plan(units, limit, level)
        assert plan.accept < plan.refuse <= plan.accept + 1
        assert 1 <= plan.check <= units
        assert plan.chance_to_accept(limit / 100.0) > 0.85


def test_larger_lots_never_get_an_earlier_letter() -> None:
    for level in _LEVELS:
        letters = [size_letter(units, level) for units in range(2, 3300)]
        assert letters == sorted(letters)


def test_what_is_none() -> None:
    for call in (
        lambda: acceptance_plan(1, 1.0),
        lambda: acceptance_plan(100, 1.1),
        lambda: acceptance_plan(100, 1.0, "IV"),
        lambda: acceptance_plan(100, 1.0).chance_to_accept(1.2),
    ):
        with pytest.raises(InputError):
            call()
