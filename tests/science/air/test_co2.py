"""CO2 of rooms: an integrator, properties, published rates, the closed-vent test, people."""

from __future__ import annotations

from math import inf

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from pinset.errors import InputError
from pinset.science.air.breath import (
    Breather,
    Hanging,
    Stage,
    breather_of,
    heat_of_breath,
    mushroom_breath,
    room_breath,
    run_shape,
    substrate_breath,
)
from pinset.science.air.door import Door, door_of
from pinset.science.air.gas import (
    fresh_air_for,
    gas_flow,
    ppm_after,
    seconds_to,
    steady_ppm,
)
from pinset.science.air.ranges import Range
from pinset.science.air.vents_shut import ShutRoom, shut_test

ROOM = ShutRoom(Range(57.0, 60.0, 63.0), 20.0, 420.0)


@given(st.floats(0.0, 1e-3), st.floats(1e-4, 1.0))
def test_no_source_is_outdoors_and_twice_the_air_halves_the_rise(gas: float, air: float) -> None:
    assert steady_ppm(0.0, air, 420.0) == 420.0
    rise = steady_ppm(gas, air, 420.0) - 420.0
    assert steady_ppm(gas, 2.0 * air, 420.0) - 420.0 == pytest.approx(rise / 2.0, abs=1e-9)


@pytest.mark.parametrize("fresh", [0.0, 0.01, 0.2])
@pytest.mark.parametrize("start", [420.0, 800.0, 5000.0])
def test_an_integrator_of_the_balance(fresh: float, start: float) -> None:
    gas = gas_flow(200.0)
    theirs = solve_ivp(
        lambda _, c: [gas / 60.0 * 1e6 + fresh / 60.0 * (420.0 - c[0])],
        (0.0, 3600.0),
        [start],
        rtol=1e-10,
        atol=1e-8,
    )
    assert ppm_after(start, 3600.0, gas, fresh, 420.0, 60.0) == pytest.approx(theirs.y[0, -1])


@given(st.floats(430.0, 30_000.0), st.floats(430.0, 30_000.0), st.floats(0.0, 0.5))
def test_the_time_to_a_limit_leads_to_it(limit: float, start: float, fresh: float) -> None:
    gas = gas_flow(200.0)
    seconds = seconds_to(limit, start, gas, fresh, 420.0, 60.0)
    if seconds < 1e7:
        there = ppm_after(start, seconds, gas, fresh, 420.0, 60.0)
        assert there == pytest.approx(limit, rel=1e-4)


def test_what_is_never_reached() -> None:
    assert seconds_to(5000.0, 800.0, 0.0, 0.0, 420.0, 60.0) == inf
    assert seconds_to(5000.0, 800.0, gas_flow(200.0), 0.2, 420.0, 60.0) == inf
    assert seconds_to(400.0, 800.0, 0.0, 0.2, 420.0, 60.0) == inf
    assert steady_ppm(1e-6, 0.0, 420.0) == inf


@pytest.mark.parametrize(
    ("rate", "to_1000", "to_800"),
    [(0.04, 0.038, 0.058), (0.1, 0.094, 0.144), (0.2, 0.19, 0.29), (0.4, 0.38, 0.58)],
)
def test_the_table_of_fresh_air(rate: float, to_1000: float, to_800: float) -> None:
    """air.md section 5.2, outdoors 420 ppm."""
    for target, wanted in ((1000.0, to_1000), (800.0, to_800)):
        found = 3600.0 * fresh_air_for(gas_flow(rate), target, 420.0)
        assert found == pytest.approx(wanted, rel=0.015)


def test_oyster_breathes_as_published_and_the_unknown_within_both() -> None:
    def rate(who: Breather, stage: Stage, celsius: float) -> Range:
        return substrate_breath(Hanging(who, stage, 1.0), celsius)

    assert rate(Breather.OYSTER, Stage.FRUITING, 18.0) == Range(0.1, 0.2, 0.4)
    assert rate(Breather.SHIITAKE, Stage.FRUITING, 18.0) == Range(0.02, 0.04, 0.1)
    oyster, shiitake, unknown = (
        rate(who, Stage.FRUITING, 12.0)
        for who in (Breather.OYSTER, Breather.SHIITAKE, Breather.UNKNOWN)
    )
    assert unknown.low == shiitake.low
    assert unknown.high == oyster.high
    assert breather_of("pleurotus-djamor") is Breather.OYSTER
    assert breather_of("grifola-frondosa") is Breather.UNKNOWN


def test_ten_kelvins_are_two_point_eight_times() -> None:
    at = {c: substrate_breath(Hanging(Breather.OYSTER, Stage.FRUITING, 1.0), c) for c in (10, 20)}
    assert at[20].middle / at[10].middle == pytest.approx(2.8)
    assert at[20].high / at[20].low > 4.0  # the doubt about the temperature comes on top


def test_a_run_has_its_mean_and_a_peak_of_up_to_twice_that() -> None:
    ages = np.linspace(0.0, 20.0, 2001)
    shapes = [run_shape(float(age), 20.0) for age in ages]
    assert np.mean([shape.middle for shape in shapes]) == pytest.approx(1.0, abs=2e-3)
    assert max(shape.high for shape in shapes) == pytest.approx(2.0, abs=0.01)
    run = Hanging(Breather.OYSTER, Stage.SPAWN_RUN, 1000.0, 8.5, 20.0)
    mean = Hanging(Breather.OYSTER, Stage.SPAWN_RUN, 1000.0)
    ratio = substrate_breath(run, 21.0).middle / substrate_breath(mean, 21.0).middle
    assert ratio == pytest.approx(1.54)


def test_a_tonne_heats_as_the_note_says() -> None:
    """air.md section 5: 0.5 g/(kg h) is 1.5 kW per tonne, 0.2 is 0.6."""
    assert heat_of_breath(Range.exactly(500.0)).middle == pytest.approx(1500.0, rel=0.02)
    assert heat_of_breath(Range.exactly(200.0)).middle == pytest.approx(600.0, rel=0.02)


def test_a_room_is_the_sum_of_what_hangs_in_it() -> None:
    both = [
        Hanging(Breather.OYSTER, Stage.FRUITING, 600.0),
        Hanging(Breather.SHIITAKE, Stage.FRUITING, 400.0),
    ]
    found = room_breath(both, 30.0, 18.0)
    parts = [substrate_breath(one, 18.0).middle for one in both]
    assert found.middle == pytest.approx(sum(parts) + mushroom_breath(30.0, 18.0).middle)


@pytest.mark.parametrize("leak", [0.0, 0.1, 0.3])
@pytest.mark.parametrize("seed", range(4))
def test_shut_vents_tell_what_a_room_gives_off(leak: float, seed: int) -> None:
    rng = np.random.default_rng(seed)
    minutes = np.arange(0.0, 15.5, 0.5)
    truth = [
        ppm_after(800.0, 60.0 * m, gas_flow(200.0), leak * 60.0 / 3600.0, 420.0, 60.0)
        for m in minutes
    ]
    found = shut_test(list(minutes), list(truth + rng.normal(0.0, 8.0, minutes.size)), ROOM)
    assert found.grams_h.low < 200.0 < found.grams_h.high
    assert found.grams_h.middle == pytest.approx(200.0, rel=0.2)
    assert found.grams_h.high / found.grams_h.low < 1.6  # the published range spans fourfold
    assert not found.bends
    assert found.per_kg(1000.0).middle == pytest.approx(found.grams_h.middle / 1000.0)
    assert found.moved_by[0].name in {"free", "leak"}


def test_readings_without_scatter_and_readings_that_wander() -> None:
    minutes = np.arange(0.0, 15.5, 0.5)
    line = 800.0 + 30.0 * minutes
    plain = shut_test(list(minutes), list(line), ROOM).rise_ppm_h
    assert plain.ends == pytest.approx((1800.0, 1800.0, 1800.0))
    slow = 8.0 * np.sin(minutes)  # a sensor that wanders is no thirty readings
    mixed = np.random.default_rng(1).permutation(slow)
    wanders = shut_test(list(minutes), list(line + slow), ROOM).rise_ppm_h
    scatters = shut_test(list(minutes), list(line + mixed), ROOM).rise_ppm_h
    assert wanders.high - wanders.low > 1.5 * (scatters.high - scatters.low)


def test_a_vent_left_open_bends_the_line() -> None:
    minutes = np.arange(0.0, 15.5, 0.5)
    truth = [ppm_after(800.0, 60.0 * m, gas_flow(200.0), 0.05, 420.0, 60.0) for m in minutes]
    assert shut_test(list(minutes), truth, ROOM).bends


def test_doors() -> None:
    assert door_of(4999.0) is Door.OPEN
    assert door_of(5000.0) is Door.AIR_FIRST
    assert door_of(30_000.0) is Door.NOBODY


FEW = [0.0, 1.0, 2.0, 3.0, 4.0, 10.0]
RISING = [800.0, 830.0, 860.0, 890.0, 920.0, 1100.0]


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (lambda: gas_flow(-1.0), "CO2 given off"),
        (lambda: steady_ppm(1e-6, -1.0, 420.0), "fresh air"),
        (lambda: fresh_air_for(1e-6, 420.0, 420.0), "below the air outside"),
        (lambda: fresh_air_for(1e-6, 400.0, 420.0), "below the air outside"),
        (lambda: ppm_after(-1.0, 1.0, 0.0, 0.0, 420.0, 60.0), "start"),
        (lambda: ppm_after(800.0, -1.0, 0.0, 0.0, 420.0, 60.0), "time and free air"),
        (lambda: ppm_after(800.0, 1.0, 0.0, 0.0, 420.0, 0.0), "time and free air"),
        (lambda: seconds_to(-1.0, 800.0, 0.0, 0.0, 420.0, 60.0), "limit"),
        (lambda: run_shape(21.0, 20.0), "age"),
        (lambda: mushroom_breath(-1.0, 16.0), "growing mushrooms"),
        (lambda: mushroom_breath(1.0, 60.0), "temperature"),
        (
            lambda: substrate_breath(Hanging(Breather.OYSTER, Stage.FRUITING, -1.0), 16.0),
            "substrate",
        ),
        (lambda: door_of(-5.0), "CO2"),
        (lambda: shut_test(FEW[:3], RISING[:3], ROOM), "5 or more"),
        (lambda: shut_test(FEW[:5], RISING[:5], ROOM), "length of the test"),
        (lambda: shut_test(FEW, [800.0] * 6, ROOM), "still stands open"),
        (lambda: shut_test(FEW, RISING, ShutRoom(Range.exactly(0.0), 20.0, 420.0)), "free air"),
        (
            lambda: shut_test(FEW, RISING, ShutRoom(ROOM.free_m3, 20.0, 420.0, Range(-1, 0, 0))),
            "leaks",
        ),
        (lambda: shut_test(FEW, RISING, ROOM).per_kg(0.0), "substrate"),
    ],
)
def test_what_cannot_be(wrong: object, words: str) -> None:
    with pytest.raises(InputError, match=words):
        wrong()  # type: ignore[operator]
