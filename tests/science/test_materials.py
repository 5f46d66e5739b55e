"""What loads are made of: rows of properties.csv, bases of moisture, bounds, what is refused."""

from __future__ import annotations

import csv

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.errors import InputError
from pinset.science.heating.materials import (
    Group,
    bag_heat_capacity,
    bulk_density,
    dry_basis,
    free_share,
    measured_conductivity,
    measured_heat_capacity,
    wet_basis,
    wood_conductivity,
    wood_heat_capacity,
)
from science.check_rows import FOLDER, Property, properties

ROWS = properties()
RANGES = {"PR45": Group.SAWDUST, "PR46": Group.SILAGE, "PR47": Group.STRAW}


@pytest.mark.parametrize(
    "row", [r for r in ROWS if r.quantity.startswith("heat capacity of w")], ids=lambda r: r.id
)
def test_heat_capacity_of_wood(row: Property) -> None:
    found = wood_heat_capacity(row["MC"] / 100.0, row["T"] - 273.15)
    row.check([found / 1000.0])


@pytest.mark.parametrize(
    "row", [r for r in ROWS if r.quantity.startswith("thermal cond")], ids=lambda r: r.id
)
def test_conductivity_of_solid_wood(row: Property) -> None:
    row.check([wood_conductivity(row["G"], row["MC"] / 100.0)])


@pytest.mark.parametrize("row_id", RANGES)
def test_measured_ranges(row_id: str) -> None:
    with (FOLDER / "properties.csv").open(newline="", encoding="utf-8") as file:
        expected = next(row["expected"] for row in csv.DictReader(file) if row["id"] == row_id)
    conductivity, capacity = (
        [float(edge) for edge in part.split("-")] for part in expected.split("; ")
    )
    found = measured_conductivity(RANGES[row_id])
    assert [found.low, found.high] == conductivity
    heat = measured_heat_capacity(RANGES[row_id])
    assert [heat.low / 1e6, heat.high / 1e6] == pytest.approx(capacity)
    for band in (found, heat):
        assert band.low < band.likely < band.high
        assert band.holds(band.likely)
        assert not band.holds(1.01 * band.high)
        assert not band.holds(float("nan"))


def test_every_row_is_used() -> None:
    used = ("heat capacity of w", "thermal conductivity of solid", "bulk cp; k", "Choi-Okos")
    assert all(row.quantity.startswith(used) for row in ROWS)
    assert len(ROWS) + len(RANGES) == 47


@given(st.floats(0.0, 0.97))
def test_wet_and_dry_basis_there_and_back(moisture_wet: float) -> None:
    assert wet_basis(dry_basis(moisture_wet)) == pytest.approx(moisture_wet, abs=1e-12)


def test_sixty_per_cent_wet_is_a_hundred_and_fifty_dry() -> None:
    assert dry_basis(0.6) == pytest.approx(1.5)
    assert wet_basis(1.5) == pytest.approx(0.6)
    assert wood_heat_capacity(dry_basis(0.6), 60.0) == pytest.approx(3064.6, abs=2.0)


@given(st.floats(0.0, 32.0), st.floats(0.0, 150.0))
def test_wet_wood_lies_between_dry_wood_and_water(moisture_dry: float, celsius: float) -> None:
    found = wood_heat_capacity(moisture_dry, celsius)
    assert wood_heat_capacity(0.0, celsius) - 1e-9 <= found <= 4180.0


def test_a_weighed_bag() -> None:
    """2.3 kg at 60 % wet in 15 cm by 20 cm is the bag A of the solver rows."""
    volume = np.pi * 0.075**2 * 0.2
    assert bag_heat_capacity(2.3, volume, 0.6) == pytest.approx(1.9955e6, rel=0.005)
    water = bulk_density(2.3, volume) * 0.6 / 1000.0
    wood = bulk_density(2.3, volume) * 0.4 / 1500.0
    assert free_share(2.3, volume, 0.6) == pytest.approx(1.0 - water - wood)
    assert bag_heat_capacity(4.6, 2 * volume, 0.6) == pytest.approx(
        bag_heat_capacity(2.3, volume, 0.6)
    ), "twice the bag is the same stuff"
    band = measured_heat_capacity(Group.SAWDUST)
    assert band.holds(bag_heat_capacity(2.3, volume, 0.6))


def test_floats_and_arrays() -> None:
    assert type(wood_heat_capacity(1.5, 60.0)) is float
    assert wood_heat_capacity(1.5, [20.0, 60.0]).shape == (2,)
    assert wood_heat_capacity(1.5, np.array([])).shape == (0,)


NAN = float("nan")


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: wood_heat_capacity(-0.1, 20.0), "moisture_dry"),
        (lambda: wood_heat_capacity(60.0, 20.0), "moisture_dry"),
        (lambda: wood_heat_capacity(NAN, 20.0), "moisture_dry"),
        (lambda: wood_heat_capacity(1.5, 151.0), "temperature_c"),
        (lambda: wood_heat_capacity(1.5, NAN), "temperature_c"),
        (lambda: wood_conductivity(0.2, 0.1), "specific_gravity"),
        (lambda: wood_conductivity(0.5, 0.3), "moisture_dry"),
        (lambda: dry_basis(1.0), "moisture_wet"),
        (lambda: dry_basis(60.0), "moisture_wet"),
        (lambda: wet_basis(-1.0), "moisture_dry"),
        (lambda: bulk_density(0.0, 1.0), "mass_kg"),
        (lambda: bulk_density(1.0, NAN), "volume"),
        (lambda: bag_heat_capacity(2.3, 0.0018, 0.6), "mass_kg.*kg or less"),
        (lambda: bag_heat_capacity(2.3, 0.0035, 60.0), "moisture_wet"),
    ],
)
def test_what_is_refused(call, field: str) -> None:  # noqa: ANN001
    with pytest.raises(InputError, match=field):
        call()
