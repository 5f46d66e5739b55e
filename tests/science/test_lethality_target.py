"""When a lethality is reached, and how long to hold on for it."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.errors import InputError
from pinset.science.lethality.lethality import f_of_log
from pinset.science.lethality.target import hold_to_reach, seconds_to_reach


@given(
    st.lists(st.tuples(st.floats(1.0, 1000.0), st.floats(90.0, 130.0)), min_size=2, max_size=9),
    st.floats(0.001, 0.999),
)
def test_a_log_cut_there_has_earned_it(pairs: list[tuple[float, float]], share: float) -> None:
    steps, readings = (np.array(each) for each in zip(*pairs, strict=True))
    seconds = np.cumsum(steps)
    target = share * f_of_log(seconds, readings)
    reached = seconds_to_reach(target, seconds, readings)
    assert reached is not None
    assert seconds[0] <= reached <= seconds[-1]
    before = seconds < reached
    cut = (
        np.append(seconds[before], reached),
        np.append(readings[before], np.interp(reached, seconds, readings)),
    )
    if len(cut[0]) > 1:
        assert f_of_log(*cut) == pytest.approx(target, rel=1e-7, abs=1e-12)


@pytest.mark.parametrize(
    "readings", [[115.0, 115.0], [110.0, 120.0], [120.0, 110.0], [30.0, 125.0]]
)
def test_the_whole_and_nothing(readings: list[float]) -> None:
    seconds = [100.0, 700.0]
    whole = f_of_log(seconds, readings)
    assert seconds_to_reach(whole * (1 - 1e-9), seconds, readings) == pytest.approx(700.0, abs=1e-3)
    assert seconds_to_reach(whole, seconds, readings) == pytest.approx(700.0, abs=0.1)
    assert seconds_to_reach(0.0, seconds, readings) == 100.0
    assert seconds_to_reach(whole * 1.001, seconds, readings) is None


@pytest.mark.parametrize("apart", [0.0, 1e-13, 1e-9, 1e-5])
def test_nearly_flat_readings(apart: float) -> None:
    reached = seconds_to_reach(5.0, [0.0, 1200.0], [121.1, 121.1 + apart])
    assert reached == pytest.approx(300.0, rel=1e-5)


def test_a_steep_rise_from_the_cold() -> None:
    """Nearly all is earned in the last seconds of the rise, and the time says so."""
    reached = seconds_to_reach(0.1, [0.0, 600.0], [-60.0, 125.0])
    assert reached is not None
    hot = -60.0 + 185.0 * reached / 600.0
    assert f_of_log([0.0, reached], [-60.0, hot]) == pytest.approx(0.1, rel=1e-9)


@given(st.floats(0.0, 30.0), st.floats(0.0, 30.0), st.floats(95.0, 130.0))
def test_holding_on_reaches_it(target: float, earned: float, celsius: float) -> None:
    longer = hold_to_reach(target, earned, celsius)
    assert longer >= 0.0
    if longer > 1e-6:
        both = earned + f_of_log([0.0, longer], [celsius, celsius])
        assert both == pytest.approx(target, rel=1e-12)
    else:
        assert earned >= target - 1e-6


def test_positions_at_once() -> None:
    longer = hold_to_reach(15.0, np.array([15.5, 5.0, 5.0]), np.array([121.1, 121.1, 111.1]))
    assert longer == pytest.approx([0.0, 600.0, 6000.0])
    assert type(hold_to_reach(15.0, 5.0, 121.1)) is float
    assert hold_to_reach(15.0, [5.0, 6.0], 121.1).shape == (2,)


def test_an_interrupted_cook_keeps_what_it_earned() -> None:
    seconds, readings = [0.0, 1800.0, 2400.0, 3600.0], [20.0, 121.1, 121.1, 60.0]
    earned = f_of_log(seconds, readings)
    longer = hold_to_reach(15.0, earned, 121.1)
    assert longer == pytest.approx((15.0 - earned) * 60.0)
    assert longer < 300.0


def test_wrong_calls() -> None:
    for target in (-1.0, math.nan):
        with pytest.raises(InputError, match="target_minutes"):
            seconds_to_reach(target, [0.0, 1.0], [100.0, 100.0])
        with pytest.raises(InputError, match="target_minutes"):
            hold_to_reach(target, 0.0, 121.0)
    with pytest.raises(InputError, match="one log"):
        seconds_to_reach(1.0, [0.0, 1.0], [[100.0, 100.0]])
    with pytest.raises(InputError, match="times that rise"):
        seconds_to_reach(1.0, [1.0, 0.0], [100.0, 100.0])
    with pytest.raises(InputError, match="f_minutes"):
        hold_to_reach(15.0, -1.0, 121.0)
    with pytest.raises(InputError, match="temperature_c"):
        hold_to_reach(15.0, 1.0, math.nan)
