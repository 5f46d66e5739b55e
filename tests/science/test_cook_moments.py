"""From when on a cook was enough: by curves whose answer is known beforehand."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.science.judging.cook_moments import (
    earned_along,
    longest_hold_s,
    rate_along,
    reached_s,
    stretches_above,
)
from pinset.science.judging.judging import judge
from pinset.science.judging.records import Probe, Role, Rule
from pinset.science.lethality.lethality import f_of_log

MINUTES = np.arange(61.0)
STEP = np.where((MINUTES >= 10.0) & (MINUTES <= 40.0), 121.1, 60.0)
RAMP = np.interp(MINUTES, [0.0, 10.0, 40.0, 60.0], [21.0, 121.0, 121.0, 21.0])


def test_a_minute_at_the_reference_earns_a_minute() -> None:
    """By definition of F0; the rise of the minute before 10 earns 0.0711 by the closed form."""
    rise = (1.0 - 10.0**-6.11) / (6.11 * np.log(10.0))
    at = reached_s(MINUTES * 60.0, STEP, Rule(f0=15.0))
    assert at == 25.0 * 60.0, "first reading after 10 + 15 - rise"
    assert earned_along(MINUTES * 60.0, STEP)[25] == pytest.approx(15.0 + rise)
    assert reached_s(MINUTES * 60.0, STEP, Rule(f0=60.0)) is None


def test_a_hold_counts_from_the_crossing() -> None:
    assert stretches_above(MINUTES * 60.0, RAMP, 71.0) == ((300.0, 3000.0),)
    assert longest_hold_s(MINUTES * 60.0, RAMP, 71.0) == (300.0, 3000.0)
    rule = Rule(hold_c=71.0, hold_minutes=30.0)
    assert reached_s(MINUTES * 60.0, RAMP, rule) == pytest.approx(35.0 * 60.0)
    assert reached_s(MINUTES * 60.0, RAMP, Rule(hold_c=71.0, hold_minutes=46.0)) is None
    assert longest_hold_s(MINUTES * 60.0, RAMP, 130.0) is None


def test_both_are_waited_for() -> None:
    rule = Rule(f0=1.0, hold_c=100.0, hold_minutes=31.0)
    hold_only = Rule(hold_c=100.0, hold_minutes=31.0)
    assert reached_s(MINUTES * 60.0, RAMP, rule) == reached_s(MINUTES * 60.0, RAMP, hold_only)


def test_a_dip_ends_a_hold() -> None:
    dipped = RAMP.copy()
    dipped[20] = 100.0
    begin, end = longest_hold_s(MINUTES * 60.0, dipped, 119.0) or (0.0, 0.0)
    assert 20.0 * 60.0 < begin < end


@given(st.lists(st.floats(60.0, 130.0), min_size=3, max_size=50), st.floats(0.01, 60.0))
def test_enough_is_never_told_too_early(core: list[float], asked: float) -> None:
    seconds = np.arange(len(core)) * 300.0
    at = reached_s(seconds, np.array(core), Rule(f0=asked))
    if at is None:
        assert f_of_log(seconds, core) < asked
        return
    until = int(at / 300.0) + 1
    assert f_of_log(seconds[:until], core[:until]) >= asked * (1.0 - 1e-12)


def test_gaps_are_left_out_and_kept() -> None:
    core = RAMP.copy()
    core[20:25] = np.nan
    assert np.isnan(rate_along(core)[20:25]).all()
    assert rate_along(core)[30] == pytest.approx(10.0**-0.01)
    assert np.isnan(earned_along(MINUTES * 60.0, core)[20:25]).all()
    whole, gapped = earned_along(MINUTES * 60.0, RAMP), earned_along(MINUTES * 60.0, core)
    assert gapped[-1] == pytest.approx(whole[-1] - 6.0 * 10.0**-0.01), "6 min nobody saw at 121"


def test_a_lone_reading_reaches_nothing() -> None:
    core = np.full(61, np.nan)
    core[5] = 140.0
    assert reached_s(MINUTES * 60.0, core, Rule(f0=0.1)) is None


def test_what_a_hot_gap_hides_is_not_earned_in_the_drawing_either() -> None:
    seconds = 60.0 * np.arange(121.0)
    core = np.full(121, 121.1)
    core[40:90] = np.nan
    earned = earned_along(seconds, core)
    judged = judge(seconds, [Probe("core", Role.CORE, core)], Rule(f0=15.0))
    assert earned[-1] == pytest.approx(judged.positions[0].f0_min)
    assert earned[-1] == pytest.approx(39.0 + 30.0)
    assert earned[90] == pytest.approx(39.0)
    assert longest_hold_s(seconds, core, 121.0) == (0.0, 39.0 * 60.0)
