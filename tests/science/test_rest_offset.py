"""Probes agree while a load is at rest; a core that begins above them may read too high."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pinset.science.heating.heating import Cylinder, Material, core_curve, modes_of
from pinset.science.judging.judging import judge
from pinset.science.judging.records import Judgement, Probe, Role, Rule, Verdict
from pinset.science.judging.rest_offset import above_at_rest

SECONDS = 30.0 * np.arange(481)
MINUTES = SECONDS / 60.0
CHAMBER = np.interp(MINUTES, [0, 10, 40, 180, 195, 240], [22.0, 22.0, 120.0, 120.0, 90.0, 40.0])
BODY = modes_of(Cylinder(0.07, 0.2), Material(0.8, 1.9e6, 100.0))
CORE = core_curve(BODY, SECONDS, CHAMBER, 22.0)
STEAM = Probe("chamber", Role.CHAMBER, CHAMBER)
TRUE = Probe("core", Role.CORE, CORE)


def judged(rule: Rule, *probes: Probe) -> Judgement:
    return judge(SECONDS, probes, rule)


def high(by_k: float) -> Probe:
    return replace(TRUE, temperature_c=CORE + by_k)


REACHES = judged(Rule(f0=1.0), STEAM, TRUE).positions[1].f0_min


@pytest.mark.parametrize(
    ("by_k", "is_said"), [(2.5, False), (3.5, False), (3.5, True), (6.0, True)]
)
def test_a_core_that_reads_high_all_along_passes_nothing_it_would_not_reach(
    by_k: float,
    *,
    is_said: bool,
) -> None:
    asked = REACHES * 1.2
    off = replace(high(by_k), is_role_said=is_said)
    assert off.temperature_c[0] == 22.0 + by_k
    found = judged(Rule(f0=asked), STEAM, off)
    assert found.positions[1].f0_min > asked
    assert found.verdict is Verdict.UNJUDGED, found.sentence
    assert f"it begins {by_k:.1f} K above every other probe while all are at rest" in found.sentence
    assert f"F0 {REACHES:.1f} min" in found.sentence
    assert "cook.reads-high" in {each.id for each in found.findings}


def test_what_it_would_reach_all_the_same_passes_and_says_so() -> None:
    found = judged(Rule(f0=0.7 * REACHES), STEAM, high(3.5))
    assert found.verdict is Verdict.PASS
    assert "core may read too high: it begins 3.5 K above every other probe" in found.sentence
    assert f"F0 {REACHES:.1f} min" in found.sentence


def test_a_hold_is_held_against_the_difference_too() -> None:
    rule = Rule(hold_c=float(CORE.max()) + 1.0, hold_minutes=5.0)
    found = judged(rule, STEAM, high(3.5))
    assert found.verdict is Verdict.UNJUDGED
    assert "0 min at" in found.sentence


@pytest.mark.parametrize("by_k", [-6.0, 0.0, 1.5, 15.0])
def test_small_differences_cold_loads_and_hot_fillings_are_left_alone(by_k: float) -> None:
    celsius = np.where(SECONDS < 900.0, CORE + by_k, CORE + min(by_k, 1.5))
    found = judged(Rule(f0=1.0), STEAM, replace(TRUE, temperature_c=celsius, is_role_said=True))
    assert "cook.reads-high" not in {each.id for each in found.findings}
    assert "at rest" not in found.sentence


def test_two_cores_that_are_high_alike_do_not_speak_for_each_other() -> None:
    second = replace(high(3.2), name="second")
    found = judged(Rule(f0=REACHES * 1.2), STEAM, high(3.5), second)
    assert found.verdict is Verdict.UNJUDGED
    assert [each.record for each in found.findings if each.id == "cook.reads-high"] == [
        "core",
        "second",
    ]
    low = judged(Rule(f0=0.5 * REACHES), STEAM, high(3.5), second)
    assert low.verdict is Verdict.PASS
    assert low.sentence.count("may read too high") == 2


def test_a_core_that_agrees_with_both_or_stands_without_a_chamber_speaks_for_the_other() -> None:
    second = replace(high(1.8), name="second")
    assert judged(Rule(f0=REACHES), STEAM, high(3.5), second).verdict is Verdict.PASS
    alike = replace(high(3.2), name="second")
    assert judged(Rule(f0=REACHES), high(3.5), alike).verdict is Verdict.PASS


def test_a_warm_load_that_cools_at_rest_is_judged() -> None:
    seconds = 30.0 * np.arange(721)
    chamber = np.interp(seconds / 60.0, [0, 120, 150, 300, 360], [22.0, 22.0, 120.0, 120.0, 40.0])
    core = core_curve(BODY, seconds, chamber, 28.0)
    steam = replace(STEAM, temperature_c=chamber)
    found = judge(seconds, [steam, replace(TRUE, temperature_c=core)], Rule(f0=1.0))
    assert core[0] - chamber[0] > 5.0
    assert found.verdict is Verdict.PASS
    assert "at rest" not in found.sentence
    off = judge(seconds, [steam, replace(TRUE, temperature_c=core + 3.5)], Rule(f0=1.0))
    [said] = [each for each in off.findings if each.id == "cook.reads-high"]
    assert "begins 3." in said.sentence
    assert "begins 9" not in said.sentence


def test_a_load_that_somebody_says_was_warm_is_judged_and_says_so() -> None:
    warm = replace(high(3.5), is_filled_warm=True)
    found = judged(Rule(f0=1.2 * REACHES), STEAM, warm)
    assert found.verdict is Verdict.PASS
    assert found.sentence.endswith("filled in warmer than the room is what somebody said.")
    assert "cook.reads-high" not in {each.id for each in found.findings}


def test_probes_of_known_errors_may_differ_by_less() -> None:
    chamber = (CHAMBER, 0.2)
    assert above_at_rest(SECONDS, (CORE + 1.8, 0.2), [chamber]) == pytest.approx(1.8)
    assert above_at_rest(SECONDS, (CORE + 1.8, 1.0), [chamber]) == 0.0


def test_a_chamber_that_is_hot_or_not_read_at_first_tells_nothing() -> None:
    hot = np.where(SECONDS < 7200.0, 60.0, CHAMBER)
    assert above_at_rest(SECONDS, (CORE + 3.5, 0.5), [(hot, 0.5)]) == 0.0
    late = np.where(SECONDS < 3000.0, np.nan, CHAMBER)
    assert above_at_rest(SECONDS, (CORE + 3.5, 0.5), [(late, 0.5)]) == 0.0
    assert above_at_rest(SECONDS, (CORE + 3.5, 0.5), []) == 0.0
