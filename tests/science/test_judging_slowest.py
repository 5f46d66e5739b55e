"""A cook of several cores is judged by the slowest, and the sentence names it."""

from __future__ import annotations

import numpy as np
import pytest

from pinset.science.heating.heating import Cylinder, Material, core_curve, modes_of
from pinset.science.judging.judging import judge
from pinset.science.judging.records import Probe, Role, Rule, Verdict

SECONDS = 30.0 * np.arange(421)
CHAMBER = np.interp(
    SECONDS / 60.0, [0.0, 20.0, 150.0, 165.0, 210.0], [22.0, 118.0, 118.0, 95.0, 60.0]
)
SIZE = Cylinder(0.08, 0.2)


def core(name: str, conductivity: float, until: int = 421, doubt: str = "") -> Probe:
    body = modes_of(SIZE, Material(conductivity, 1.8e6, 100.0))
    celsius = core_curve(body, SECONDS, CHAMBER, 22.0)[:until]
    return Probe(name, Role.CORE, celsius, doubt=doubt)


RULE = Rule(f0=15.0)


@pytest.mark.parametrize("asked", [15.0, 8.0])
def test_a_core_that_comes_up_while_its_neighbours_cool_is_too_short(asked: float) -> None:
    """No probe is read in the chamber; the core in the middle still rises after steam-off."""
    cores = [core("top", 1.1), core("middle", 0.35), core("side", 1.1)]
    middle = cores[1].temperature_c
    assert middle[-1] > middle.max() - 1.0
    assert middle[-1] > 90.0
    found = judge(SECONDS, cores, Rule(f0=asked))
    top, slow, _ = found.positions
    assert slow.f0_min < 1.0 < top.f0_min
    assert found.verdict is Verdict.FAIL
    assert found.slowest == "middle"
    assert f"in middle; F0 {asked:g} min asked for" in found.sentence
    assert "hand in the rest" not in found.sentence


def test_while_all_of_them_come_up_the_log_ends_in_the_hold() -> None:
    until = 281
    cores = [core("top", 0.9, until), core("middle", 0.5, until)]
    assert cores[1].temperature_c[-1] > 90.0
    found = judge(SECONDS[:until], cores, Rule(f0=60.0))
    assert found.verdict is Verdict.UNJUDGED
    assert "hand in the rest" in found.sentence


def test_a_core_that_stays_below_an_early_peak_is_not_cooling() -> None:
    until = 281
    peaked = core("top", 1.1, until)
    settled = np.minimum(peaked.temperature_c, 112.0)
    settled[180] = 116.0
    cores = [Probe("top", Role.CORE, settled), core("middle", 0.5, until)]
    assert judge(SECONDS[:until], cores, Rule(f0=60.0)).verdict is Verdict.UNJUDGED


def test_a_slower_core_that_cannot_be_told_is_named_beside_the_one_that_fails() -> None:
    found = judge(SECONDS, [core("top", 0.9), core("middle", 0.35, doubt="it stood still")], RULE)
    assert found.verdict is Verdict.FAIL
    assert found.sentence.startswith("Too short: F0 ")
    assert "Slower still, and not to be told from this log: middle, F0 " in found.sentence
