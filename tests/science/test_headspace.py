"""Air and steam above a load: CoolProp, and what they do to a jar."""

from __future__ import annotations

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from pinset.errors import InputError
from pinset.science.heating.grid import Face, Heated, heat_on_grid
from pinset.science.heating.grid_cells import Layer, Vessel
from pinset.science.heating.headspace import (
    air_above,
    air_conductivity,
    air_heat_capacity,
    steam_above,
)

SECONDS = 60.0 * np.arange(121)
CHAMBER = np.interp(SECONDS, [0, 1800, 7200], [20.0, 121.0, 121.0])
GRAIN = Layer(0.11, 0.45, 3e6)


@pytest.mark.parametrize("kpa", [101.325, 205.0])
@pytest.mark.parametrize("celsius", [0.0, 20.0, 60.0, 100.0, 121.0, 130.0])
def test_air_is_as_coolprop_has_it(celsius: float, kpa: float) -> None:
    state = ("T", celsius + 273.15, "P", 1000.0 * kpa, "Air")
    assert air_conductivity(celsius) == pytest.approx(PropsSI("L", *state), rel=0.02)
    heat = PropsSI("C", *state) * PropsSI("D", *state)
    assert air_heat_capacity(celsius, kpa) == pytest.approx(heat, rel=0.01)


def jar(*layers: Layer, top: float = 60.0) -> Heated:
    return heat_on_grid(
        Vessel(0.045, layers),
        SECONDS,
        CHAMBER,
        20.0,
        side=Face(60.0),
        top=Face(top),
        bottom=Face(60.0),
        extrapolate=False,
    )


def test_air_above_keeps_heat_out_and_steam_lets_it_in() -> None:
    closed, held = jar(GRAIN, top=0.0), jar(GRAIN, top=np.inf)
    air = jar(GRAIN, air_above(0.04, 205.0))
    steam = jar(GRAIN, steam_above(0.04, 205.0))
    ends = [heated.at(0.0, 0.105)[45] for heated in (closed, air, steam, held)]
    assert ends == sorted(ends)
    assert ends[1] - ends[0] < 0.3 * (ends[3] - ends[0]), "still air is nearly a closed lid"
    assert ends[3] - ends[2] < 0.3 * (ends[3] - ends[0]), "steam is nearly the chamber itself"
    assert air.core.height > steam.core.height == pytest.approx(0.055, abs=0.003)
    assert air.imbalance < 1e-4
    assert steam.at(0.0, 0.13)[60] == pytest.approx(CHAMBER[60], abs=5.0)


@pytest.mark.parametrize("layer", [air_above, steam_above])
def test_they_are_no_load(layer) -> None:  # noqa: ANN001
    assert not layer(0.04, 101.325).is_load
    for kpa in (0.0, 15.0, 1000.0, float("nan")):
        with pytest.raises(InputError, match="pressure_kpa"):
            layer(0.04, kpa)


def test_floats_arrays_and_nonsense() -> None:
    assert type(air_conductivity(20.0)) is float
    assert type(air_heat_capacity(20.0, 101.325)) is float
    assert air_heat_capacity([20.0, 60.0], 101.325).shape == (2,)
    for celsius in (-50.0, 250.0, float("nan")):
        with pytest.raises(InputError, match="temperature_c"):
            air_conductivity(celsius)
        with pytest.raises(InputError, match="temperature_c"):
            air_heat_capacity(celsius, 101.325)
