"""A chamber that stands above the steam of its gauge: superheat, or probes that read too high."""

from __future__ import annotations

import numpy as np
import pytest

from pinset.science.heating.heating import Cylinder, Material, core_curve, modes_of
from pinset.science.judging.judging import judge
from pinset.science.judging.records import Judgement, Probe, Role, Rule, Verdict
from pinset.science.steam.steam import saturation_pressure

SECONDS = 30.0 * np.arange(481)
MINUTES = SECONDS / 60.0
CHAMBER = np.interp(MINUTES, [0, 10, 40, 180, 195, 240], [22.0, 22.0, 120.0, 120.0, 90.0, 40.0])
CORE = core_curve(modes_of(Cylinder(0.07, 0.2), Material(0.8, 1.9e6, 100.0)), SECONDS, CHAMBER, 22)
PRESSURE = np.maximum(saturation_pressure(CHAMBER), 101.325)


def judged(rule: Rule | None, chamber_k: float, core_k: float, error_kpa: float = 0.0) -> Judgement:
    probes = [
        Probe("chamber", Role.CHAMBER, CHAMBER + chamber_k),
        Probe("core", Role.CORE, CORE + core_k),
    ]
    return judge(SECONDS, probes, rule, pressure_kpa=PRESSURE, pressure_error_kpa=error_kpa)


REACHES = judged(None, 0.0, 0.0).positions[1].f0_min


def test_both_probes_reading_high_pass_nothing_the_core_would_not_reach() -> None:
    rule = Rule(f0=1.5 * REACHES)
    assert judged(rule, 0.0, 0.0).verdict is Verdict.FAIL
    found = judged(rule, 5.0, 5.0)
    assert found.positions[1].f0_min > 1.5 * REACHES
    assert found.verdict is Verdict.UNJUDGED
    assert "the chamber stood 5.0 K above the steam of its gauge through the hold" in found.sentence
    assert "superheated" in found.sentence
    assert f"F0 {REACHES:.1f} min" in found.sentence
    [said] = [each for each in found.findings if each.id == "cook.superheated"]
    assert "Compare the probes" in said.hint


def test_what_it_would_reach_all_the_same_passes_with_the_excess_in_its_sentence() -> None:
    found = judged(Rule(f0=0.8 * REACHES), 5.0, 5.0)
    assert found.verdict is Verdict.PASS
    assert found.sentence.startswith("Long enough where it was measured: F0 ")
    assert "5.0 K above the steam of its gauge" in found.sentence
    assert f"F0 {REACHES:.1f} min" in found.sentence


def test_what_a_core_has_above_its_chamber_at_rest_is_taken_off_too() -> None:
    found = judged(Rule(f0=0.8 * REACHES), 3.0, 6.0)
    assert found.verdict is Verdict.PASS
    assert f"F0 {REACHES:.1f} min" in found.sentence


def test_a_hold_is_held_against_the_excess_too() -> None:
    rule = Rule(hold_c=float(CORE.max()) + 1.0, hold_minutes=5.0)
    assert judged(rule, 5.0, 5.0).verdict is Verdict.UNJUDGED


@pytest.mark.parametrize(("chamber_k", "error_kpa"), [(0.0, 0.0), (1.4, 0.0), (4.0, 30.0)])
def test_what_errors_explain_is_left_alone(chamber_k: float, error_kpa: float) -> None:
    found = judged(Rule(f0=0.8 * REACHES), chamber_k, chamber_k, error_kpa)
    assert found.verdict is Verdict.PASS
    assert found.sentence.startswith("Long enough: ")
    assert "steam" not in found.sentence


def test_a_short_excess_is_no_superheat_of_the_hold() -> None:
    brief = np.where((MINUTES > 60) & (MINUTES < 80), CHAMBER + 5.0, CHAMBER)
    probes = [Probe("chamber", Role.CHAMBER, brief), Probe("core", Role.CORE, CORE)]
    found = judge(SECONDS, probes, Rule(f0=0.8 * REACHES), pressure_kpa=PRESSURE)
    assert "cook.superheated" in {each.id for each in found.findings}
    assert found.sentence.startswith("Long enough: ")


def test_too_short_stays_too_short() -> None:
    found = judged(Rule(f0=100.0 * REACHES), 5.0, 5.0)
    assert found.verdict is Verdict.FAIL
    assert found.sentence.startswith("Too short")
