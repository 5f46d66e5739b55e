"""Heat of condensing: the scientific formulation by CoolProp, the industrial one by iapws."""

from __future__ import annotations

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from iapws import IAPWS97

from pinset.errors import InputError
from pinset.science.steam_heat import heat_of_condensing


@pytest.mark.parametrize(
    "celsius", [0.5, 20.0, 60.0, 80.0, 93.3, 100.0, 121.1, 134.0, 180.0, 200.0]
)
def test_two_libraries(celsius: float) -> None:
    kelvin = celsius + 273.15
    scientific = [PropsSI("H", "T", kelvin, "Q", x, "Water") for x in (0, 1)]
    assert heat_of_condensing(celsius) == pytest.approx(scientific[1] - scientific[0], rel=3e-4)
    industrial = [1000.0 * IAPWS97(T=kelvin, x=x).h for x in (0, 1)]
    assert heat_of_condensing(celsius) == pytest.approx(industrial[1] - industrial[0], rel=3e-4)


def test_hotter_steam_gives_up_less() -> None:
    heat = heat_of_condensing(np.linspace(0.0, 200.0, 201))
    assert np.all(np.diff(heat) < 0.0)


def test_floats_arrays_and_nonsense() -> None:
    assert type(heat_of_condensing(100.0)) is float
    assert heat_of_condensing([100.0, 121.0]).shape == (2,)
    assert heat_of_condensing(np.array([])).shape == (0,)
    for celsius in (-1.0, 201.0, float("nan")):
        with pytest.raises(InputError, match="temperature_c"):
            heat_of_condensing(celsius)
