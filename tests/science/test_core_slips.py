"""Cores whose probe gets out of its unit in any time; and real ones, with vapour in them too."""

from __future__ import annotations

import numpy as np
import pytest
from numpy import float64
from numpy.typing import NDArray

from pinset.science.heating.heating import Cylinder, Material, core_curve, modes_of
from pinset.science.judging.core_doubts import doubt_of_core
from pinset.science.judging.core_slips import arrival, comes_out, may_be_out
from pinset.science.judging.judging import judge
from pinset.science.judging.records import Probe, Role, Rule, Verdict

Values = NDArray[float64]

ERRORS_K, SAME_K = 1.0, 3.0
HOLD_ENDS_MIN = 110.0
CORNERS = [0.0, 30.0, HOLD_ENDS_MIN, 140.0, 400.0]
DEGREES = [18.0, 121.3, 121.3, 97.0, 30.0]
BAG, JAR = Cylinder(0.08, 0.21), Cylinder(0.045, 0.12)
SAWDUST = Material(0.35, 2.1e6, 150.0)
GRAIN = Material(0.6, 2.0e6, 100.0)
CELLS = 40


def cook(every_min: float, until_min: float = 260.0) -> tuple[Values, Values]:
    seconds = 60.0 * np.arange(0.0, until_min + 0.1, every_min)
    return seconds, np.interp(seconds / 60.0, CORNERS, DEGREES)


def core(shape: Cylinder, material: Material) -> tuple[Values, Values, Values]:
    seconds, chamber = cook(0.5)
    return seconds, chamber, core_curve(modes_of(shape, material), seconds, chamber, 18.0)


def read(every_min: float, *curves: Values, until_min: float = 260.0) -> list[Values]:
    """Readings so far apart, with a tenth of a kelvin of scatter."""
    seconds, *others = (each[:: round(2.0 * every_min)] for each in curves)
    random = np.random.default_rng(7)
    kept = seconds <= 60.0 * until_min
    return [
        seconds[kept],
        *(each[kept] + random.normal(0.0, 0.1, int(np.sum(kept))) for each in others),
    ]


def out(curves: tuple[Values, Values, Values], at_min: float, over_min: float) -> Values:
    seconds, chamber, inside = curves
    share = np.clip((seconds / 60.0 - at_min) / max(over_min, 0.01), 0.0, 1.0)
    return (1.0 - share) * inside + share * (chamber - 0.2)


def with_vapour(radius: float, factor: float, from_c: float) -> tuple[Values, Values, Values]:
    """A ball that conducts better from some temperature on, by volumes of the test's own."""
    seconds, chamber = cook(0.5)
    step = radius / CELLS
    faces = step * np.arange(1.0, CELLS + 1.0)
    volumes = np.diff(np.concatenate(([0.0], faces**3))) / 3.0
    inside = np.full(CELLS, 18.0)
    middle = [18.0]
    for hot in chamber[1:]:
        count = 60
        for _ in range(count):
            conducts = 0.35 * (1.0 + (factor - 1.0) * np.clip((inside - from_c) / 50.0, 0.0, 1.0))
            between = (conducts[1:] + conducts[:-1]) / 2.0
            flows = np.append(
                between * np.diff(inside) / step,
                (hot - inside[-1]) / (step / 2.0 / conducts[-1] + 1.0 / 150.0),
            )
            into = flows * faces**2
            gains = into - np.concatenate(([0.0], into[:-1]))
            inside = inside + 30.0 / count * gains / volumes / 2.1e6
        middle.append(float(inside[0]))
    return seconds, chamber, np.array(middle)


@pytest.mark.parametrize("is_said", [False, True])
@pytest.mark.parametrize("over_min", [0.0, 3.0, 8.0, 12.0, 20.0])
@pytest.mark.parametrize("every_min", [1.0, 2.0, 3.0, 5.0])
@pytest.mark.parametrize("at_min", [34.0, 47.0])
def test_a_probe_that_gets_out_in_any_time_is_in_doubt_at_any_pace_of_reading(
    at_min: float, every_min: float, over_min: float, *, is_said: bool
) -> None:
    curves = core(BAG, SAWDUST)
    t, outside, inside = read(every_min, curves[0], curves[1], out(curves, at_min, over_min))
    assert doubt_of_core(t, inside, [outside], ERRORS_K, is_said=is_said) != ""


@pytest.mark.parametrize("over_min", [0.0, 5.0, 12.0, 20.0])
@pytest.mark.parametrize("every_min", [1.0, 5.0])
def test_before_the_chamber_cools_it_passes_nothing_either(
    every_min: float, over_min: float
) -> None:
    curves = core(BAG, SAWDUST)
    slipped = out(curves, 40.0, over_min)
    t, outside, inside = read(every_min, curves[0], curves[1], slipped, until_min=100.0)
    probes = [Probe("chamber", Role.CHAMBER, outside), Probe("core", Role.CORE, inside)]
    judged = judge(t, probes, Rule(f0=15.0))
    assert judged.positions[1].f0_min > 15.0
    assert judged.verdict is Verdict.UNJUDGED


def test_a_leap_between_two_readings_five_minutes_apart_passes_nothing() -> None:
    seconds = 300.0 * np.arange(31.0)
    chamber = np.interp(
        seconds / 60.0,
        [0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 70.0, 90.0, 95.0, 150.0],
        [20.0, 45.0, 70.0, 95.0, 121.0, 121.3, 121.3, 98.0, 96.5, 83.0],
    )
    before = np.array([18.0, 18.1, 18.4, 19.2, 21.0, 24.0])
    inside = np.concatenate((before, chamber[6:] - 0.2))
    probes = [Probe("chamber", Role.CHAMBER, chamber), Probe("core", Role.CORE, inside)]
    for is_said in (False, True):
        said = [probes[0], Probe("core", Role.CORE, inside, is_role_said=is_said)]
        judged = judge(seconds, said, Rule(f0=15.0))
        assert judged.verdict is Verdict.UNJUDGED
        assert "from 24 °C to what the chamber reads" in judged.sentence


@pytest.mark.parametrize("until_min", [110.0, 260.0])
@pytest.mark.parametrize("every_min", [0.5, 2.0, 5.0])
@pytest.mark.parametrize(
    ("shape", "material"),
    [
        (BAG, SAWDUST),
        (JAR, GRAIN),
        (Cylinder(0.04, 0.1), Material(0.6, 4.0e6, 500.0)),
        (Cylinder(0.04, 0.1), Material(5.0, 4.0e6, 300.0)),  # a liquid that turns over
    ],
)
def test_no_load_that_conducts_comes_faster_than_its_pace_before(
    shape: Cylinder, material: Material, every_min: float, until_min: float
) -> None:
    t, outside, inside = read(every_min, *core(shape, material), until_min=until_min)
    found = arrival(t, inside, outside, SAME_K)
    assert found is None or found.times < 2.0
    assert comes_out(t, inside, outside, SAME_K) == ""
    assert may_be_out(t, inside, outside, SAME_K) is None


@pytest.mark.parametrize(("factor", "from_c"), [(4.0, 60.0), (4.5, 60.0)])
@pytest.mark.parametrize("every_min", [1.0, 5.0])
def test_vapour_is_told_from_slipping_out_once_the_load_cools(
    every_min: float, factor: float, from_c: float
) -> None:
    curves = with_vapour(0.07, factor, from_c)
    hot = read(every_min, *curves, until_min=HOLD_ENDS_MIN)
    assert "vapour can do that" in doubt_of_core(hot[0], hot[2], [hot[1]], ERRORS_K)
    assert doubt_of_core(hot[0], hot[2], [hot[1]], ERRORS_K, is_said=True) == ""
    t, outside, inside = read(every_min, *curves)
    assert doubt_of_core(t, inside, [outside], ERRORS_K) == ""


def test_a_second_coming_up_is_no_slip() -> None:
    """After an interruption a core comes back at the pace it had before."""
    seconds = 60.0 * np.arange(0.0, 400.0)
    chamber = np.interp(
        seconds / 60.0,
        [0.0, 30.0, 150.0, 160.0, 215.0, 225.0, 399.0],
        [18.0, 121.3, 121.3, 50.0, 50.0, 121.3, 121.3],
    )
    inside = core_curve(modes_of(JAR, GRAIN), seconds, chamber, 18.0)
    assert chamber[225] - inside[225] > 30.0
    assert doubt_of_core(seconds, inside, [chamber], ERRORS_K) == ""
