"""What fills a unit: heat against the reference's bag A and against water, and refusals."""

from __future__ import annotations

import pytest
from CoolProp.CoolProp import PropsSI

from pinset.errors import InputError
from pinset.science.heating.heating import Cylinder
from pinset.science.heating.loads import Filling, fill_of, usual_size

BAG = Cylinder(0.075, 0.2)
JAR = Cylinder(0.044, 0.15)
BOTTLE = Cylinder(0.04, 0.098)


def test_weighed_bag_holds_what_the_references_bag_a_holds() -> None:
    # Reference notes on heat, solver rows SV01-SV09: 1.9955 MJ/(m3 K).
    assert fill_of(Filling.SAWDUST, BAG, 2.3, 0.6, 60.0).heat_capacity == pytest.approx(
        1.9955e6, rel=0.001
    )


@pytest.mark.parametrize("celsius", [25.0, 70.0, 100.0])
def test_thin_agar_is_nearly_water(celsius: float) -> None:
    water = PropsSI("C", "T", celsius + 273.15, "P", 2e5, "Water")
    fill = fill_of(Filling.AGAR, BOTTLE, 0.49, 0.9699, celsius)
    by_mass = fill.heat_capacity * BOTTLE.volume / 0.49
    assert by_mass == pytest.approx(0.97 * water + 0.03 * 1600.0, rel=0.01)
    assert fill.conductivity == pytest.approx(
        PropsSI("L", "T", celsius + 273.15, "P", 2e5, "Water"), rel=0.04
    )
    assert not fill.has_vapour


def test_boiled_grain_conducts_less_than_its_kernels_and_more_than_air() -> None:
    fill = fill_of(Filling.GRAIN, JAR, 0.7, 0.48)
    assert 0.03 < fill.low < fill.conductivity < fill.high < 0.5


def test_straw_is_known_by_its_measured_range_only() -> None:
    # Ahn et al. 2009, abstract: 0.03 to 0.30 W/(m K) for straws and shavings.
    fill = fill_of(Filling.STRAW, Cylinder(0.15, 0.3), 6.0, 0.75)
    assert (fill.low, fill.high) == (0.03, 0.3)


@pytest.mark.parametrize(
    ("filling", "mass", "moisture"),
    [
        (Filling.SAWDUST, 9.0, 0.6),
        (Filling.SAWDUST, 2.3, 1.2),
        (Filling.SAWDUST, 0.0, 0.6),
        (Filling.SAWDUST, float("nan"), 0.6),
        (Filling.GRAIN, 4.6, 0.48),
        (Filling.AGAR, 2.3, 0.97),
        (Filling.AGAR, 0.5, 0.995),
        (Filling.STRAW, 8.0, 0.98),
    ],
)
def test_what_does_not_fit_is_refused(filling: Filling, mass: float, moisture: float) -> None:
    with pytest.raises(InputError, match="accepted is"):
        fill_of(filling, BAG, mass, moisture)


@pytest.mark.parametrize(
    ("filling", "mass", "moisture", "density"),
    [
        (Filling.SAWDUST, 2.3, 0.6, 575.0),
        (Filling.STRAW, 8.0, 0.75, 325.0),
        (Filling.GRAIN, 0.7, 0.48, 775.0),
        (Filling.AGAR, 0.5, 0.97, 1003.0),
        (Filling.AGAR, 0.5, 0.99, 1001.0),
    ],
)
def test_usual_size_holds_the_weight_and_can_be_filled(
    filling: Filling, mass: float, moisture: float, density: float
) -> None:
    size = usual_size(filling, mass, moisture)
    assert mass / size.volume == pytest.approx(density, rel=0.02)
    assert size.height == pytest.approx(size.radius * 8.0 / 3.0)
    assert fill_of(filling, size, mass, moisture).heat_capacity > 0.0
