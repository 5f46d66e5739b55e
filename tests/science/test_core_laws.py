"""Cores whose probe slides towards the skin of its unit, and sound ones that heat in many ways."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

import numpy as np
import pytest
from numpy import float64
from numpy.typing import NDArray

from pinset.science.judging.core_doubts import doubt_of_core, slip_of_core
from pinset.science.judging.core_laws import moves_within
from pinset.science.judging.judging import judge
from pinset.science.judging.records import Probe, Role, Rule, Verdict
from pinset.science.lethality.lethality import f_of_log
from science.rings import core, moist

Values = NDArray[float64]
Law = Callable[[Values], Values]

ERRORS_K = 1.0
CELLS = 40
EVERY_S = 30.0
MIDDLE = 0


@lru_cache
def ball(
    radius: float, conducts: float, hold_min: float, hot_c: float = 121.4
) -> tuple[Values, Values, Values]:
    """Times, chamber and every shell of a ball that conducts evenly, by volumes of the test's own.

    Up in 25 min, a hold, and a kettle that cools; backward steps.
    """
    ends = 25.0 + hold_min
    seconds = np.arange(0.0, 60.0 * (ends + 200.0), EVERY_S)
    chamber = np.interp(
        seconds / 60.0,
        [0.0, 25.0, ends, ends + 18.0, ends + 60.0, ends + 200.0],
        [19.0, hot_c, hot_c, min(99.0, hot_c - 5.0), 45.0, 25.0],
    )
    step = radius / CELLS
    faces = step * np.arange(1.0, CELLS + 1.0)
    stored = 2.1e6 * np.diff(np.concatenate(([0.0], faces**3))) / 3.0 / EVERY_S
    passes = conducts / step * faces[:-1] ** 2
    inside = np.full(CELLS, 19.0)
    shells = [inside]
    for hot in chamber[1:]:
        surface = 100.0 if hot > inside[-1] else 12.0
        skin = faces[-1] ** 2 / (step / 2.0 / conducts + 1.0 / surface)
        matrix = np.diag(stored) - np.diag(passes, 1) - np.diag(passes, -1)
        matrix += np.diag(np.append(passes, skin)) + np.diag(np.append(0.0, passes))
        right = stored * inside
        right[-1] += skin * hot
        inside = np.linalg.solve(matrix, right)
        shells.append(inside)
    return seconds, chamber, np.array(shells)


def slid(cook: tuple[Values, Values, Values], at_min: float, over_min: float, to: float) -> Values:
    """What a probe reads that slides from the middle to a place within, evenly."""
    seconds, _, shells = cook
    share = np.clip((seconds / 60.0 - at_min) / over_min, 0.0, 1.0)
    near = shells[:, min(round(to * CELLS), CELLS - 1)]
    return (1.0 - share) * shells[:, MIDDLE] + share * near


def read(seed: int, every_s: float, digit_k: float, *curves: Values) -> list[Values]:
    random = np.random.default_rng(seed)
    seconds, *others = (each[:: round(every_s / EVERY_S)] for each in curves)
    noisy = (each + random.normal(0.0, 0.1, len(seconds)) for each in others)
    return [seconds, *(np.round(each / digit_k) * digit_k for each in noisy)]


@pytest.mark.parametrize("is_said", [False, True])
@pytest.mark.parametrize(
    ("at_min", "over_min", "to"),
    [(60.0, 8.0, 0.93), (60.0, 15.0, 0.93), (80.0, 30.0, 0.9), (45.0, 20.0, 0.85)],
)
def test_a_probe_that_slides_towards_the_skin_passes_nothing(
    at_min: float, over_min: float, to: float, *, is_said: bool
) -> None:
    cook = ball(0.1, 0.35, 200.0)
    inside = slid(cook, at_min, over_min, to)
    assert f_of_log(cook[0], cook[2][:, MIDDLE]) < 3.0
    assert f_of_log(cook[0], inside) > 16.0
    t, hot, warm = read(1, 60.0, 0.1, cook[0], cook[1], inside)
    probes = [
        Probe("chamber", Role.CHAMBER, hot),
        Probe("core", Role.CORE, warm, is_role_said=is_said),
    ]
    judged = judge(t, probes, Rule(f0=15.0))
    assert judged.verdict is Verdict.UNJUDGED
    assert "as if its probe had moved" in judged.sentence


@pytest.mark.parametrize(("every_s", "digit_k"), [(30.0, 0.1), (120.0, 0.5), (300.0, 1.0)])
def test_so_it_is_at_any_pace_of_reading(every_s: float, digit_k: float) -> None:
    cook = ball(0.09, 0.35, 110.0)
    t, hot, warm = read(2, every_s, digit_k, cook[0], cook[1], slid(cook, 60.0, 15.0, 0.93))
    assert doubt_of_core(t, warm, [hot], ERRORS_K, is_said=True) != ""


@pytest.mark.parametrize("looked_min", [15.0, 30.0, 45.0])
def test_while_the_cook_goes_on_it_is_told_too(looked_min: float) -> None:
    """Soon after the probe has moved, when the core by its readings comes to have enough."""
    cook = ball(0.09, 0.35, 110.0)
    t, hot, warm = read(3, 60.0, 0.1, cook[0], cook[1], slid(cook, 60.0, 15.0, 0.93))
    so_far = t <= 60.0 * (75.0 + looked_min)
    assert "its probe had moved" in slip_of_core(t[so_far], warm[so_far], hot[so_far], ERRORS_K)


def test_in_hot_water_too() -> None:
    cook = ball(0.11, 0.2, 300.0, 74.0)
    middle = cook[2][:, MIDDLE]
    inside = slid(cook, 110.0, 20.0, 0.9)
    t, hot, warm = read(4, 60.0, 0.1, cook[0], cook[1], inside)
    assert moves_within(t, read(4, 60.0, 0.1, cook[0], middle)[1], hot, ERRORS_K) == ""
    assert "its probe had moved" in moves_within(t, warm, hot, ERRORS_K)


def _falls(celsius: Values) -> Values:
    return np.asarray(0.5 * (1.0 - 0.45 / (1.0 + np.exp(-(celsius - 95.0) / 3.0))))


def _rises(celsius: Values) -> Values:
    return np.asarray(0.3 * (1.0 + 1.5 / (1.0 + np.exp(-(celsius - 80.0) / 8.0))))


LAWS: dict[str, Law] = {
    "even": lambda celsius: np.full_like(celsius, 0.4),
    "falls": _falls,
    "rises": _rises,
    "little vapour": moist(0.3, 0.05, 205.0),
    "vapour": moist(0.3, 0.15, 205.0),
    "much vapour": moist(0.3, 0.3, 205.0),
}
CHAMBERS = {
    "steady": ([0.0, 30.0, 400.0], [19.0, 121.3, 121.3]),
    "in steps": ([0.0, 15.0, 60.0, 75.0, 400.0], [19.0, 99.5, 99.5, 121.3, 121.3]),
    "leaking": ([0.0, 30.0, 400.0], [19.0, 121.3, 115.0]),
    "interrupted": ([0.0, 30.0, 90.0, 95.0, 115.0, 125.0, 400.0],
                    [19.0, 121.3, 121.3, 100.0, 100.0, 121.3, 121.3]),
}  # fmt: skip


@pytest.mark.parametrize("chamber", CHAMBERS)
@pytest.mark.parametrize("law", LAWS)
def test_no_sound_core_is_in_doubt_by_it(law: str, chamber: str) -> None:
    minutes = np.arange(0.0, 401.0)
    around = np.interp(minutes, *CHAMBERS[chamber])
    inside = core(0.075, 0.2, LAWS[law], 2.0e6, 100.0, minutes, around, 19.0)
    random = np.random.default_rng(5)
    hot, warm = (each + random.normal(0.0, 0.1, len(minutes)) for each in (around, inside))
    assert moves_within(60.0 * minutes, warm, hot, ERRORS_K) == ""
