"""The saturation line: IAPWS check values, two independent libraries, and the way back."""

from __future__ import annotations

import iapws.iapws97
import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from pinset.errors import InputError
from pinset.science.steam.steam import (
    CRITICAL_C,
    CRITICAL_KPA,
    LEAST_KPA,
    saturation_pressure,
    saturation_slope,
    saturation_temperature,
)
from science.check_rows import Row, rows

ROWS = rows("steam.csv")
PRESSURES = [row for row in ROWS if row.quantity == "saturation pressure"]
TEMPERATURES = [row for row in ROWS if row.quantity == "saturation temperature"]
CELSIUS = st.floats(0.0, CRITICAL_C - 0.5)


@pytest.mark.parametrize("row", PRESSURES, ids=lambda row: row.id)
def test_pressures(row: Row) -> None:
    if row.inputs.endswith(" K"):
        assert row.holds(saturation_pressure(row["T"] - 273.15) / 1000.0)
    else:
        assert row.holds(saturation_pressure(row["T"]))


@pytest.mark.parametrize("row", TEMPERATURES, ids=lambda row: row.id)
def test_temperatures(row: Row) -> None:
    assert row.holds(saturation_temperature(1000.0 * row["p"]) + 273.15)


@pytest.mark.parametrize("celsius", np.linspace(0.0, 370.0, 38))
def test_an_independent_library_of_the_same_formulation(celsius: float) -> None:
    theirs = 1000.0 * iapws.iapws97._PSat_T(celsius + 273.15)
    assert saturation_pressure(celsius) == pytest.approx(theirs, rel=1e-12)
    back = iapws.iapws97._TSat_P(theirs / 1000.0) - 273.15
    assert saturation_temperature(theirs) == pytest.approx(back, abs=1e-9)


@pytest.mark.parametrize("celsius", np.linspace(60.0, 134.0, 38))
def test_the_scientific_formulation_where_cooks_are(celsius: float) -> None:
    """IAPWS-95 by CoolProp: within 1e-4 of the pressure, and 0.003 K."""
    theirs = PropsSI("P", "T", celsius + 273.15, "Q", 1, "Water") / 1000.0
    assert saturation_pressure(celsius) == pytest.approx(theirs, rel=1e-4)
    assert saturation_temperature(theirs) == pytest.approx(celsius, abs=0.003)


@given(CELSIUS)
def test_there_and_back_by_pressure(celsius: float) -> None:
    assert saturation_temperature(saturation_pressure(celsius)) == pytest.approx(celsius, abs=1e-7)


@given(st.floats(0.62, 21_900.0))
def test_there_and_back_by_temperature(kpa: float) -> None:
    assert saturation_pressure(saturation_temperature(kpa)) == pytest.approx(kpa, rel=1e-8)


@given(CELSIUS, st.floats(1e-3, 0.5))
def test_hotter_steam_has_more_pressure(celsius: float, more: float) -> None:
    low, high = saturation_pressure(celsius), saturation_pressure(celsius + more)
    assert low < high
    assert saturation_slope(celsius) < (high - low) / more < saturation_slope(celsius + more)


def test_the_slope_is_that_of_the_pressure() -> None:
    celsius = np.linspace(1.0, 360.0, 50)
    apart = saturation_pressure(celsius + 1e-3) - saturation_pressure(celsius - 1e-3)
    assert saturation_slope(celsius) == pytest.approx(apart / 2e-3, rel=1e-7)


def test_both_ends_of_the_line() -> None:
    assert saturation_pressure(0.0) == pytest.approx(0.6112127, abs=1e-6)
    assert saturation_pressure(CRITICAL_C) == pytest.approx(22_064.0, abs=1.0)
    assert saturation_temperature(LEAST_KPA) == pytest.approx(0.0, abs=1e-4)
    assert saturation_temperature(CRITICAL_KPA) == pytest.approx(CRITICAL_C, abs=0.01)


def test_floats_arrays_and_nothing() -> None:
    assert type(saturation_pressure(100.0)) is float
    assert type(saturation_temperature(100)) is float
    many = saturation_pressure(np.array([[60.0, 80.0, 100.0]]))
    assert many.shape == (1, 3)
    assert many[0, 2] == saturation_pressure(100.0)
    assert saturation_temperature([50.0, 100.0]).shape == (2,)
    assert saturation_pressure(np.array([])).shape == (0,)


@pytest.mark.parametrize("celsius", [-0.1, 374.0, 1372.0, float("nan"), float("inf")])
def test_no_temperature_of_steam(celsius: float) -> None:
    for function in (saturation_pressure, saturation_slope):
        with pytest.raises(InputError, match=r"temperature_c: .* 0 to 373.946 degC"):
            function(np.array([100.0, celsius]))


@pytest.mark.parametrize("kpa", [0.0, -5.0, 0.6, 22_065.0, float("nan")])
def test_no_pressure_of_steam(kpa: float) -> None:
    with pytest.raises(InputError, match=r"pressure_kpa: .* kPa absolute"):
        saturation_temperature(kpa)
