"""Steps, falls with no cause and values frozen at their peak; and real cores, which show none."""

from __future__ import annotations

import numpy as np
import pytest
from numpy import float64
from numpy.typing import NDArray

from pinset.science.heating.grid import Face, heat_on_grid
from pinset.science.heating.grid_cells import Layer, Vessel
from pinset.science.heating.heating import Cylinder, Material, core_curve, modes_of
from pinset.science.judging.core_doubts import doubt_of_core
from pinset.science.judging.core_moves import falls_alone, steps_up

Values = NDArray[float64]

ERRORS_K = 1.0
GRAIN = Material(0.6, 2.0e6, 100.0)
AGAR = Material(0.6, 4.0e6, 500.0)
UNITS = [
    pytest.param(Cylinder(0.075, 0.2), GRAIN, id="bag"),
    pytest.param(Cylinder(0.045, 0.12), GRAIN, id="jar"),
    pytest.param(Cylinder(0.04, 0.1), AGAR, id="agar"),
]
CORNERS = [0.0, 20.0, 35.0, 215.0, 230.0, 275.0, 360.0]
DEGREES = [20.0, 100.0, 121.5, 121.5, 100.0, 35.0, 30.0]


def cook(shape: Cylinder, material: Material, every_s: float = 60.0) -> tuple[Values, ...]:
    seconds = np.arange(0.0, 21_601.0, every_s)
    chamber = np.interp(seconds / 60.0, CORNERS, DEGREES)
    return seconds, chamber, core_curve(modes_of(shape, material), seconds, chamber, 20.0)


def noisy(values: Values, noise_k: float, seed: int = 3) -> Values:
    return values + np.random.default_rng(seed).normal(0.0, noise_k, len(values))


@pytest.mark.parametrize("noise_k", [0.0, 0.05, 0.2])
@pytest.mark.parametrize("every_s", [5.0, 60.0])
@pytest.mark.parametrize("at_min", [40.0, 80.0, 120.0, 160.0])
@pytest.mark.parametrize(("shape", "material"), UNITS)
def test_a_core_that_steps_up_is_in_doubt_until_somebody_says_it_is_one(
    shape: Cylinder, material: Material, at_min: float, every_s: float, noise_k: float
) -> None:
    seconds, chamber, core = cook(shape, material, every_s)
    stepped = noisy(core + 4.0 * (seconds >= 60.0 * at_min), noise_k)
    assert "steps up by" in steps_up(seconds, stepped)
    assert doubt_of_core(seconds, stepped, [chamber], ERRORS_K) != ""
    assert doubt_of_core(seconds, stepped, [], ERRORS_K) != ""
    assert doubt_of_core(seconds, stepped, [chamber], ERRORS_K, is_said=True) == ""


@pytest.mark.parametrize("period_min", [20.0, 40.0, 60.0])
@pytest.mark.parametrize(("shape", "material"), UNITS)
def test_a_core_that_swings_in_a_steady_chamber_is_in_doubt(
    shape: Cylinder, material: Material, period_min: float
) -> None:
    seconds, chamber, core = cook(shape, material)
    swings = noisy(core + 7.0 * np.sin(2.0 * np.pi * seconds / (60.0 * period_min)), 0.2)
    assert doubt_of_core(seconds, swings, [noisy(chamber, 0.2, 4)], ERRORS_K) != ""
    assert "the chamber fell by" in falls_alone(seconds, swings, [chamber])


@pytest.mark.parametrize("start_c", [5.0, 20.0, 60.0, 85.0])
@pytest.mark.parametrize("every_s", [5.0, 60.0, 300.0])
@pytest.mark.parametrize("places", [0, 1])
@pytest.mark.parametrize(("swing_k", "period_min"), [(0.0, 10.0), (4.0, 5.0), (8.0, 25.0)])
@pytest.mark.parametrize(("shape", "material"), UNITS)
def test_a_real_core_neither_steps_nor_falls_alone(
    shape: Cylinder,
    material: Material,
    swing_k: float,
    period_min: float,
    places: int,
    every_s: float,
    start_c: float,
) -> None:
    """However its burner goes on and off, and however coarse its logger is."""
    seconds, chamber, _ = cook(shape, material, every_s)
    minutes = seconds / 60.0
    on_and_off = np.sign(np.sin(2.0 * np.pi * minutes / period_min))
    chamber += swing_k / 2.0 * on_and_off * ((minutes > 35.0) & (minutes < 215.0))
    core = core_curve(modes_of(shape, material), seconds, chamber, start_c)
    read = [np.round(noisy(each, 0.2, n), places) for n, each in enumerate((core, chamber))]
    assert steps_up(seconds, read[0]) == ""
    assert falls_alone(seconds, read[0], [read[1]]) == ""


def test_back_from_a_dip_is_no_step_and_a_lone_reading_no_fall() -> None:
    seconds, chamber, core = cook(Cylinder(0.045, 0.12), GRAIN)
    dip = core - 6.0 * ((seconds > 7200.0) & (seconds < 8400.0))
    assert steps_up(seconds, dip) == ""
    assert "falls by 6 K" in falls_alone(seconds, dip, [chamber])
    lone = core - 30.0 * (seconds == 7200.0)
    assert falls_alone(seconds, lone, [chamber]) == ""
    assert falls_alone(seconds, dip, []) == ""


@pytest.mark.parametrize("until_min", [300.0, 330.0])
@pytest.mark.parametrize(("shape", "material"), UNITS)
def test_a_value_frozen_at_its_peak_shows_once_a_real_core_would_have_cooled(
    shape: Cylinder, material: Material, until_min: float
) -> None:
    seconds, chamber, core = cook(shape, material)
    peak = int(np.argmax(core))
    frozen = noisy(np.where(np.arange(len(core)) > peak, core[peak], core), 0.05)
    kept = seconds <= 60.0 * until_min
    assert "it stands at" in doubt_of_core(seconds[kept], frozen[kept], [chamber[kept]], ERRORS_K)


@pytest.mark.parametrize("air", [4.0, 20.0])
@pytest.mark.parametrize("fall_min", [5.0, 30.0, 90.0])
@pytest.mark.parametrize("radius", [0.03, 0.045, 0.075, 0.15])
def test_a_load_that_cools_in_still_air_did_not_freeze(
    radius: float, fall_min: float, air: float
) -> None:
    """By the grid: a unit gives off heat to air far slower than it took it from steam."""
    hold_min = 24_000.0 * radius**1.5 / 2.0
    corners = [0.0, 35.0, 35.0 + hold_min, 35.0 + hold_min + fall_min, 1e5]
    seconds = 120.0 * np.arange(0.0, (hold_min + 900.0) / 2.0)
    chamber = np.interp(seconds / 60.0, corners, [20.0, 121.5, 121.5, 40.0, 30.0])
    surface = np.where(seconds / 60.0 <= 35.0 + hold_min, 100.0, air)
    face = Face(surface)
    unit = Vessel(radius, (Layer(2.5 * radius, GRAIN.conductivity, GRAIN.heat_capacity),))
    heated = heat_on_grid(
        unit,
        seconds,
        chamber,
        20.0,
        side=face,
        top=face,
        bottom=face,
        step=120.0,
        extrapolate=False,
    )
    core = noisy(heated.core.curve_c, 0.05)
    assert doubt_of_core(seconds, core, [chamber], ERRORS_K) == ""


def test_a_core_that_rises_beyond_every_usual_cycle_is_in_doubt_without_a_chamber() -> None:
    minutes = np.arange(0.0, 361.0)
    ramp = np.interp(minutes, [0.0, 200.0, 230.0, 360.0], [20.0, 140.0, 110.0, 40.0])
    for is_said in (False, True):
        assert "reads more than 137" in doubt_of_core(
            60.0 * minutes, ramp, [], ERRORS_K, is_said=is_said
        )
    assert doubt_of_core(60.0 * minutes, ramp - 6.0, [], ERRORS_K) == ""


@pytest.mark.parametrize("gap_min", [(62.3, 66.1), (62.4, 72.4), (61.4, 81.4), (40.3, 51.0)])
@pytest.mark.parametrize("every_s", [5.0, 20.0, 30.0])
@pytest.mark.parametrize(("shape", "material"), UNITS)
def test_a_hole_in_a_log_is_no_step(
    shape: Cylinder, material: Material, every_s: float, gap_min: tuple[float, float]
) -> None:
    """Its core rises meanwhile, and a median of readings on both sides would be of no moment."""
    seconds, chamber, core = cook(shape, material, every_s)
    kept = (seconds < 60.0 * gap_min[0]) | (seconds > 60.0 * gap_min[1])
    read, outside = noisy(core, 0.05)[kept], noisy(chamber, 0.05, 4)[kept]
    assert steps_up(seconds[kept], read) == ""
    assert falls_alone(seconds[kept], read, [outside]) == ""
    assert doubt_of_core(seconds[kept], read, [outside], ERRORS_K) == ""


def test_a_step_beside_a_hole_in_a_log_still_shows() -> None:
    seconds, _, core = cook(Cylinder(0.075, 0.2), GRAIN, 20.0)
    kept = (seconds < 3740.0) | (seconds > 4340.0)
    stepped = noisy(core + 4.0 * (seconds >= 6000.0), 0.05)
    assert "after 99 min it steps up by 4 K" in steps_up(seconds[kept], stepped[kept])
