"""Air outside, gauges and ratings: check rows, a library of the standard atmosphere, limits."""

from __future__ import annotations

import math

import numpy as np
import pytest
from fluids.atmosphere import ATMOSPHERE_1976
from hypothesis import given
from hypothesis import strategies as st

from pinset.errors import InputError
from pinset.science.lethality.lethality import lethal_rate
from pinset.science.steam.gauge import (
    absolute_pressure,
    atmosphere,
    boiling_point,
    core_limit,
    gauge_for,
    gauge_pressure,
)
from pinset.science.steam.steam import saturation_pressure
from pinset.units import FOOT_M, PSI_PA
from science.check_rows import Row, rows

PSI = PSI_PA / 1000.0
BY_QUANTITY: dict[str, list[Row]] = {}
for _row in rows("steam.csv"):
    BY_QUANTITY.setdefault(_row.quantity, []).append(_row)
OUTSIDE = BY_QUANTITY["standard-atmosphere pressure"]
AT_GAUGE = BY_QUANTITY["pure-steam temperature at gauge reading"]
NEEDED = BY_QUANTITY["gauge reading needed for 121.1 degC"]
CANNING = BY_QUANTITY["steam temperature for the USDA dial-gauge canning steps"]
ALTITUDES = st.floats(-500.0, 6000.0)


@pytest.mark.parametrize("row", OUTSIDE, ids=lambda row: row.id)
def test_the_air_outside(row: Row) -> None:
    assert row.holds(atmosphere(row["geometric altitude"]))


@pytest.mark.parametrize("altitude", np.linspace(-500.0, 6000.0, 14))
def test_a_library_of_the_standard_atmosphere(altitude: float) -> None:
    assert atmosphere(altitude) == pytest.approx(ATMOSPHERE_1976(altitude).P / 1000.0, abs=0.002)


@pytest.mark.parametrize("altitude", np.linspace(0.0, 3000.0, 7))
def test_the_rounded_closed_form(altitude: float) -> None:
    height = 6_356_766.0 * altitude / (6_356_766.0 + altitude)
    rounded = 101.325 * (1.0 - 2.25577e-5 * height) ** 5.25588
    assert atmosphere(altitude) == pytest.approx(rounded, abs=0.001)


@pytest.mark.parametrize("row", AT_GAUGE, ids=lambda row: row.id)
def test_steam_at_a_gauge_reading(row: Row) -> None:
    outside = atmosphere(row["altitude"])
    assert row.holds(core_limit(row["gauge"] * PSI, outside))
    if row["gauge"] == 0.0:
        assert row.holds(boiling_point(row["altitude"]))


@pytest.mark.parametrize("row", NEEDED, ids=lambda row: row.id)
def test_the_reading_for_a_temperature(row: Row) -> None:
    setting = gauge_for(121.1, atmosphere(row["altitude"]), 200.0)
    assert row.holds(setting.gauge_kpa / PSI)
    assert not setting.is_capped
    assert (setting.reached_c, setting.time_factor) == (121.1, 1.0)


@pytest.mark.parametrize("row", CANNING, ids=lambda row: row.id)
def test_published_steps_of_dial_gauges(row: Row) -> None:
    assert row.holds(core_limit(row["gauge"] * PSI, atmosphere(row["altitude"] * FOOT_M)))


@pytest.mark.parametrize(
    ("altitude", "reached", "factor"),
    [(1000, 119.14, 1.57), (2000, 117.41, 2.3), (3000, 115.78, 3.4)],
)
def test_a_rating_of_15_psi_costs_time_on_a_mountain(
    altitude: float, reached: float, factor: float
) -> None:
    setting = gauge_for(121.1, atmosphere(altitude), 15.0 * PSI)
    assert setting.is_capped
    assert setting.gauge_kpa == 15.0 * PSI
    assert setting.wanted_kpa > setting.gauge_kpa
    assert setting.reached_c == pytest.approx(reached, abs=0.03)
    assert setting.time_factor == pytest.approx(factor, abs=0.06)
    assert setting.time_factor == pytest.approx(1.0 / lethal_rate(setting.reached_c))


def test_open_steamers() -> None:
    setting = gauge_for(100.0, atmosphere(2000.0), 0.0)
    assert setting.is_capped
    assert setting.gauge_kpa == 0.0
    assert setting.reached_c == pytest.approx(boiling_point(2000.0), abs=1e-9)
    hot_enough = gauge_for(80.0, atmosphere(0.0), 0.0)
    assert not hot_enough.is_capped
    assert (hot_enough.wanted_kpa, hot_enough.gauge_kpa, hot_enough.time_factor) == (0.0, 0.0, 1.0)
    assert hot_enough.reached_c == pytest.approx(99.97, abs=0.01)


@given(st.floats(0.0, 180.0), ALTITUDES, st.floats(0.0, 300.0))
def test_never_above_the_rating(wanted: float, altitude: float, rated: float) -> None:
    outside = atmosphere(altitude)
    setting = gauge_for(wanted, outside, rated)
    assert 0.0 <= setting.gauge_kpa <= rated
    assert setting.gauge_kpa <= setting.wanted_kpa
    assert setting.time_factor >= 1.0
    assert setting.is_capped == (setting.gauge_kpa < setting.wanted_kpa)
    assert setting.reached_c == pytest.approx(core_limit(setting.gauge_kpa, outside), abs=1e-6)
    assert (setting.reached_c < wanted - 1e-9) <= setting.is_capped


@given(ALTITUDES, st.floats(0.1, 500.0))
def test_higher_up_is_thinner_and_cooler(altitude: float, lower: float) -> None:
    below = max(-500.0, altitude - lower)
    if below < altitude - 1e-3:
        assert atmosphere(below) > atmosphere(altitude)
        assert boiling_point(below) > boiling_point(altitude)


@given(st.floats(-25.0, 1000.0), ALTITUDES)
def test_gauge_and_absolute_undo_each_other(gauge: float, altitude: float) -> None:
    outside = atmosphere(altitude)
    pressure = absolute_pressure(gauge, outside)
    assert gauge_pressure(pressure, outside) == pytest.approx(gauge, abs=1e-9)


@given(st.floats(0.0, 200.0), ALTITUDES)
def test_the_reading_gives_back_its_temperature(gauge: float, altitude: float) -> None:
    outside = atmosphere(altitude)
    limit = core_limit(gauge, outside)
    assert saturation_pressure(limit) - outside == pytest.approx(gauge, abs=1e-5)


def test_floats_and_arrays() -> None:
    assert type(atmosphere(0.0)) is float
    assert type(boiling_point(0)) is float
    assert type(core_limit(100.0, 101.325)) is float
    assert type(absolute_pressure(1.0, 100.0)) is float
    assert atmosphere([0.0, 1000.0]).shape == (2,)
    readings = np.array([[0.0, 50.0], [100.0, 103.4]])
    assert core_limit(readings, 90.0)[1, 0] == core_limit(100.0, 90.0)
    assert gauge_pressure(absolute_pressure(readings, 90.0), 90.0) == pytest.approx(readings)


@pytest.mark.parametrize("altitude", [-501.0, 6001.0, 15_000.0, math.nan])
def test_no_altitude_of_a_farm(altitude: float) -> None:
    for function in (atmosphere, boiling_point):
        with pytest.raises(InputError, match=r"altitude_m: .* -500 to 6000 m"):
            function(altitude)


def test_what_no_gauge_shows_is_refused() -> None:
    for function in (absolute_pressure, core_limit):
        with pytest.raises(InputError, match="gauge_kpa"):
            function(-101.0, 100.0)
        with pytest.raises(InputError, match="gauge_kpa"):
            function(np.array([15.0, math.nan]), 100.0)
        with pytest.raises(InputError, match="atmosphere_kpa"):
            function(15.0, 205.0)
    with pytest.raises(InputError, match="pressure_kpa"):
        gauge_pressure(-1.0, 100.0)
    for wrong in (
        {"wanted_c": 200.0},
        {"rated_gauge_kpa": -1.0},
        {"z": 0.0},
        {"wanted_c": math.nan},
    ):
        given_ = {"wanted_c": 121.1, "atmosphere_kpa": 100.0, "rated_gauge_kpa": 100.0} | wrong
        with pytest.raises(InputError, match=next(iter(wrong))):
            gauge_for(**given_)
