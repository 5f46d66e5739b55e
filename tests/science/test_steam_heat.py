"""Saturated steam: the scientific formulation by CoolProp, the industrial one by iapws."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from iapws import IAPWS97

from pinset.errors import InputError
from pinset.science.steam.heat import heat_of_condensing, steam_density, steam_density_slope


@pytest.mark.parametrize(
    "celsius", [0.5, 20.0, 60.0, 80.0, 93.3, 100.0, 121.1, 134.0, 180.0, 200.0]
)
def test_two_libraries(celsius: float) -> None:
    kelvin = celsius + 273.15
    scientific = [PropsSI("H", "T", kelvin, "Q", x, "Water") for x in (0, 1)]
    assert heat_of_condensing(celsius) == pytest.approx(scientific[1] - scientific[0], rel=3e-4)
    industrial = [1000.0 * IAPWS97(T=kelvin, x=x).h for x in (0, 1)]
    assert heat_of_condensing(celsius) == pytest.approx(industrial[1] - industrial[0], rel=3e-4)


@pytest.mark.parametrize("celsius", [0.5, 20.0, 60.0, 95.0, 121.1, 134.0, 180.0, 200.0])
def test_density_in_two_libraries(celsius: float) -> None:
    kelvin = celsius + 273.15
    scientific = PropsSI("D", "T", kelvin, "Q", 1, "Water")
    assert steam_density(celsius) == pytest.approx(scientific, rel=1e-3)
    assert steam_density(celsius) == pytest.approx(1.0 / IAPWS97(T=kelvin, x=1).v, rel=1e-3)


def test_the_slope_of_the_density_is_its_derivative() -> None:
    celsius = np.linspace(1.0, 199.0, 100)
    rise = (steam_density(celsius + 1e-3) - steam_density(celsius - 1e-3)) / 2e-3
    assert steam_density_slope(celsius) == pytest.approx(rise, rel=1e-6)


def test_hotter_steam_gives_up_less() -> None:
    heat = heat_of_condensing(np.linspace(0.0, 200.0, 201))
    assert np.all(np.diff(heat) < 0.0)


@pytest.mark.parametrize("function", [heat_of_condensing, steam_density, steam_density_slope])
def test_floats_arrays_and_nonsense(function: Callable[..., Any]) -> None:
    assert type(function(100.0)) is float
    assert function([100.0, 121.0]).shape == (2,)
    assert function(np.array([])).shape == (0,)
    for celsius in (-1.0, 201.0, float("nan")):
        with pytest.raises(InputError, match="temperature_c"):
            function(celsius)
