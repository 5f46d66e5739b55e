"""The vapour estimate: rows of vapour_transport.csv, its caps, its mean, what is refused."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from iapws import IAPWS97

from pinset.errors import InputError
from pinset.science.heating.grid import Face, Heated, heat_on_grid
from pinset.science.heating.grid_cells import Layer, Vessel
from pinset.science.heating.heating import Cylinder, Material, core_curve, modes_of
from pinset.science.heating.vapour import (
    UNVALIDATED,
    Case,
    mean_vapour_conductivity,
    vapour_conductivity,
    vapour_function,
)
from pinset.science.lethality.lethality import f_along
from science.check_rows import Row, rows

ROWS = rows("vapour_transport.csv")
SECONDS = 60.0 * np.arange(421)


def chamber(hold: float) -> np.ndarray:
    return np.minimum(20.0 + (hold - 20.0) * SECONDS / 1800.0, hold)


@cache
def cooked(free_air: float, hold: float, pressure: float) -> Heated:
    face = Face(100.0)
    bed = vapour_function(0.3, free_air, pressure)
    return heat_on_grid(
        Vessel(0.075, (Layer(0.2, bed, 1.9955e6),)),
        SECONDS,
        chamber(hold),
        20.0,
        side=face,
        top=face,
        bottom=face,
    )


def minutes_to(value: float, curve: np.ndarray) -> float:
    assert curve[-1] > value
    return float(np.interp(value, curve, SECONDS / 60.0))


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.id)
def test_the_table_of_vapour_transport(row: Row) -> None:
    if row.quantity == "effective conductivity":
        value = vapour_conductivity(row["T"], row["k0"], row["e"], row["P"])
    elif row.quantity == "core at 95 degC":
        value = minutes_to(95.0, cooked(row["e"], row["hold"], row["P"]).core.curve_c)
    elif row.quantity == "F0 of 15 min":
        core = cooked(row["e"], row["hold"], row["P"]).core.curve_c
        value = minutes_to(15.0, f_along(SECONDS, core))
    else:
        assert row.quantity == "F0 of 15 min at one conductivity"
        modes = modes_of(Cylinder(0.075, 0.2), Material(row["k"], 1.9955e6, 100.0))
        core = core_curve(modes, SECONDS, chamber(row["hold"]), 20.0)
        value = minutes_to(15.0, f_along(SECONDS, core))
    assert row.holds(value)


@pytest.mark.parametrize("celsius", [20.0, 60.0, 95.0])
def test_the_formula_with_steam_of_another_library(celsius: float) -> None:
    def steam(t: float) -> IAPWS97:
        return IAPWS97(T=t + 273.15, x=1)

    slope = (1.0 / steam(celsius + 0.01).v - 1.0 / steam(celsius - 0.01).v) / 0.02
    heat = 1000.0 * (steam(celsius).h - IAPWS97(T=celsius + 273.15, x=0).h)
    diffusivity = 2.1e-5 * ((celsius + 273.15) / 273.15) ** 1.81 * 101.325 / 120.0
    air = 120.0 - 1000.0 * steam(celsius).P
    expected = 0.3 + 0.15 * diffusivity * heat * slope * 120.0 / air
    assert vapour_conductivity(celsius, 0.3, 0.15, 120.0) == pytest.approx(expected, rel=1e-3)


def test_the_cautious_case_is_conduction() -> None:
    assert Case.CAUTIOUS.free_air == 0.0
    assert [case.free_air for case in Case] == [0.0, 0.15, 0.3]
    assert np.all(vapour_conductivity(np.linspace(0, 130, 14), 0.3, 0.0, 101.325) == 0.3)
    assert "not checked" in UNVALIDATED


@given(st.floats(0.0, 150.0), st.floats(0.01, 1.0), st.floats(0.05, 1.0), st.floats(60.0, 400.0))
def test_it_adds_and_stays_below_its_cap(
    celsius: float, free_air: float, base: float, pressure: float
) -> None:
    found = vapour_conductivity(celsius, base, free_air, pressure)
    assert base < found <= 20.0
    more = vapour_conductivity(celsius, base, min(1.0, 2 * free_air), pressure)
    assert more >= found


def test_above_saturation_it_is_capped() -> None:
    assert vapour_conductivity(121.0, 0.3, 0.3, 101.325) == 20.0
    near = vapour_conductivity(np.array([99.0, 99.9, 100.5]), 0.3, 0.01, 101.325)
    assert np.all(near <= 20.0)
    assert np.all(np.isfinite(near))


def test_the_mean_lies_within_and_is_that_of_heat_flowing() -> None:
    mean = mean_vapour_conductivity(20.0, 95.0, 0.3, 0.15, 101.325)
    points = np.linspace(20.0, 95.0, 200_001)
    values = vapour_conductivity(points, 0.3, 0.15, 101.325)
    assert mean == pytest.approx(float(values.mean()), rel=1e-4)
    assert values[0] < mean < values[-1]
    one = mean_vapour_conductivity(60.0, 60.0, 0.3, 0.15, 101.325)
    assert one == pytest.approx(vapour_conductivity(60.0, 0.3, 0.15, 101.325))
    assert mean == pytest.approx(mean_vapour_conductivity(95.0, 20.0, 0.3, 0.15, 101.325))


@pytest.mark.parametrize("case", [Case.MIDDLE, Case.QUICK])
def test_the_mean_is_on_the_safe_side_of_the_grid_in_f0(case: Case) -> None:
    """One conductivity brings the cold core to 95 degC too soon, but F0 of 15 min too late."""
    grid = f_along(SECONDS, cooked(case.free_air, 121.2, 206.333).core.curve_c)
    mean = mean_vapour_conductivity(20.0, 121.2, 0.3, case.free_air, 206.333)
    modes = modes_of(Cylinder(0.075, 0.2), Material(mean, 1.9955e6, 100.0))
    series = f_along(SECONDS, core_curve(modes, SECONDS, chamber(121.2), 20.0))
    late = minutes_to(15.0, series) / minutes_to(15.0, grid)
    assert 1.0 < late < 1.25


def test_no_heat_is_lost_on_the_way() -> None:
    assert cooked(0.3, 121.2, 206.333).imbalance < 1e-10


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"temperature_c": -1.0}, "temperature_c"),
        ({"temperature_c": float("nan")}, "temperature_c"),
        ({"conductivity": 0.0}, "conductivity"),
        ({"conductivity": float("nan")}, "conductivity"),
        ({"conductivity": 30.0}, "conductivity"),
        ({"free_air": -0.1}, "free_air"),
        ({"free_air": 1.5}, "free_air"),
        ({"pressure_kpa": 15.0}, "pressure_kpa"),
        ({"pressure_kpa": float("nan")}, "pressure_kpa"),
    ],
)
def test_what_is_refused(change: dict[str, float], field: str) -> None:
    given: dict[str, float] = {
        "temperature_c": 60.0,
        "conductivity": 0.3,
        "free_air": 0.15,
        "pressure_kpa": 101.325,
    }
    with pytest.raises(InputError, match=field):
        vapour_conductivity(**(given | change))


def test_a_function_or_mean_of_nonsense_is_refused_at_once() -> None:
    with pytest.raises(InputError, match="pressure_kpa"):
        vapour_function(0.3, 0.15, 15.0)
    with pytest.raises(InputError, match="from_c"):
        mean_vapour_conductivity(20.0, 300.0, 0.3, 0.15, 101.325)


def test_floats_and_arrays() -> None:
    assert type(vapour_conductivity(60.0, 0.3, 0.15, 101.325)) is float
    assert vapour_conductivity([20.0, 60.0], 0.3, 0.15, 101.325).shape == (2,)
    assert vapour_function(0.3, 0.15, 101.325)(np.full((2, 3), 60.0)).shape == (2, 3)
