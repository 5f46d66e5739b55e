"""Grow rooms: the balances hold in every hour, the limits in every case, costs add up."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from CoolProp.HumidAirProp import HAPropsSI
from hypothesis import given
from hypothesis import strategies as st

from pinset.errors import InputError
from pinset.science.air.breath import Breather, Hanging, Stage, room_breath
from pinset.science.air.cooling import WATER_J_KG_K
from pinset.science.air.gas import HEAT_J_G, gas_flow, steady_ppm
from pinset.science.air.grow_room import STEAM_J_KG, GrowRoom, Mist, needs
from pinset.science.air.moist import air_of, pressure_at
from pinset.science.air.ranges import Range
from pinset.science.air.running_cost import Plant, Prices, cost, cost_a_day, cost_a_kg
from pinset.science.air.ventilation import ventilation_load

BREATH = room_breath([Hanging(Breather.OYSTER, Stage.FRUITING, 1000.0)], 0.0, 16.0)
ROOM = GrowRoom(16.0, 0.9, 800.0, BREATH, walls_w_k=40.0, others_w=150.0)
PLANT = Plant(0.9, 2.5, 200.0, 0.4, 0.8)
OUTSIDE = st.tuples(st.floats(-25.0, 42.0), st.floats(0.1, 1.0))
ROOMS = st.builds(
    GrowRoom,
    temperature_c=st.floats(10.0, 26.0),
    humidity=st.floats(0.6, 0.97),
    co2_ppm=st.floats(600.0, 3000.0),
    breath_g_h=st.floats(0.0, 500.0).map(lambda g: Range(g / 2.0, g, 2.0 * g)),
    walls_w_k=st.floats(0.0, 200.0),
    others_w=st.floats(0.0, 2000.0),
    least_fresh_m3_s=st.floats(0.0, 0.1),
    mist=st.sampled_from(Mist),
    coil_c=st.floats(-2.0, 2.0),
)


@given(ROOMS, OUTSIDE)
def test_heat_and_water_balance(room: GrowRoom, outside: tuple[float, float]) -> None:
    """Enthalpies of psychrolib in and out, water in and out, nothing left over."""
    out, inside = air_of(*outside), air_of(room.temperature_c, room.humidity)
    found = needs([room], [outside[0]], [outside[1]])
    mist_heat = STEAM_J_KG if room.mist is Mist.STEAM else WATER_J_KG_K * room.water_c
    for case, grams in enumerate(room.breath_g_h.ends):
        fresh, mist, dried, heating, cooling = (
            float(values[case, 0, 0])
            for values in (
                found.fresh_m3_s,
                found.mist_kg_s,
                found.dried_kg_s,
                found.heating_w,
                found.cooling_w,
            )
        )
        dry = inside.dry_air(fresh)
        assert dry * out.humidity_ratio + mist - dried == pytest.approx(
            dry * inside.humidity_ratio, abs=1e-12
        )
        into = dry * out.enthalpy + grams / 3600.0 * HEAT_J_G + room.others_w
        into += heating + mist * mist_heat
        away = dry * inside.enthalpy + cooling + dried * WATER_J_KG_K * room.coil_c
        away += room.walls_w_k * (room.temperature_c - outside[0])
        assert into == pytest.approx(away, abs=1e-6)
        assert min(mist, dried, heating, cooling) >= 0.0
        co2 = steady_ppm(gas_flow(grams, room.temperature_c), fresh, 420.0) if grams else 420.0
        assert co2 <= room.co2_ppm + 1e-6


@given(ROOMS, OUTSIDE)
def test_no_heating_against_cooling_but_to_dry(
    room: GrowRoom, outside: tuple[float, float]
) -> None:
    found = needs([room], [outside[0]], [outside[1]])
    both = (found.heating_w > 0.0) & (found.cooling_w > 0.0)
    wetter = (
        air_of(*outside).humidity_ratio > air_of(room.temperature_c, room.humidity).humidity_ratio
    )
    assert not np.any(both) or wetter


@pytest.mark.parametrize("outside", [(5.0, 0.6), (-10.0, 0.8), (35.0, 0.2)])
def test_without_walls_or_breath_it_is_the_ventilation_load(outside: tuple[float, float]) -> None:
    bare = GrowRoom(16.0, 0.9, 800.0, Range.exactly(0.0), least_fresh_m3_s=300.0 / 3600.0)
    load = ventilation_load(300.0 / 3600.0, air_of(*outside), air_of(16.0, 0.9))
    found = needs([bare], [outside[0]], [outside[1]]).of(0)
    net = found.mist_kg_s.middle - found.dried_kg_s.middle
    assert net == pytest.approx(load.water_kg_s)
    if outside[0] < 16.0:
        brought = found.mist_kg_s.middle * WATER_J_KG_K * bare.water_c
        assert found.heating_w.middle == pytest.approx(load.total_w - brought)


def test_a_real_gas_gives_nearly_the_same_heat() -> None:
    """CoolProp: -10 degC 80 % to 16 degC 90 %, 300 m3/h: 4.90 kW, 3.23 kg/h."""
    inside = ("T", 289.15, "P", 101_325.0, "R", 0.9)
    outside = ("T", 263.15, "P", 101_325.0, "R", 0.8)
    dry = 300.0 / 3600.0 / HAPropsSI("Vda", *inside)
    total = dry * (HAPropsSI("H", *inside) - HAPropsSI("H", *outside))
    bare = GrowRoom(16.0, 0.9, 800.0, Range.exactly(0.0), least_fresh_m3_s=300.0 / 3600.0)
    found = needs([bare], [-10.0], [0.8]).of(0)
    brought = found.mist_kg_s.middle * WATER_J_KG_K * bare.water_c
    assert found.heating_w.middle + brought == pytest.approx(total, rel=0.01)


def test_a_tonne_of_oyster_needs_the_air_of_the_note() -> None:
    """air.md section 5.2: 0.2 g/(kg h) to 800 ppm is 0.29 m3/h per kg."""
    exact = replace(ROOM, breath_g_h=Range.exactly(200.0))
    found = needs([exact], [5.0], [0.6]).of(0)
    assert found.fresh_m3_s.middle * 3.6 == pytest.approx(0.288, rel=0.02)
    wide = needs([ROOM], [5.0], [0.6]).of(0)
    assert wide.fresh_m3_s.low < wide.fresh_m3_s.middle < wide.fresh_m3_s.high
    assert wide.mist_kg_s.high > 3.0 * wide.mist_kg_s.low


def test_steam_heats_what_mist_cools() -> None:
    cold, steam = (
        needs([replace(ROOM, mist=mist)], [-5.0], [0.7]).of(0).heating_w.middle for mist in Mist
    )
    assert cold > steam


def test_air_is_thinner_up_a_hill() -> None:
    low, high = (needs([ROOM], [0.0], [0.7], pressure_at(m)).of(0) for m in (0.0, 1500.0))
    assert high.fresh_m3_s.middle > low.fresh_m3_s.middle


def test_rooms_and_hours_are_what_each_is_alone() -> None:
    other = replace(ROOM, temperature_c=22.0, humidity=0.8, co2_ppm=1500.0)
    hours, humid = [-5.0, 12.0, 28.0], [0.9, 0.7, 0.6]
    together = needs([ROOM, other], hours, humid)
    assert together.heating_w.shape == (3, 2, 3)
    for r, room in enumerate([ROOM, other]):
        for t in range(3):
            assert together.of(r, t) == needs([room], [hours[t]], [humid[t]]).of(0)


def test_costs_add_up() -> None:
    prices = Prices(0.10, 0.30, 3.0)
    hours = needs([ROOM], [5.0] * 24, [0.6] * 24)
    day = cost_a_day(cost(hours, PLANT, prices), 0)
    one = hours.of(0)
    heat = one.heating_w.middle / 0.9 * 24.0 / 1e3 * 0.10
    power = (one.cooling_w.middle / 2.5 + one.fresh_m3_s.middle * 500.0) * 24.0 / 1e3 * 0.30
    water = one.mist_kg_s.middle / 0.8 / 998.0 * 86_400.0 * 3.0
    assert day.middle == pytest.approx(heat + power + water)
    assert day.low < day.middle < day.high
    assert cost_a_kg(day, 20.0).middle == pytest.approx(day.middle / 20.0)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (lambda: replace(ROOM, humidity=0.0), "No air is wholly dry"),
        (lambda: replace(ROOM, co2_ppm=400.0), "below the air outside"),
        (lambda: replace(ROOM, walls_w_k=-1.0), "walls"),
        (lambda: replace(ROOM, coil_c=16.0), "cannot cool it"),
        (lambda: replace(ROOM, water_c=90.0), "mist water"),
        (lambda: needs([], [5.0], [0.6]), "rooms"),
        (lambda: needs([ROOM], [5.0], [0.0]), "outside humidity"),
        (lambda: needs([ROOM], [float("nan")], [0.5]), "outside temperature"),
        (lambda: needs([ROOM], [5.0, 6.0], [0.5]), "as many"),
        (lambda: needs([replace(ROOM, coil_c=15.0)], [30.0], [0.8]), "takes no water out"),
        (lambda: replace(PLANT, cooling_cop=0.0), "plant"),
        (lambda: cost(needs([ROOM], [5.0], [0.6]), PLANT, Prices(-1, 0, 0)), "prices"),
        (lambda: cost_a_day(np.zeros((3, 1, 24)), 1), "room"),
        (lambda: cost_a_kg(Range.exactly(1.0), 0.0), "picked"),
    ],
)
def test_what_cannot_be(wrong: object, words: str) -> None:
    with pytest.raises(InputError, match=words):
        wrong()  # type: ignore[operator]
