"""Readings that leap pass no cook: they are left out, said, and what they hide is a gap."""

from __future__ import annotations

import numpy as np
import pytest
from numpy import float64
from numpy.typing import NDArray

from pinset.science.heating.heating import Cylinder, Material, core_curve, modes_of
from pinset.science.judging.records import Rule
from pinset.services.cooks.judge.judged import JudgedCook
from pinset.services.cooks.judge.judging import judge_file

Values = NDArray[float64]

SECONDS = 60.0 * np.arange(301)
BAG = modes_of(Cylinder(0.075, 0.2), Material(0.6, 2.0e6, 100.0))


def core(hold_min: float) -> tuple[Values, Values]:
    """Return a chamber that holds so long and the core of a bag in it."""
    corners = [0.0, 35.0, 35.0 + hold_min, 75.0 + hold_min, 400.0]
    chamber = np.interp(SECONDS / 60.0, corners, [20.0, 121.5, 121.5, 60.0, 30.0])
    return chamber, core_curve(BAG, SECONDS, chamber, 20.0)


def judged(chamber: Values, inside: Values) -> JudgedCook:
    rows = zip(SECONDS / 60.0, chamber, inside, strict=True)
    lines = ["min,chamber [°C],core [°C]", *(f"{m:g},{a:.2f},{b:.2f}" for m, a, b in rows)]
    return judge_file("\n".join(lines).encode(), "cook.csv", Rule(f0=15.0))[0]


@pytest.mark.parametrize("length", [1, 2, 3])
@pytest.mark.parametrize("reads", [145.0, 150.0, 159.0])
def test_a_spike_passes_no_cook_and_is_said(reads: float, length: int) -> None:
    chamber, inside = core(30.0)
    assert inside.max() < 110.0
    inside = inside.copy()
    inside[100 : 100 + length] = reads
    found = judged(chamber, inside)
    assert found.verdict == "fail", found.sentence
    (said,) = [each for each in found.findings if each.id == "log.spike"]
    assert said.sentence.startswith(
        f"core [°C] leaps away from its neighbours and back in {length} reading"
    )
    assert f"{reads:.1f} °C after 1:40 h in row 102" in said.sentence
    assert found.probes[1].max_c < 110.0


def test_a_spike_down_costs_a_good_cook_nothing() -> None:
    chamber, inside = core(190.0)
    whole = judged(chamber, inside)
    assert whole.verdict == "pass"
    assert "log.spike" not in {each.id for each in whole.findings}
    spiked = inside.copy()
    spiked[[150, 180]] = [20.0, 3.0]
    found = judged(chamber, spiked)
    assert found.verdict == "pass"
    assert found.probes[1].f0_min == pytest.approx(whole.probes[1].f0_min, rel=0.002)


def test_spikes_of_a_chamber_are_left_in_its_column() -> None:
    chamber, inside = core(190.0)
    chamber = chamber.copy()
    chamber[150] = 140.0
    assert "log.spike" not in {each.id for each in judged(chamber, inside).findings}


def test_a_small_unit_read_seldom_in_a_short_hold_does_not_leap() -> None:
    inside = np.interp(SECONDS, [0.0, 4800.0, 5100.0, 5700.0, 6000.0], [20.0, 100, 122, 122, 100])
    inside = np.where(SECONDS > 6000.0, 60.0, inside)
    rows = [f"{s / 60:g},{c:.1f}" for s, c in zip(SECONDS[::5], inside[::5], strict=True)]
    data = "\n".join(["min,core [°C]", *rows]).encode()
    found = judge_file(data, "cook.csv", Rule(f0=5.0))[0]
    assert "log.spike" not in {each.id for each in found.findings}
    assert found.probes[0].max_c == 122.0
