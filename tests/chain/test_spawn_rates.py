from __future__ import annotations

import csv
import math
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.chain.register import Parent, RateBasis
from pinset.chain.route_builder import default_route
from pinset.chain.spawn_rates import (
    biological_efficiency,
    convert_rate,
    planned_units_per_parent,
    spawn_grams,
    units_per_parent,
    yield_grams,
)
from pinset.chain.stages import Stage
from pinset.errors import InputError
from pinset.tables.loader import table

REFERENCE = Path(__file__).parents[1] / "reference" / "spawn_arithmetic.csv"
MOISTURES = st.floats(0.0, 0.94)
RATES = st.floats(0.001, 0.5)
BASES = st.sampled_from(list(RateBasis))


def rows() -> list[dict[str, str]]:
    with REFERENCE.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", rows(), ids=lambda r: r["case"])
def test_published_spawn_arithmetic(row: dict[str, str]) -> None:
    units = units_per_parent(
        float(row["spawn_unit_g"]),
        float(row["fill_g"]),
        float(row["rate"]),
        RateBasis(row["basis"]),
        spawn_moisture=float(row["spawn_moisture"]),
        substrate_moisture=float(row["substrate_moisture"]),
    )
    assert units == pytest.approx(float(row["units"]), rel=float(row["tolerance"]))


@pytest.mark.parametrize(("wet_on_dry", "dry_on_dry"), [(0.03, 0.015), (0.07, 0.035)])
def test_seven_percent_wet_on_dry_is_three_and_a_half_dry_on_dry(
    wet_on_dry: float, dry_on_dry: float
) -> None:
    # Stamets 1993, p. 128: 30 to 70 lb per 1000 lb dry at about 50 % moisture.
    assert convert_rate(
        wet_on_dry,
        RateBasis.WET_ON_DRY,
        RateBasis.DRY_ON_DRY,
        spawn_moisture=table("expansion.csv").one("grain-spawn", "moisture_wet").value,
        substrate_moisture=0.6,
    ) == pytest.approx(dry_on_dry)


def test_bases_differ_by_factors_of_two_to_three() -> None:
    one = {"spawn_moisture": 0.5, "substrate_moisture": 0.65}
    wet_on_dry = convert_rate(0.05, RateBasis.WET_ON_WET, RateBasis.WET_ON_DRY, **one)
    dry_on_dry = convert_rate(0.05, RateBasis.WET_ON_DRY, RateBasis.DRY_ON_DRY, **one)
    assert wet_on_dry / 0.05 == pytest.approx(1 / 0.35)
    assert 0.05 / dry_on_dry == pytest.approx(2.0)


@given(RATES, BASES, BASES, MOISTURES, MOISTURES)
def test_there_and_back(
    rate: float, one: RateBasis, other: RateBasis, spawn: float, substrate: float
) -> None:
    moistures = {"spawn_moisture": spawn, "substrate_moisture": substrate}
    there = convert_rate(rate, one, other, **moistures)
    assert convert_rate(there, other, one, **moistures) == pytest.approx(rate)


@given(RATES, BASES, MOISTURES, MOISTURES)
def test_no_spawn_appears_or_vanishes(
    rate: float, basis: RateBasis, spawn: float, substrate: float
) -> None:
    moistures = {"spawn_moisture": spawn, "substrate_moisture": substrate}
    each = spawn_grams(2500, rate, basis, **moistures)
    units = units_per_parent(650, 2500, rate, basis, **moistures)
    assert units * each == pytest.approx(650)


def test_dry_things_make_all_bases_alike() -> None:
    for basis in RateBasis:
        assert spawn_grams(1000, 0.1, basis, spawn_moisture=0, substrate_moisture=0) == 100.0


def test_planned_units_follow_the_rate_where_there_is_one() -> None:
    route = default_route("king oyster")
    sawdust, block = route.step("sawdust"), route.step("block")
    by_rate = replace(block.parents[0], units_per_parent=99.0)
    assert planned_units_per_parent(by_rate, sawdust, block) == pytest.approx(20.0)
    assert planned_units_per_parent(Parent("sawdust", 7.0), sawdust, block) == 7.0
    liquid = replace(sawdust, stage=Stage.LIQUID)
    assert planned_units_per_parent(by_rate, liquid, block) == 99.0


def test_efficiency_and_yield() -> None:
    # Definition: fresh mushrooms per dry substrate. Oyster: 225 g per kg wet at 70 % is 75 %.
    assert biological_efficiency(225, 0.7) == pytest.approx(0.75)
    assert biological_efficiency(250, 0.625) == pytest.approx(2 / 3)  # shiitake, 62.5 % moisture
    assert yield_grams(0.75, 1000, 0.7) == pytest.approx(225)


@given(st.floats(0, 2), st.floats(1, 10_000), MOISTURES)
def test_efficiency_undoes_yield(efficiency: float, fill_g: float, moisture: float) -> None:
    per_kg = yield_grams(efficiency, fill_g, moisture) / fill_g * 1000
    assert biological_efficiency(per_kg, moisture) == pytest.approx(efficiency, abs=1e-12)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: _rate(-0.1, 0.5, 0.6), "spawn rate"),
        (lambda: _rate(math.nan, 0.5, 0.6), "spawn rate"),
        (lambda: _rate(0.1, 1.0, 0.6), "spawn moisture"),
        (lambda: _rate(0.1, 0.5, 62.0), "substrate moisture: 62.0"),
        (lambda: _units(0, 2500, 0.1), "spawn in one unit"),
        (lambda: _units(650, 0, 0.1), "fill weight and spawn rate"),
        (lambda: _units(650, 2500, 0), "fill weight and spawn rate"),
        (lambda: _units(650, -1, 0.1), "fill weight"),
        (lambda: biological_efficiency(-1, 0.5), "yield"),
        (lambda: biological_efficiency(200, 1.0), "substrate moisture"),
        (lambda: yield_grams(-1, 1000, 0.5), "efficiency"),
        (lambda: yield_grams(1, math.nan, 0.5), "efficiency and fill weight"),
    ],
)
def test_nonsense_is_refused(call, words: str) -> None:  # noqa: ANN001
    with pytest.raises(InputError, match=words):
        call()


def _rate(rate: float, spawn: float, substrate: float) -> float:
    return convert_rate(
        rate,
        RateBasis.WET_ON_WET,
        RateBasis.DRY_ON_DRY,
        spawn_moisture=spawn,
        substrate_moisture=substrate,
    )


def _units(spawn_g: float, fill_g: float, rate: float) -> float:
    return units_per_parent(
        spawn_g, fill_g, rate, RateBasis.WET_ON_WET, spawn_moisture=0.5, substrate_moisture=0.6
    )
