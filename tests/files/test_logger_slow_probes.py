"""A core that turns slowly, read in coarse steps, is not stuck; one that stops is."""

from __future__ import annotations

import numpy as np
import pytest
from numpy import float64
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline, PchipInterpolator

from pinset.files.logger.reader import read_log

Values = NDArray[float64]


def findings(minutes: Values, core: Values) -> set[str]:
    hold = np.interp(minutes, [0, 40, 400, 440, 800], [18, 121, 121, 60, 30])
    rows = zip(minutes, hold, core, strict=True)
    lines = ["min,chamber °C,bag core °C", *(f"{m:g},{a:.1f},{b:.1f}" for m, a, b in rows)]
    return {each.id for each in read_log("\n".join(lines).encode(), "cook.csv").findings}


def turning(minutes: Values, before: float, after: float, top: float) -> Values:
    """Return a core with its peak at 430 min, a parabola there and straight from an hour off on.

    It is lower by ``before`` and ``after`` times the square of the hundreds of minutes off.
    """
    off = np.abs(minutes - 430.0) / 100.0
    fall = np.where(off < 0.6, off**2, 1.2 * off - 0.36)
    return np.maximum(top - np.where(minutes < 430.0, before, after) * fall, 18.0)


@pytest.mark.parametrize("top", [112.49, 112.3, 112.0, 111.51])
@pytest.mark.parametrize(("before", "after"), [(16.0, 16.0), (10.0, 30.0), (5.0, 5.0)])
@pytest.mark.parametrize(("every", "step"), [(5.0, 1.0), (1.0, 1.0), (1.0, 0.5)])
def test_a_peak_by_coarse_steps_is_not_stuck(
    every: float, step: float, before: float, after: float, top: float
) -> None:
    """Around a peak a probe falls with the square of time: the next step is 0.21 as long."""
    minutes = np.arange(0.0, 701.0, every)
    core = turning(minutes, before, after, top)
    assert "log.stuck" not in findings(minutes, np.round(core / step) * step)


@pytest.mark.parametrize("seed", range(4))
def test_a_peak_that_flickers_between_two_steps_is_not_stuck(seed: int) -> None:
    minutes = np.arange(0.0, 701.0, 1.0)
    noise = np.random.default_rng(seed).normal(0.0, 0.04, len(minutes))
    core = turning(minutes, 14.0, 20.0, 112.45) + noise
    assert "log.stuck" not in findings(minutes, np.round(core))


@pytest.mark.parametrize("least", [99.51, 99.7, 100.1])
def test_a_valley_by_coarse_steps_is_not_stuck(least: float) -> None:
    """As after a pause in the steam."""
    minutes = np.arange(0.0, 801.0, 1.0)
    seen = ((0, 18), (60, 30), (150, 95), (210, 104), (300, least), (380, 110), (440, 112))
    times, core = np.transpose([*seen, (600, 70), (800, 35)])
    assert "log.stuck" not in findings(minutes, np.round(CubicSpline(times, core)(minutes)))


@pytest.mark.parametrize("stopped", [60, 120])
@pytest.mark.parametrize("at", [250, 300, 380])
def test_a_core_that_stops_for_a_while_is_stuck(at: int, stopped: int) -> None:
    """It heats by a degree in five minutes, stops, and goes on where it should be by then."""
    minutes = np.arange(0.0, 801.0, 1.0)
    core = np.round(np.interp(minutes, [0, 100, 430, 800], [18, 30, 100, 30]))
    core[at : at + stopped] = core[at]
    assert "log.stuck" in findings(minutes, core)


def test_a_core_that_stops_for_good_is_stuck() -> None:
    minutes = np.arange(0.0, 801.0, 1.0)
    core = np.round(np.interp(minutes, [0, 100, 430, 800], [18, 30, 100, 30]))
    core[300:] = core[300]
    assert "log.stuck" in findings(minutes, core)


def test_whole_degrees_celsius_written_in_fahrenheit_go_by_two_of_them() -> None:
    """As 207, 208, 210: a core that slows down while the steam is off, and goes on."""
    minutes = np.arange(0.0, 601.0, 1.0)
    hold = np.interp(
        minutes, [0, 40, 200, 215, 240, 260, 560, 600], [12, 121, 121, 99, 99, 121, 121, 60]
    )
    seen = ((0, 12), (40, 14), (120, 60), (190, 92), (230, 97.6), (270, 98.4), (330, 107))
    times, core = np.transpose([*seen, (450, 117), (600, 119)])
    read = np.round(np.round(PchipInterpolator(times, core)(minutes)) * 1.8 + 32.0)
    rows = zip(minutes, hold, read, strict=True)
    lines = ["min,chamber °C,jar core °F", *(f"{m:g},{a:.1f},{b:.1f}" for m, a, b in rows)]
    found = read_log("\n".join(lines).encode(), "cook.csv").findings
    assert "log.stuck" not in {each.id for each in found}
