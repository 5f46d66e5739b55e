"""A unit under its chamber: vapour against the reference table, a brick against its own series."""

from __future__ import annotations

import numpy as np
import pytest

from pinset.science.heating.heated_unit import Conducting, Moist, ring_of, unit_of
from pinset.science.heating.heating import Brick, Cylinder, Material
from pinset.science.lethality.target import seconds_to_reach
from pinset.science.steam.steam import saturation_pressure

BAG = Cylinder(0.075, 0.2)
STUFF = Material(0.3, 1.99e6, 100.0)
SECONDS = np.arange(0.0, 14 * 3600.0 + 1.0, 60.0)
STEAM = 121.2


def ramp(hot_c: float) -> np.ndarray:
    return np.interp(SECONDS, [0.0, 1800.0], [20.0, hot_c])


def minutes_to(core: np.ndarray, celsius: float) -> float:
    return float(np.interp(celsius, core, SECONDS)) / 60.0


# Reference notes on heat, section 5: free air, core at 95 degC in open steam of 99.5 degC and in
# steam of 121.2 degC, F0 of 15 min; minutes from steam-on, computed by a run of their own.
TABLE = [(0.05, 211.0, 170.0, 233.0), (0.15, 148.0, 135.0, 173.0), (0.30, 116.0, 111.0, 142.0)]


@pytest.mark.parametrize(("free_air", "open_95", "steam_95", "sterile"), TABLE)
def test_vapour_against_the_reference_table(
    free_air: float, open_95: float, steam_95: float, sterile: float
) -> None:
    unit = Moist(BAG, STUFF, free_air, float(saturation_pressure(STEAM)))
    core = unit.core(SECONDS, ramp(STEAM), 20.0)
    assert minutes_to(core, 95.0) == pytest.approx(steam_95, abs=1.5)
    reached = seconds_to_reach(15.0, SECONDS, core)
    assert reached is not None
    assert reached / 60.0 == pytest.approx(sterile, rel=0.02)
    open_steam = Moist(BAG, STUFF, free_air, 101.325).core(SECONDS, ramp(99.5), 20.0)
    assert minutes_to(open_steam, 95.0) == pytest.approx(open_95, abs=1.5)


def test_without_vapour_the_grid_is_the_series() -> None:
    moist = Moist(BAG, STUFF, 1e-9, 205.0).core(SECONDS, ramp(STEAM), 20.0)
    series = Conducting(BAG, STUFF).core(SECONDS, ramp(STEAM), 20.0)
    assert np.abs(moist - series).max() < 0.6, "coarse: 0.6 K where it is steepest"
    ends = [seconds_to_reach(15.0, SECONDS, each) for each in (moist, series)]
    assert ends[0] == pytest.approx(ends[1], rel=0.005)
    assert isinstance(unit_of(BAG, STUFF, 0.0, 205.0), Conducting)


BRICKS = [
    Brick(0.18, 0.12, 0.16),
    Brick(0.13, 0.13, 0.2),
    Brick(0.3, 0.1, 0.15),
    Brick(0.4, 0.12, 0.3),
]


@pytest.mark.parametrize("brick", BRICKS)
@pytest.mark.parametrize("surface", [30.0, 100.0])
def test_a_ring_heats_as_fast_as_its_brick(brick: Brick, surface: float) -> None:
    stuff = Material(0.4, 2e6, surface)
    ends = [
        seconds_to_reach(15.0, SECONDS, Conducting(shape, stuff).core(SECONDS, ramp(STEAM), 20.0))
        for shape in (brick, ring_of(brick, stuff))
    ]
    assert ends[0] is not None
    assert ends[1] is not None
    assert -0.006 <= ends[1] / ends[0] - 1.0 <= 0.013


def test_one_conductivity_for_vapour_is_early_at_first_and_late_at_last() -> None:
    moist = Moist(BAG, STUFF, 0.15, 205.7)
    even = moist.evened(20.0, STEAM)
    cores = [each.core(SECONDS, ramp(STEAM), 20.0) for each in (moist, even)]
    assert minutes_to(cores[1], 60.0) < minutes_to(cores[0], 60.0)
    sterile = [seconds_to_reach(15.0, SECONDS, core) for core in cores]
    assert sterile[0] is not None
    assert sterile[1] is not None
    assert sterile[1] > sterile[0]
