"""Readings of a cook that goes on which can't be: they count for nothing and end no cook."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pinset.science.heating.heated_unit import Conducting
from pinset.science.heating.heating import Cylinder, Material
from pinset.science.judging.hot_core import hotter_than_chamber
from pinset.science.judging.records import Rule
from pinset.science.steam.steam import saturation_pressure
from pinset.science.watching.doubts import leaping
from pinset.science.watching.going_on import WatchedLoad
from pinset.science.watching.watching import Watching, watch

NAN = float("nan")
UNIT = Conducting(Cylinder(0.075, 0.2), Material(0.3, 2.0e6, 500.0))
LOAD = WatchedLoad(
    cases=(("cautious", UNIT),),
    start_c=20.0,
    wanted_c=121.1,
    come_up_s=1800.0,
    atmosphere_kpa=101.325,
)
F0 = Rule(f0=15.0)
MINUTES = np.arange(0.0, 80.0)
CHAMBER = np.interp(MINUTES, [0.0, 30.0], [20.0, 121.1])
CORE = np.interp(MINUTES, [0.0, 80.0], [20.0, 82.0])


def seen(
    core_c: np.ndarray | None,
    chamber_c: np.ndarray | None = CHAMBER,
    *,
    minutes: np.ndarray = MINUTES,
    kpa: np.ndarray | None = None,
    load: WatchedLoad = LOAD,
) -> Watching:
    """Return a cook that is watched by these readings."""
    nothing = np.full(len(minutes), NAN)
    probe, pressure, inside = (
        nothing if each is None else each for each in (chamber_c, kpa, core_c)
    )
    return watch(60.0 * minutes, probe, pressure, inside, load, F0)


def test_one_reading_of_159_degrees_ends_no_cook() -> None:
    core = CORE.copy()
    core[60] = 159.0
    for until in (61, 62, 80):
        plain = seen(CORE[:until], CHAMBER[:until], minutes=MINUTES[:until]).cores[0]
        found = seen(core[:until], CHAMBER[:until], minutes=MINUTES[:until])
        [leap] = found.leaps
        assert (leap.record, leap.seconds, leap.celsius) == ("core", 3600.0, 159.0)
        assert leap.is_last is (until == 61)
        assert found.cores[0].earned.reached_s is None
        assert found.cores[0].earned.f0 == pytest.approx(plain.earned.f0, rel=0.3, abs=1e-4)
    assert found.cores[0].now_c == plain.now_c


@pytest.mark.parametrize("step", [1.0, 5.0, 10.0, 20.0, 30.0])
@pytest.mark.parametrize("spiked", ["core", "chamber", "gauge"])
def test_however_far_apart_one_reading_ends_no_cook(step: float, spiked: str) -> None:
    minutes = np.arange(0.0, 121.0, step)
    chamber = np.interp(minutes, [0.0, 30.0], [20.0, 108.0])
    core = np.interp(minutes, [0.0, 120.0], [20.0, 90.0])
    kpa = saturation_pressure(chamber)
    jar = replace(LOAD, cases=(("cautious", Conducting(Cylinder(0.02, 0.05), UNIT.material)),))
    if spiked == "core":
        core[-1] = 159.0
        found = seen(core, chamber, minutes=minutes)
    elif spiked == "chamber":
        chamber[-1] = 159.0
        found = seen(None, chamber, minutes=minutes, load=jar)
    else:
        kpa[-1] = saturation_pressure(159.0)
        found = seen(None, None, kpa=kpa, minutes=minutes, load=jar)
    assert found.cores[0].earned.reached_s is None
    if found.leaps:
        assert [each.record for each in found.leaps] == [spiked]


def test_a_chamber_that_fell_is_believed_at_once() -> None:
    chamber = CHAMBER.copy()
    chamber[70:] = 60.0
    found = seen(None, chamber[:71], minutes=MINUTES[:71])
    assert found.leaps == ()
    assert found.chamber is not None
    assert found.chamber.now_c == 60.0


def test_a_plug_that_fell_out_for_a_minute_is_left_out() -> None:
    core, chamber = CORE.copy(), CHAMBER.copy()
    core[50], chamber[55] = -20.0, 25.0
    found = seen(core, chamber)
    assert [(each.record, each.celsius) for each in found.leaps] == [
        ("core", -20.0),
        ("chamber", 25.0),
    ]
    assert found.cores[0].earned.f0 == pytest.approx(seen(CORE).cores[0].earned.f0, rel=1e-3)


def test_a_fall_between_readings_far_apart_is_believed() -> None:
    minutes = np.arange(0.0, 200.0, 20.0)
    chamber = np.array([20.0, 80.0, 121.0, 121.0, 100.0, 121.0, 121.0, 121.0, 121.0, 121.0])
    assert not np.any(leaping(60.0 * minutes, chamber, is_core=False))


def test_readings_that_stay_where_they_leapt_to_count() -> None:
    core = np.where(MINUTES < 60.0, CORE, CORE + 20.0)
    found = seen(core)
    assert found.leaps == ()


@given(st.floats(2.0, 30.0), st.integers(3, 40))
@settings(max_examples=40, deadline=None)
def test_a_core_hotter_than_its_chamber_earns_nothing(above_k: float, lasts: int) -> None:
    minutes = np.arange(0.0, 400.0, 2.0)
    chamber = np.interp(minutes, [0.0, 30.0], [20.0, 121.1])
    core = np.minimum(np.interp(minutes, [0.0, 150.0], [20.0, 121.1]) - 0.2, 110.0)
    core[-lasts:] = 121.1 + above_k
    error_k = LOAD.core_error_k + LOAD.probe_error_k
    too_hot, summary = hotter_than_chamber(60.0 * minutes, core, chamber, error_k)
    assert summary is not None
    assert summary.is_now
    assert summary.most_k == pytest.approx(above_k)
    assert int(np.sum(too_hot)) == lasts
    found = seen(core, chamber, minutes=minutes)
    calm = seen(core[:-lasts], chamber[:-lasts], minutes=minutes[:-lasts])
    if not found.leaps:
        assert found.cores[0].earned.f0_counted <= calm.cores[0].earned.f0_counted + 1e-9


def test_a_core_may_be_hotter_than_a_chamber_that_fell_or_was_filled_hot() -> None:
    fell = np.interp(MINUTES, [0.0, 30.0, 60.0, 70.0], [20.0, 121.1, 121.1, 60.0])
    core = np.interp(MINUTES, [0.0, 50.0, 80.0], [20.0, 118.0, 112.0])
    assert seen(core, fell).hot_core is None
    filled = np.interp(MINUTES, [0.0, 20.0, 80.0], [88.0, 80.0, 95.0])
    assert seen(filled, CHAMBER).hot_core is None


def test_noise_within_both_errors_is_no_hot_core() -> None:
    noise = np.where(np.arange(len(MINUTES)) % 2 == 0, 0.8, -0.8)
    assert seen(CHAMBER + noise).hot_core is None


def test_a_chamber_read_no_more_says_nothing_of_the_core() -> None:
    chamber = np.where(MINUTES <= 15.0, CHAMBER, NAN)
    core = np.interp(MINUTES, [0.0, 50.0], [20.0, 121.0])
    assert seen(core, chamber).hot_core is None
