"""Moist air beside its library, a real-gas library, and its own properties."""

from __future__ import annotations

import pytest
from CoolProp.HumidAirProp import HAPropsSI
from hypothesis import given
from hypothesis import strategies as st

from pinset.errors import InputError
from pinset.science.air.cooling import (
    cooled,
    cooling_with_drying,
    dries,
    drop_by_water,
    evaporated,
)
from pinset.science.air.drip import Wet, dew_point, drip, surface_of
from pinset.science.air.moist import (
    MoistAir,
    air_of,
    air_of_dew_point,
    air_of_enthalpy,
    air_of_wet_bulb,
    pressure_at,
    saturated,
    saturation_pa,
)
from pinset.science.air.moist_many import (
    dew_point_many,
    enthalpy_many,
    humidity_ratio_many,
    saturation_pa_many,
    volume_many,
)
from pinset.science.air.psychro import psychrolib
from pinset.science.air.ranges import Range
from pinset.science.air.ventilation import mixed, supply_for, ventilation_load
from pinset.science.steam.gauge import atmosphere

CELSIUS, HUMIDITIES = st.floats(-40.0, 60.0), st.floats(0.02, 1.0)
PLACES = st.floats(0.0, 3000.0).map(pressure_at)
STATES = [(c, rh, m) for c in (1.0, 16.0, 40.0) for rh in (0.3, 0.6, 0.95) for m in (0.0, 1500.0)]


@pytest.mark.parametrize(("celsius", "humidity", "altitude"), STATES)
def test_a_real_gas_is_near(celsius: float, humidity: float, altitude: float) -> None:
    """CoolProp, real-gas moist air: 0.55 % in the vapour, 0.05 K in wet bulb and dew point."""
    place = pressure_at(altitude)
    air = air_of(celsius, humidity, place)
    state = ("T", celsius + 273.15, "P", place, "R", humidity)
    assert air.humidity_ratio == pytest.approx(HAPropsSI("W", *state), rel=0.0065)
    assert air.wet_bulb_c == pytest.approx(HAPropsSI("Twb", *state) - 273.15, abs=0.05)
    assert air.dew_point_c == pytest.approx(HAPropsSI("Tdp", *state) - 273.15, abs=0.05)
    assert air.enthalpy == pytest.approx(HAPropsSI("H", *state), abs=700.0)
    assert air.volume == pytest.approx(HAPropsSI("Vda", *state), rel=0.002)


@given(CELSIUS, HUMIDITIES, PLACES)
def test_arrays_give_what_the_library_gives(celsius: float, humidity: float, place: float) -> None:
    air = air_of(celsius, humidity, place)
    ratio = humidity_ratio_many([celsius], [humidity], place)
    assert saturation_pa_many(celsius) == pytest.approx(saturation_pa(celsius), rel=1e-12)
    assert ratio[0] == pytest.approx(air.humidity_ratio, rel=1e-12)
    assert enthalpy_many(celsius, ratio)[0] == pytest.approx(air.enthalpy, rel=1e-12, abs=1e-6)
    assert volume_many(celsius, ratio, place)[0] == pytest.approx(air.volume, rel=1e-12)
    if air.dew_point_c > -55.0:
        assert dew_point_many(ratio, place)[0] == pytest.approx(air.dew_point_c, abs=0.005)


@given(CELSIUS, HUMIDITIES, PLACES)
def test_there_and_back(celsius: float, humidity: float, place: float) -> None:
    air = air_of(celsius, humidity, place)
    assert air.dew_point_c - 0.005 <= air.wet_bulb_c <= air.temperature_c + 0.005
    assert air.humidity == pytest.approx(humidity, rel=1e-9)
    again = air_of_enthalpy(air.enthalpy, air.humidity_ratio, place)
    assert again.temperature_c == pytest.approx(celsius, abs=1e-9)
    if air.dew_point_c > -40.0:
        same = air_of_dew_point(celsius, min(air.dew_point_c, celsius), place)
        assert same.humidity_ratio == pytest.approx(air.humidity_ratio, rel=1e-3)


def test_the_units_stay_si() -> None:
    assert psychrolib.GetUnitSystem() == psychrolib.SI


def test_the_library_is_the_one_a_farm_has() -> None:
    assert psychrolib.has_numba is False
    assert type(psychrolib.GetMoistAirEnthalpy(16.0, 0.01)) is float


@pytest.mark.parametrize("altitude", [0.0, 500.0, 1500.0, 3000.0, 4000.0])
def test_two_standard_atmospheres_are_alike(altitude: float) -> None:
    assert pressure_at(altitude) == pytest.approx(1000.0 * atmosphere(altitude), abs=21.0)


@pytest.mark.parametrize(
    ("outside", "room", "water", "total"),
    [
        ((5.0, 0.6), (16.0, 0.9), 2.5, 2.9),
        ((-10.0, 0.8), (16.0, 0.9), 3.2, 4.9),
        ((30.0, 0.5), (16.0, 0.9), -1.1, -2.2),
        ((35.0, 0.2), (18.0, 0.9), 1.7, -0.6),
    ],
)
def test_the_worked_loads(
    outside: tuple[float, float], room: tuple[float, float], water: float, total: float
) -> None:
    """air.md section 4.1, 300 m3/h."""
    load = ventilation_load(300.0 / 3600.0, air_of(*outside), air_of(*room))
    assert load.water_kg_s * 3600.0 == pytest.approx(water, abs=0.05)
    assert load.total_w / 1e3 == pytest.approx(total, abs=0.05)


def test_a_coil_balances_heat_and_water() -> None:
    air = air_of(30.0, 0.5)
    done = cooled(air, 0.1, 8.0)
    kept = 0.1 * done.leaving.enthalpy + done.water_kg_s * 4186.0 * 8.0
    assert 0.1 * air.enthalpy - kept == pytest.approx(done.total_w)
    assert 0.1 * done.leaving.humidity_ratio + done.water_kg_s == pytest.approx(
        0.1 * air.humidity_ratio
    )
    assert done.latent_w == pytest.approx(done.water_kg_s * 2.48e6, rel=0.02)
    dry = cooled(air, 0.1, 25.0)
    assert dry.water_kg_s == 0.0
    assert dry.latent_w == pytest.approx(0.0, abs=1e-6)


@given(st.floats(0.0, 40.0), HUMIDITIES, st.floats(0.5, 30.0), st.floats(0.0, 0.5))
def test_a_coil_never_makes_fog(c: float, humidity: float, colder: float, missed: float) -> None:
    done = cooled(air_of(c, humidity), 1.0, c - colder, missed)
    assert done.leaving.humidity <= 1.0
    assert done.water_kg_s >= -1e-12


def test_only_a_coil_below_the_dew_point_dries() -> None:
    room = air_of(16.0, 0.9)
    assert not dries(room, 14.5)
    assert dries(room, 14.0)
    near, cold = cooling_with_drying(room, 14.0), cooling_with_drying(room, 5.0)
    assert near > cold > 0.0
    through = cooled(room, 1.0, 5.0, missed=0.0)
    assert cold == pytest.approx(through.sensible_w / through.water_kg_s, rel=0.01)


@given(st.floats(5.0, 45.0), HUMIDITIES, st.floats(0.0, 1.0))
def test_a_pad_keeps_the_wet_bulb(celsius: float, humidity: float, efficiency: float) -> None:
    air = air_of(celsius, humidity)
    done = evaporated(air, efficiency)
    assert done.leaving.wet_bulb_c == pytest.approx(air.wet_bulb_c, abs=0.01)
    assert done.water_kg_m3 >= 0.0


def test_a_wall_a_little_colder_than_humid_air_gets_wet() -> None:
    """air.md section 4.1: at 90 % a wall 1.6 K colder than air of 16 degC gets wet."""
    room = air_of(16.0, 0.9)
    assert 16.0 - room.dew_point_c == pytest.approx(1.6, abs=0.05)
    spread = dew_point(room)
    assert spread.high - spread.middle == pytest.approx(0.5, abs=0.05)
    assert drip(room, Range.exactly(13.0)).wet is Wet.YES
    assert drip(room, Range.exactly(14.5)).wet is Wet.PERHAPS
    assert drip(room, Range.exactly(15.5)).wet is Wet.NO
    assert drip(room, surface_of(16.0, -10.0, 1.0)).wet is Wet.YES
    assert drip(room, surface_of(16.0, 14.0, 0.2)).wet is Wet.NO


@given(st.floats(0.0, 1.0), st.floats(0.1, 5.0))
def test_mixing_lies_between(humidity: float, flow: float) -> None:
    cold, warm = air_of(5.0, 0.5), air_of(30.0, 0.1 + 0.5 * humidity)
    both = mixed((cold, 1.0), (warm, flow))
    assert cold.temperature_c <= both.temperature_c <= warm.temperature_c


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (lambda: air_of(20.0, 0.0), "No air is wholly dry"),
        (lambda: air_of(20.0, 85.0), "85 % is 0.85"),
        (lambda: air_of(-300.0, 0.5), "air temperature"),
        (lambda: air_of(20.0, 0.5, 101.325), "air pressure"),
        (lambda: MoistAir(20.0, 0.5), "can hold"),
        (lambda: air_of_wet_bulb(20.0, 21.0), "never the warmer"),
        (lambda: air_of_wet_bulb(40.0, 5.0), "drier than dry"),
        (lambda: air_of_dew_point(20.0, 21.0), "dew point"),
        (lambda: pressure_at(1e5), "altitude"),
        (lambda: saturation_pa(float("nan")), "temperature"),
        (lambda: saturated(20.0).dry_air(-1.0), "air flow"),
        (lambda: humidity_ratio_many([20.0], [0.0], 1e5), "relative humidity"),
        (lambda: dew_point_many([1e-9], 1e5), "vapour pressure"),
        (lambda: ventilation_load(-1.0, air_of(5.0, 0.5), air_of(16.0, 0.9)), "air flow"),
        (lambda: ventilation_load(1.0, air_of(5.0, 0.5, 9e4), air_of(16.0, 0.9)), "the same"),
        (mixed, "streams"),
        (lambda: mixed((air_of(5.0, 0.5, 9e4), 1.0), (air_of(16.0, 0.9), 1.0)), "the same"),
        (lambda: mixed((air_of(-15.0, 1.0), 1.0), (air_of(30.0, 1.0), 1.0)), "can hold"),
        (lambda: supply_for(air_of(25.0, 0.5), 0.0, 0.0, 30.0, 15.0), "heat and vapour"),
        (lambda: supply_for(air_of(25.0, 0.5), 9e3, 0.0, 30.0, 25.0), "supply temperature"),
        (lambda: cooled(air_of(2.0, 0.8), 1.0, 5.0), "cannot cool it"),
        (lambda: cooled(air_of(20.0, 0.8), -1.0, 5.0), "air through the coil"),
        (lambda: cooling_with_drying(air_of(16.0, 0.9), 15.0), "takes no water out"),
        (lambda: evaporated(air_of(32.0, 0.2), 1.2), "pad efficiency"),
        (lambda: drop_by_water(-1.0, 1.0), "water"),
        (lambda: dew_point(air_of(16.0, 0.9), 3.0), "sensor error"),
        (lambda: surface_of(16.0, 0.0, -1.0), "U value"),
    ],
)
def test_what_cannot_be(wrong: object, words: str) -> None:
    with pytest.raises(InputError, match=words):
        wrong()  # type: ignore[operator]
