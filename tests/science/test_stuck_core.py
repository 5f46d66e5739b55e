"""A core that stands at one value in a hot chamber is stuck; a slow one that moves is not."""

from __future__ import annotations

import numpy as np
import pytest
from numpy import float64
from numpy.typing import NDArray

from pinset.science.heating.heating import Cylinder, Material, core_curve, modes_of
from pinset.science.judging.core_doubts import doubt_of_core
from pinset.science.judging.stuck_core import stuck

Values = NDArray[float64]

MINUTES = np.arange(0.0, 481.0)
SECONDS = 60.0 * MINUTES
CHAMBER = np.interp(MINUTES, [0, 30, 400, 430, 480], [20.0, 121.0, 121.0, 100.0, 60.0])
SLOW = Material(0.15, 2.4e6, 60.0)  # as dry sawdust conducts, as wet as it holds heat


def core(radius: float, start_c: float = 20.0, material: Material = SLOW) -> Values:
    return core_curve(modes_of(Cylinder(radius, 3.0 * radius), material), SECONDS, CHAMBER, start_c)


def stuck_at(celsius: float, minutes: int, radius: float = 0.045) -> tuple[Values, Values, Values]:
    """Return a core that stands from when it comes to a value, so many minutes to the end."""
    inside = core(radius)
    at = int(np.argmax(inside >= celsius))
    assert CHAMBER[at + minutes - 1] > 120.0
    inside[at:] = celsius
    part = slice(0, at + minutes)
    return SECONDS[part], inside[part], CHAMBER[part]


@pytest.mark.parametrize("is_said", [False, True])
@pytest.mark.parametrize("celsius", [60.0, 85.0, 98.0])
def test_a_core_that_stands_for_eighty_minutes_is_named(celsius: float, *, is_said: bool) -> None:
    t, inside, outside = stuck_at(celsius, 81)
    found = doubt_of_core(t, inside, [outside], 1.0, is_said=is_said)
    assert f"it stands at {celsius:.1f} °C for" in found
    known = stuck(t, inside, outside)
    assert known is not None
    assert "stuck or not in the load" in known.words


@pytest.mark.parametrize("is_said", [False, True])
def test_one_that_never_moved_is_named(*, is_said: bool) -> None:
    inside = np.full(111, 85.0)
    found = doubt_of_core(SECONDS[:111], inside, [CHAMBER[:111]], 1.0, is_said=is_said)
    assert "it stands at 85.0 °C for" in found
    assert "stuck or not in the load" in found


@pytest.mark.parametrize("step_k", [0.1, 0.5, 1.0])
@pytest.mark.parametrize("radius", [0.05, 0.08, 0.12, 0.2])
@pytest.mark.parametrize("start_c", [5.0, 20.0, 60.0])
def test_a_truly_slow_core_by_a_coarse_logger_is_not(
    step_k: float, radius: float, start_c: float
) -> None:
    inside = np.round(core(radius, start_c) / step_k) * step_k
    for until in range(60, 481, 20):
        part = slice(0, until)
        assert stuck(SECONDS[part], inside[part], np.round(CHAMBER[part])) is None, until


@pytest.mark.parametrize("falls_to", [0.2, 0.4])
def test_a_core_that_conducts_far_worse_from_a_temperature_on_is_not(falls_to: float) -> None:
    """One lump: its rate falls to this at 80 degC, and its logger writes whole degrees."""
    inside = np.full(len(SECONDS), 20.0)
    for at in range(1, len(inside)):
        rate = (1.0 if inside[at - 1] < 80.0 else falls_to) / 90.0
        inside[at] = inside[at - 1] + rate * (CHAMBER[at - 1] - inside[at - 1])
    assert stuck(SECONDS, np.round(inside), CHAMBER) is None


def test_a_core_that_waits_for_new_heat_after_an_interruption_is_not() -> None:
    chamber = np.interp(
        MINUTES, [0, 30, 200, 205, 240, 250, 480], [20.0, 121.0, 121.0, 70.0, 70.0, 121.0, 121.0]
    )
    unit = modes_of(Cylinder(0.1, 0.3), SLOW)
    inside = np.round(core_curve(unit, SECONDS, chamber, 20.0))
    assert stuck(SECONDS, inside, chamber) is None


def test_a_value_on_both_sides_of_a_gap_shows_nothing() -> None:
    t, inside, outside = stuck_at(85.0, 81)
    kept = np.ones(len(t), dtype=bool)
    kept[-80:-1] = False
    assert stuck(t[kept], inside[kept], outside[kept]) is None
