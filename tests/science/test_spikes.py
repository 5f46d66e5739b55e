"""Spikes: what leaps away and back is found, what a core can do is not."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.science.heating.heating import Cylinder, Material, core_curve, modes_of
from pinset.science.judging.spikes import spikes

MINUTES = np.arange(0.0, 301.0)
CHAMBER = np.interp(MINUTES, [0, 30, 200, 215, 300], [20, 121, 121, 100, 30])


def core(step: int = 1, conductivity: float = 0.6, radius: float = 0.075) -> tuple[np.ndarray, ...]:
    body = modes_of(Cylinder(radius, 2.6 * radius), Material(conductivity, 2e6, 200.0))
    found = core_curve(body, 60.0 * MINUTES, CHAMBER, 20.0)
    return 60.0 * MINUTES[::step], found[::step]


@pytest.mark.parametrize("step", [1, 5, 15])
@pytest.mark.parametrize("radius", [0.01, 0.03, 0.075])
def test_a_core_has_none(step: int, radius: float) -> None:
    seconds, celsius = core(step, radius=radius)
    noisy = celsius + np.random.default_rng(1).normal(0.0, 0.5, len(celsius))
    assert not spikes(seconds, noisy).any()


@given(st.integers(1, 290), st.integers(1, 3), st.sampled_from([-60.0, -12.0, 12.0, 70.0]))
def test_a_spike_is_found_and_nothing_else(at: int, length: int, off: float) -> None:
    seconds, celsius = core()
    celsius = celsius.copy()
    celsius[at : at + length] += off
    assert np.flatnonzero(spikes(seconds, celsius)).tolist() == list(range(at, at + length))


def test_two_spikes_in_a_row_are_both_found() -> None:
    seconds, celsius = core()
    celsius = celsius.copy()
    celsius[[100, 102, 104]] += 50.0
    assert np.flatnonzero(spikes(seconds, celsius)).tolist() == [100, 102, 104]


def test_a_last_reading_that_leaps_is_in_doubt_only_while_more_is_to_come() -> None:
    seconds, celsius = core()
    until = slice(0, 80)
    leapt = celsius[until].copy()
    leapt[-1] += 70.0
    assert not spikes(seconds[until], leapt).any()
    assert np.flatnonzero(spikes(seconds[until], leapt, is_going_on=True)).tolist() == [79]
    assert not spikes(seconds[until], celsius[until], is_going_on=True).any()


@pytest.mark.parametrize("count", [0, 1, 2])
def test_few_readings_tell_nothing(count: int) -> None:
    seconds, celsius = core()
    assert not spikes(seconds[:count], celsius[:count], is_going_on=True).any()


def test_a_reading_after_a_spike_that_came_back_is_good() -> None:
    seconds = 60.0 * np.arange(6)
    celsius = np.array([62.0, 63.0, 64.0, 65.0, 159.0, 66.0])
    assert np.flatnonzero(spikes(seconds, celsius, is_going_on=True)).tolist() == [4]


@pytest.mark.parametrize(("off", "count"), [(-30.0, 0), (30.0, 1)])
def test_a_fall_in_a_slow_log_is_believed_and_a_rise_is_not(off: float, count: int) -> None:
    seconds = 1200.0 * np.arange(6)
    celsius = np.array([100.0, 110.0, 116.0, 118.0, 119.0, 119.5])
    celsius[3] += off
    assert int(spikes(seconds, celsius).sum()) == count


def test_a_spike_is_found_where_a_core_rises_quickly_between_readings() -> None:
    seconds = 900.0 * np.arange(8)
    celsius = np.array([20.0, 22.0, 35.0, 52.0, 159.0, 84.0, 96.0, 105.0])
    assert np.flatnonzero(spikes(seconds, celsius)).tolist() == [4]


def test_a_slip_does_not_make_the_good_readings_before_it_leap() -> None:
    fahrenheit = np.array([68.0, 150.0, 200.0, 250.0, 121.0, 250.0, 250.0, 250.0])
    celsius = (fahrenheit - 32.0) / 1.8
    for length in range(6, 9):
        t = 300.0 * np.arange(length)
        found = np.flatnonzero(spikes(t, celsius[:length], is_going_on=True))
        assert found.tolist() == [4]
