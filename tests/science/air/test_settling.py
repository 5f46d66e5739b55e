"""What settles on plates and into vessels, against published and independent values."""

from __future__ import annotations

import csv
import re
from math import pi
from pathlib import Path

import pytest
from scipy.stats import poisson

from pinset.errors import InputError
from pinset.science.air.settling import (
    PLATE_M2,
    SKIN_M_S,
    SPORE_M_S,
    air_of_plates,
    chance_of_any,
    into_a_vessel,
    landings,
    most_colonies,
)

with (Path(__file__).parents[2] / "reference" / "air" / "settle.csv").open(
    encoding="utf-8", newline=""
) as table:
    ROWS = {row["id"]: row for row in csv.DictReader(table)}
LANDINGS = ("SP-20", "SP-22", "SP-24", "SP-26", "SP-28")


def close_to(row: dict[str, str]) -> object:
    wanted, tolerance = float(row["expected"]), float(row["tolerance"])
    if row["tol_kind"] == "rel":
        return pytest.approx(wanted, rel=tolerance)
    return pytest.approx(wanted, abs=tolerance)


def number(text: str, name: str) -> float:
    found = re.search(rf"{name}=([0-9.]+)", text)
    assert found, (name, text)
    return float(found[1])


@pytest.mark.parametrize("name", LANDINGS)
def test_landings_of_the_table(name: str) -> None:
    """Whyte's relation; sources stand in the table."""
    row, chance = ROWS[name], ROWS[f"SP-{int(name[3:]) + 1}"]
    text = row["inputs"]
    found = landings(
        number(text, "C"), number(text, "v") / 100.0, number(text, "A"), number(text, "t")
    )
    assert found == close_to(row)
    assert chance_of_any(found) == close_to(chance)


def test_limits_of_the_air_imply_one_velocity() -> None:
    """EU GMP Annex 1: 10, 100 and 200 cfu/m3 go with 5, 50 and 100 cfu on a plate in 4 h."""
    for name, air, plate in (("SP-01", 10, 5), ("SP-02", 100, 50), ("SP-03", 200, 100)):
        velocity = plate / (air * PLATE_M2 * 4 * 3600.0)
        assert 100.0 * velocity == close_to(ROWS[name])
        assert air_of_plates(plate, 1, 240.0, velocity) == pytest.approx(air)


def test_air_of_a_plate_and_what_a_clean_one_still_allows() -> None:
    assert air_of_plates(5, 1, 240.0, SKIN_M_S) == close_to(ROWS["SP-30"])
    assert air_of_plates(0, 4, 60.0, SKIN_M_S, at_most=True) == close_to(ROWS["SP-31"])
    assert chance_of_any(0.0046, 40) == close_to(ROWS["SP-32"])


@pytest.mark.parametrize("count", [0, 1, 3, 17])
def test_the_bound_is_the_mean_at_which_so_few_are_one_in_twenty(count: int) -> None:
    assert poisson.cdf(count, most_colonies(count)) == pytest.approx(0.05)


def test_a_vessel_as_wide_and_as_long_open_as_the_plate_catches_as_much() -> None:
    assert into_a_vessel(3, 1, 30.0, PLATE_M2 * 1e4, 30.0) == pytest.approx(3.0)
    jar = pi * 3.5**2  # of 70 mm
    direct = landings(100.0, SPORE_M_S, jar / 1e4, 10.0)
    plate = landings(100.0, SPORE_M_S, 2 * PLATE_M2, 1800.0)
    assert into_a_vessel(plate, 2, 30.0, jar, 10.0 / 60.0) == pytest.approx(direct)


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: landings(-1.0, 0.005, 0.01, 1.0),
        lambda: landings(1.0, 0.0, 0.01, 1.0),
        lambda: chance_of_any(float("nan")),
        lambda: air_of_plates(0, 0, 60.0, SKIN_M_S),
        lambda: most_colonies(-1),
        lambda: into_a_vessel(1, 1, 0.0, 38.0, 1.0),
    ],
)
def test_what_cannot_be(wrong: object) -> None:
    with pytest.raises(InputError):
        wrong()  # type: ignore[operator]
