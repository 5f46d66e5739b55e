"""Fractions of food: rows of properties.csv, IAPWS for water, rules of mixing, what is refused."""

from __future__ import annotations

import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from iapws import IAPWS95

from pinset.errors import InputError
from pinset.science.heating.fractions import (
    Composition,
    fraction_conductivity,
    fraction_density,
    fraction_heat_capacity,
    mixture_conductivity,
    mixture_density,
    mixture_heat_capacity,
)
from science.check_rows import NUMBER, Property, properties

NAMES = Composition.__slots__
FUNCTIONS = (fraction_conductivity, fraction_density, fraction_heat_capacity)
MIXED = (mixture_conductivity, mixture_density, mixture_heat_capacity)
WATER = re.compile(r"Choi-Okos (k|rho|cp) of the water fraction")
OTHERS = re.compile(r"Choi-Okos k; rho; cp of (\w+)")
ROWS = properties()


@pytest.mark.parametrize("row", [r for r in ROWS if WATER.match(r.quantity)], ids=lambda r: r.id)
def test_water(row: Property) -> None:
    match = WATER.match(row.quantity)
    assert match
    function = dict(zip(("k", "rho", "cp"), FUNCTIONS, strict=True))[match[1]]
    scale = 1000.0 if match[1] == "cp" else 1.0
    row.check([function("water", row["T"]) / scale])


@pytest.mark.parametrize("row", [r for r in ROWS if OTHERS.match(r.quantity)], ids=lambda r: r.id)
def test_other_fractions(row: Property) -> None:
    match = OTHERS.match(row.quantity)
    assert match
    k, rho, cp = (function(match[1], row["T"]) for function in FUNCTIONS)
    row.check([k, rho, cp / 1000.0])


@pytest.mark.parametrize(
    "row", [r for r in ROWS if r.quantity.startswith("Choi-Okos mixture")], ids=lambda r: r.id
)
def test_mixtures(row: Property) -> None:
    named = dict(re.findall(rf"(\w+)=({NUMBER})", row.inputs))
    composition = Composition(**{name: float(named[name]) for name in NAMES if name in named})
    k, rho, cp = (function(composition, row["T"]) for function in MIXED)
    row.check([k, rho, cp / 1000.0])


@pytest.mark.parametrize("celsius", [25.0, 60.0, 100.0, 120.0])
def test_water_is_as_iapws_has_it(celsius: float) -> None:
    """The wrong polynomial in circulation is 3 % low at 100 degC."""
    water = IAPWS95(T=celsius + 273.15, P=0.21)
    assert fraction_heat_capacity("water", celsius) == pytest.approx(1000.0 * water.cp, rel=0.002)
    assert fraction_density("water", celsius) == pytest.approx(water.rho, rel=0.003)
    assert fraction_conductivity("water", celsius) == pytest.approx(water.k, rel=0.008)


SHARES = st.lists(st.floats(0.01, 1.0), min_size=6, max_size=6)


@given(SHARES, st.floats(0.0, 150.0))
def test_a_mixture_lies_between_its_fractions(shares: list[float], celsius: float) -> None:
    total = sum(shares)
    composition = Composition(*(share / total for share in shares))
    for mixed, function in zip(MIXED, FUNCTIONS, strict=True):
        alone = [function(name, celsius) for name in NAMES]
        assert min(alone) <= mixed(composition, celsius) <= max(alone)


@given(st.floats(0.0, 150.0))
def test_one_fraction_alone_is_itself(celsius: float) -> None:
    for mixed, function in zip(MIXED, FUNCTIONS, strict=True):
        assert mixed(Composition(1.0), celsius) == pytest.approx(function("water", celsius))


def test_mass_and_volume_are_kept() -> None:
    """A kilogram of the mixture takes the room its fractions take, and holds the heat they hold."""
    composition = Composition(0.5, protein=0.1, carbohydrate=0.4)
    shares = [(n, s) for n, s in composition.shares().items() if s > 0.0]
    room = sum(share / fraction_density(name, 80.0) for name, share in shares)
    assert 1.0 / mixture_density(composition, 80.0) == pytest.approx(room, rel=1e-12)
    heat = sum(share * fraction_heat_capacity(name, 80.0) for name, share in shares)
    assert mixture_heat_capacity(composition, 80.0) == pytest.approx(heat, rel=1e-12)


def test_floats_and_arrays() -> None:
    for function in FUNCTIONS:
        assert type(function("fat", 20.0)) is float
        assert function("fat", [20.0, 40.0]).shape == (2,)
        assert function("fat", np.array([])).shape == (0,)
    for mixed in MIXED:
        assert type(mixed(Composition(1.0), 20.0)) is float
        assert mixed(Composition(1.0), np.full((2, 3), 20.0)).shape == (2, 3)


@pytest.mark.parametrize("celsius", [-1.0, 151.0, float("nan")])
def test_temperatures_out_of_range(celsius: float) -> None:
    for function in FUNCTIONS:
        with pytest.raises(InputError, match="temperature_c"):
            function("water", celsius)
    for mixed in MIXED:
        with pytest.raises(InputError, match="temperature_c"):
            mixed(Composition(1.0), celsius)


@pytest.mark.parametrize(
    ("given", "field"),
    [
        ({"water": 0.5}, "composition"),
        ({"water": 0.9, "fat": 0.2}, "composition"),
        ({"water": 1.1, "fat": -0.1}, "water"),
        ({"water": float("nan")}, "water"),
    ],
)
def test_compositions_that_are_none(given: dict[str, float], field: str) -> None:
    with pytest.raises(InputError, match=field):
        Composition(**given)


def test_unknown_fractions() -> None:
    with pytest.raises(InputError, match="sand"):
        fraction_density("sand", 20.0)
