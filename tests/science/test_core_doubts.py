"""Cores that can be none: the chamber's air, slipped out, hotter than all around; and real ones."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy import float64
from numpy.typing import NDArray

from pinset.science.heating.heating import Brick, Cylinder, Material, Shape, core_curve, modes_of
from pinset.science.judging.core_doubts import doubt_of_core
from pinset.science.judging.judging import judge
from pinset.science.judging.records import Probe, Role, Rule, Verdict

Values = NDArray[float64]

SECONDS = np.linspace(0.0, 21_600.0, 361)
CORNERS = [0.0, 20.0, 35.0, 215.0, 230.0, 275.0, 360.0]
CHAMBER = np.interp(SECONDS / 60.0, CORNERS, [20.0, 100.0, 121.5, 121.5, 100.0, 35.0, 30.0])
GRAIN = Material(0.6, 2.0e6, 100.0)
AGAR = Material(0.6, 4.0e6, 500.0)
BAG = Cylinder(0.075, 0.2)
ERRORS_K = 1.0
RULE = Rule(f0=15.0)


def core(shape: Shape = BAG, material: Material = GRAIN, start_c: float = 20.0) -> Values:
    return core_curve(modes_of(shape, material), SECONDS, CHAMBER, start_c)


def doubt(inside: Values, *, is_said: bool = False, noise_k: float = 0.0) -> str:
    random = np.random.default_rng(3)
    chamber = CHAMBER + random.normal(0.0, noise_k, len(CHAMBER))
    noisy = inside + random.normal(0.0, noise_k, len(inside))
    return doubt_of_core(SECONDS, noisy, [chamber], ERRORS_K, is_said=is_said)


@pytest.mark.parametrize("noise_k", [0.0, 0.3])
@pytest.mark.parametrize("start_c", [5.0, 20.0, 70.0])
@pytest.mark.parametrize(
    ("shape", "material"),
    [
        (BAG, GRAIN),
        (Brick(0.2, 0.13, 0.2), GRAIN),
        (Cylinder(0.045, 0.12), GRAIN),
        (Cylinder(0.04, 0.1), AGAR),
        (Cylinder(0.025, 0.08), AGAR),
    ],
)
def test_no_real_core_is_in_doubt(
    shape: Shape, material: Material, start_c: float, noise_k: float
) -> None:
    assert doubt(core(shape, material, start_c), noise_k=noise_k) == ""


@pytest.mark.parametrize("noise_k", [0.0, 0.2])
@pytest.mark.parametrize("off_k", [-1.5, -0.3, 0.0, 0.5])
def test_the_air_of_the_chamber_is_no_core_until_somebody_says_so(
    off_k: float, noise_k: float
) -> None:
    assert "as if it stood in no unit" in doubt(CHAMBER + off_k, noise_k=noise_k)
    assert doubt(CHAMBER + off_k, is_said=True, noise_k=noise_k) == ""


def test_a_night_before_the_cook_changes_nothing() -> None:
    night = np.linspace(0.0, 35_940.0, 600)
    seconds = np.concatenate((night, night[-1] + 60.0 + SECONDS))
    chamber = np.concatenate((np.full(600, 20.0), CHAMBER))
    for inside, is_in_doubt in ((core(), False), (CHAMBER, True)):
        whole = np.concatenate((np.full(600, 19.0), inside))
        assert bool(doubt_of_core(seconds, whole, [chamber], ERRORS_K)) is is_in_doubt


def test_a_tube_is_in_doubt_until_somebody_says_that_it_is_a_core() -> None:
    tube = core(Cylinder(0.008, 0.15), AGAR)
    assert "as if it stood in no unit" in doubt(tube)
    assert doubt(tube, is_said=True) == ""


def test_two_probes_in_the_chamber_and_a_core_behind_the_quicker_one() -> None:
    late = np.interp(SECONDS - 1200.0, SECONDS, CHAMBER)
    jar = core(Cylinder(0.045, 0.12))
    assert doubt_of_core(SECONDS, jar, [CHAMBER, late], ERRORS_K) == ""


@pytest.mark.parametrize("at", [30, 50, 70])
@pytest.mark.parametrize("over", [1, 2, 3])
def test_a_core_that_slips_out_is_in_doubt_whatever_is_said(at: int, over: int) -> None:
    inside = core()
    assert CHAMBER[at] - inside[at] > 25.0
    slips = np.where(np.arange(len(inside)) >= at + over, CHAMBER - 0.4, inside)
    slips[at : at + over + 1] = np.linspace(slips[at], slips[at + over], over + 1)
    for is_said in (False, True):
        assert "as if it had slipped out" in doubt(slips, is_said=is_said)


def test_a_leap_shows_without_a_probe_in_the_chamber() -> None:
    slips = np.where(SECONDS > 4000.0, CHAMBER, core())
    assert "leaps from" in doubt_of_core(SECONDS, slips, [], ERRORS_K)
    assert doubt_of_core(SECONDS, core(), [], ERRORS_K) == ""


@pytest.mark.parametrize("minutes", [6, 35])
def test_a_core_hotter_than_the_chamber_has_been_is_in_doubt(minutes: int) -> None:
    inside = core()
    first = int(np.argmax(inside > 110.0))
    inside[first : first + minutes + 1] = 128.5
    assert f"hotter than the chamber has been, for {minutes} min" in doubt(inside)
    assert doubt(inside, is_said=True) == ""


def test_a_core_filled_in_hot_and_one_that_cools_slowly_are_none_of_it() -> None:
    assert core()[300] > CHAMBER[300] + 30.0
    assert doubt(core(start_c=85.0)) == ""


def test_no_steam_is_so_hot() -> None:
    inside = core() + 35.0 * (core() > 110.0)
    assert "reads more than 137" in doubt(inside, is_said=True)


def test_a_core_in_doubt_is_unjudged_and_the_finding_says_why() -> None:
    probes = [Probe("chamber", Role.CHAMBER, CHAMBER), Probe("core", Role.CORE, CHAMBER - 0.3)]
    judged = judge(SECONDS, probes, RULE)
    assert judged.verdict is Verdict.UNJUDGED
    (said,) = [each for each in judged.findings if each.id == "cook.core-in-doubt"]
    assert said.record == "core"
    assert "passes nothing" in said.sentence
    by_hand = replace(probes[1], is_role_said=True)
    assert judge(SECONDS, [probes[0], by_hand], RULE).verdict is Verdict.PASS


def test_nothing_read_together_gives_no_doubt() -> None:
    never = np.full(len(SECONDS), np.nan)
    assert doubt_of_core(SECONDS, core(), [never], ERRORS_K) == ""
    assert doubt_of_core(SECONDS, never, [CHAMBER], ERRORS_K) == ""


@pytest.mark.parametrize("noise_k", [0.0, 0.05])
def test_a_probe_that_froze_is_no_core_for_all_its_noise(noise_k: float) -> None:
    random = np.random.default_rng(5)
    jar = core(Cylinder(0.045, 0.12))
    frozen = np.where(np.arange(len(jar)) > 200, jar[200], jar)
    frozen = frozen + random.normal(0.0, noise_k, len(jar))
    assert "it stands at" in doubt(frozen)
    assert doubt(frozen, is_said=True) == ""


@pytest.mark.parametrize("radius", [0.06, 0.1, 0.15, 0.25])
@pytest.mark.parametrize("hold_min", [60.0, 180.0, 600.0])
def test_a_large_load_that_cools_late_did_not_freeze(radius: float, hold_min: float) -> None:
    seconds = np.linspace(0.0, 108_000.0, 1801)
    corners = [0.0, 35.0, 35.0 + hold_min, 80.0 + hold_min, 1800.0]
    chamber = np.interp(seconds / 60.0, corners, [20.0, 121.5, 121.5, 30.0, 25.0])
    modes = modes_of(Cylinder(radius, 2.5 * radius), GRAIN)
    inside = core_curve(modes, seconds, chamber, 20.0)
    inside += np.random.default_rng(1).normal(0.0, 0.1, len(inside))
    assert doubt_of_core(seconds, inside, [chamber], ERRORS_K) == ""


@pytest.mark.parametrize("minutes", [10.0, 25.0, 40.0])
@pytest.mark.parametrize("at", [60.0, 130.0, 160.0])
def test_a_probe_that_works_its_way_out_slowly_is_in_doubt(at: float, minutes: float) -> None:
    """Below boiling it falls with the chamber, though it came up late."""
    inside = core(Cylinder(0.09, 0.24))
    share = np.clip((SECONDS / 60.0 - at) / minutes, 0.0, 1.0)
    out = (1.0 - share) * inside + share * (CHAMBER - 0.2)
    for is_said in (False, True):
        assert doubt(out, noise_k=0.1, is_said=is_said) != ""


def test_a_core_hotter_than_all_around_it_for_a_moment_earns_nothing() -> None:
    inside = core(Cylinder(0.045, 0.12))
    peak = np.interp(SECONDS / 60.0, [190.0, 192.5, 195.0], [0.0, 12.0, 0.0])
    assert doubt(inside) == ""
    assert "would have earned" in doubt(inside + peak)


def test_plugs_changed_for_half_an_hour_are_seen() -> None:
    inside = core(Cylinder(0.09, 0.24))
    changed = (SECONDS / 60.0 > 100.0) & (SECONDS / 60.0 < 130.0)
    mixed = np.where(changed, CHAMBER, inside)
    outside = np.where(changed, inside, CHAMBER)
    said = doubt_of_core(SECONDS, mixed, [outside], ERRORS_K)
    assert "plugs had been changed" in said


@pytest.mark.parametrize("minutes", [240, 250, 280, 300])
def test_a_core_pulled_out_at_the_opening_keeps_what_it_earned(minutes: int) -> None:
    inside, at = core().copy(), np.arange(len(SECONDS)) >= minutes
    inside[at] = 23.0
    chamber = np.where(at, 22.0, CHAMBER)
    assert inside[~at][-1] > 60.0
    assert doubt_of_core(SECONDS, inside, [chamber], ERRORS_K) == ""
    probes = [Probe("chamber", Role.CHAMBER, chamber), Probe("core", Role.CORE, inside)]
    assert judge(SECONDS, probes, RULE).verdict is Verdict.PASS


def test_a_core_that_falls_out_before_the_chamber_is_hot_again_is_none() -> None:
    inside = core()
    chamber = CHAMBER.copy()
    chamber[150:170] = 30.0
    fallen = np.where(np.arange(len(SECONDS)) >= 155, chamber, inside)
    assert "slipped out" in doubt_of_core(SECONDS, fallen, [chamber], ERRORS_K)
