"""Bench, filters, gaps and fans: what a grid says, what is due, what cannot be."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.errors import InputError
from pinset.science.air.bench import dirty_pressure, face_flow, face_of
from pinset.science.air.falling import falls_at
from pinset.science.air.fans import at_speed, fan_power, speed_of, velocity_pressure
from pinset.science.air.filters import (
    Filter,
    Resistance,
    days_to_change,
    filter_of,
    filters_known,
    passes,
    resistance,
)
from pinset.science.air.pressure import cracks_of, gap_of, leakage, pressure_held
from pinset.science.air.ranges import Range

EFFICIENCIES = st.lists(st.floats(0.0, 1.0), max_size=5)


def test_a_grid_of_readings() -> None:
    grid = [0.45, 0.44, 0.46, 0.30, 0.45, 0.47, 0.60, 0.45, 0.43]
    found = face_of(grid)
    assert found.mean_m_s == pytest.approx(0.45)
    assert (found.least_m_s, found.most_m_s) == (0.30, 0.60)
    assert (found.slow, found.fast) == ((3,), (6,))
    assert not found.is_in_window
    assert found.has_enough_points
    assert found.window == (0.36, 0.54)
    own = face_of(grid[:3], Range(0.3, 0.4, 0.5))
    assert own.is_in_window
    assert not own.has_enough_points
    assert 0.0 < own.spread < 0.03


def test_the_fan_is_sized_at_loaded_filters() -> None:
    flow = face_flow(1.2, 0.6, 0.45)
    clean, loaded = dirty_pressure([125.0]), dirty_pressure([250.0, 100.0], casing_pa=30.0)
    assert loaded == 380.0
    assert fan_power(flow, loaded, 0.5) == pytest.approx(fan_power(flow, clean, 0.5) * 380 / 125)


def test_a_loaded_filter_is_known_at_whatever_flow() -> None:
    assert resistance(120.0, 130.0) == (pytest.approx(1.0833, abs=1e-3), Resistance.FINE)
    assert resistance(120.0, 190.0)[1] is Resistance.SOON
    assert resistance(120.0, 190.0, flow_ratio=0.7)[1] is Resistance.DUE


def test_days_until_it_is_due() -> None:
    found = days_to_change([0.0, 50.0, 100.0], [100.0, 112.5, 125.0])
    assert found is not None
    assert found.ends == pytest.approx((100.0, 200.0, 300.0))
    assert days_to_change([0.0, 50.0], [100.0, 99.0]) is None
    late = days_to_change([0.0, 10.0], [100.0, 300.0])
    assert late == Range.exactly(0.0)


@given(EFFICIENCIES)
def test_what_passes_is_a_share(efficiencies: list[float]) -> None:
    share = passes([Filter(str(n), each, "one size") for n, each in enumerate(efficiencies)])
    assert 0.0 <= share <= 1.0


def test_filters_of_different_tests_are_not_multiplied() -> None:
    with pytest.raises(InputError, match="one size"):
        passes([filter_of("filter.f7"), filter_of("filter.h14")])
    assert "filter.us-hepa" in filters_known()


def test_the_us_hepa_of_the_worst_room_is_not_iso_5() -> None:
    """air.md section 1.4: 99.97 % fed with ISO 9 air passes 10 560, H14 1 760 per m3."""
    assert 3.52e7 * passes([filter_of("filter.us-hepa")]) == pytest.approx(10_560)
    assert 3.52e7 * passes([filter_of("filter.h14")]) == pytest.approx(1_760)


def test_gaps_there_and_back() -> None:
    flow = leakage(0.02, 12.5)
    assert gap_of(flow, 12.5) == pytest.approx(0.02)
    assert pressure_held(flow, 0.02) == pytest.approx(12.5)
    assert pressure_held(0.0, 0.02) == 0.0


def test_cracks_by_one_and_two_readings() -> None:
    one = cracks_of([10.0], [0.05])
    assert one.power == 0.65
    assert one.flow(10.0) == pytest.approx(0.05)
    two = cracks_of([30.0, 5.0], [0.05 * 6**0.6, 0.05])
    assert two.power == pytest.approx(0.6)
    assert two.pressure(two.flow(17.0)) == pytest.approx(17.0)


def test_fan_laws_and_velocity_pressure() -> None:
    assert at_speed(0.8).power == pytest.approx(0.512)
    assert at_speed(0.8).flow * at_speed(0.8).pressure == pytest.approx(at_speed(0.8).power)
    assert speed_of(velocity_pressure(7.0)) == pytest.approx(7.0)


def test_small_things_fall_slowly() -> None:
    assert falls_at(2.5) < falls_at(3.0) < falls_at(12.0)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (lambda: face_of([]), "face speeds"),
        (lambda: face_of([-0.1]), "face speed"),
        (lambda: face_flow(0.0, 1.0, 0.45), "bench face"),
        (lambda: dirty_pressure([-1.0]), "pressure drop"),
        (lambda: fan_power(-1.0, 1.0, 0.5), "air flow"),
        (lambda: fan_power(1.0, 1.0, 0.0), "fan efficiency"),
        (lambda: at_speed(0.0), "fan speed"),
        (lambda: speed_of(-1.0), "velocity pressure"),
        (lambda: Filter("x", 1.1, "one size"), "filter efficiency"),
        (lambda: filter_of("filter.z9"), "key and name"),
        (lambda: resistance(0.0, 1.0), "pressure drops"),
        (lambda: days_to_change([0.0], [1.0]), "filter readings"),
        (lambda: days_to_change([1.0, 0.0], [1.0, 2.0]), "filter readings"),
        (lambda: leakage(-1.0, 1.0), "gap"),
        (lambda: pressure_held(-0.1, 0.02), "sucks unfiltered air in"),
        (lambda: pressure_held(0.1, 0.0), "gaps"),
        (lambda: gap_of(0.0, 1.0), "flow and pressure"),
        (lambda: cracks_of([], []), "one or two pairs"),
        (lambda: cracks_of([5.0, 5.0], [1.0, 2.0]), "two that differ"),
        (lambda: cracks_of([5.0, 10.0], [1.0, 4.0]), "Measure again"),
        (lambda: falls_at(500.0), "diameter"),
    ],
)
def test_what_cannot_be(wrong: object, words: str) -> None:
    with pytest.raises(InputError, match=words):
        wrong()  # type: ignore[operator]
