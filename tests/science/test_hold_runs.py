"""How long a core held, by readings that scatter: invented noise, real dips that must be seen."""

from __future__ import annotations

import numpy as np
import pytest
from numpy import float64
from numpy.typing import NDArray

from pinset.science.judging.cook_moments import reached_s
from pinset.science.judging.findings import in_figures
from pinset.science.judging.hold_runs import Runs, longest_s, noise_of, runs_above
from pinset.science.judging.judging import judge
from pinset.science.judging.records import Judgement, Probe, Role, Rule, Verdict

Values = NDArray[float64]
RULE = Rule(hold_c=121.0, hold_minutes=15.0)
SEEDS = range(20)


def log(
    step_s: float,
    noise_k: float,
    seed: int,
    *,
    at_c: float = 121.3,
    minutes: float = 28.0,
    dips: tuple[float, ...] = (),
    dip_min: float = 2.0,
    dip_k: float = 0.5,
) -> tuple[Values, Values]:
    """A core that is so hot from minute 0 on, half a kelvin too cold before and after."""
    random = np.random.default_rng(seed)
    t = np.arange(-1200.0 + random.uniform(0.0, step_s), 60.0 * minutes + 1200.0, step_s)
    corners = [-1200.0, -1.0, 0.0, 60.0 * minutes, 60.0 * minutes + 1.0, 60.0 * minutes + 1200.0]
    celsius = np.interp(t, corners, [117.5, 120.5, at_c, at_c, 120.5, 110.0])
    for begin in dips:
        celsius -= dip_k * ((t >= 60.0 * begin) & (t < 60.0 * (begin + dip_min)))
    return t, np.round(celsius + random.normal(0.0, noise_k, len(t)), 1)


def runs(seed: int, step_s: float, noise_k: float, **how: object) -> Runs:
    return runs_above(*log(step_s, noise_k, seed, **how), 121.0)  # type: ignore[arg-type]


def judged(t: Values, core: Values, rule: Rule = RULE) -> Judgement:
    chamber = np.maximum(core, np.interp(t, [t[0], t[0] + 300.0], [110.0, 122.0]))
    probes = [
        Probe("core", Role.CORE, core, 0.2, is_role_said=True),
        Probe("chamber", Role.CHAMBER, chamber, 0.2),
    ]
    return judge(t, probes, rule)


@pytest.mark.parametrize(
    ("step_s", "noise_k"), [(10.0, 0.1), (10.0, 0.2), (10.0, 0.3), (30.0, 0.1), (60.0, 0.1)]
)
def test_scatter_ends_no_hold(step_s: float, noise_k: float) -> None:
    found = [runs(seed, step_s, noise_k) for seed in SEEDS]
    sure = [longest_s(each.sure) / 60.0 for each in found]
    assert sum(each >= 15.0 for each in sure) >= len(SEEDS) - 1
    assert max(sure) <= 29.0
    assert np.median([longest_s(each.likely) / 60.0 for each in found]) == pytest.approx(28, abs=3)
    if step_s == 10.0 and noise_k > 0.1:  # by the single readings nearly all were too short
        assert sum(longest_s(each.bare) >= 15.0 * 60.0 for each in found) <= 3


@pytest.mark.parametrize(
    ("step_s", "noise_k"),  # 0.2 K at 2 min hides a dip from the single readings too
    [(a, b) for a in (10.0, 30.0, 60.0, 120.0) for b in (0.0, 0.03, 0.1, 0.2) if a * b < 24.0],
)
@pytest.mark.parametrize("at_c", [121.1, 121.2])
@pytest.mark.parametrize(
    "how",
    [
        {"dips": (13.0,)},
        {"dips": (12.5,), "dip_min": 3.0},
        {"dips": (11.5,), "dip_min": 5.0},
        {"dips": (10.0,), "dip_min": 8.0},
        {"dips": tuple(range(4, 60, 6)), "minutes": 60.0},
        {"dips": tuple(range(4, 60, 8)), "minutes": 60.0, "dip_min": 4.0},
    ],
)
def test_a_real_dip_never_passes(
    step_s: float, noise_k: float, at_c: float, how: dict[str, object]
) -> None:
    for seed in SEEDS:
        found = runs(seed, step_s, noise_k, at_c=at_c, **how)
        assert longest_s(found.sure) < 15.0 * 60.0, seed


@pytest.mark.parametrize(("step_s", "noise_k"), [(10.0, 0.1), (10.0, 0.3), (60.0, 0.15)])
def test_what_is_a_tenth_too_cold_throughout_never_passes(step_s: float, noise_k: float) -> None:
    for seed in SEEDS:
        found = runs(seed, step_s, noise_k, at_c=120.9, minutes=60.0)
        assert longest_s(found.sure) < 15.0 * 60.0


def test_without_scatter_the_crossings_on_the_line_stand() -> None:
    t = np.array([0.0, 60.0, 120.0, 180.0, 240.0, 300.0])
    celsius = np.array([120.0, 122.0, 122.0, 120.0, 122.0, 122.0])
    assert runs_above(t, celsius, 121.0).sure == ((30.0, 150.0), (210.0, 300.0))


def test_scatter_is_told_from_what_lasts() -> None:
    t = 60.0 * np.arange(120.0)
    white = np.random.default_rng(3).normal(0.0, 0.1, 120)
    assert noise_of(t, 121.3 + white) == pytest.approx(0.1, abs=0.03)
    dips = 0.5 * ((t % 360.0) < 120.0)
    assert noise_of(t, 121.3 - dips) == 0.0
    leap = np.where(np.arange(120) == 50, 10.0, 0.0)
    assert noise_of(t, 121.3 + white + leap) < 0.2


def test_a_good_cook_passes_and_its_scatter_is_said() -> None:
    t, core = log(10.0, 0.2, 4, minutes=58.0)
    found = judged(t, core)
    assert found.verdict is Verdict.PASS, found.sentence
    [noisy] = [each for each in found.findings if each.id == "cook.noisy"]
    assert "scatter by 0.2 K" in noisy.sentence
    held = found.positions[0].hold_min
    assert held is not None
    assert held == pytest.approx(58.0, abs=6.0)
    assert f"{held:.0f} min at 121 °C" in found.sentence
    assert "by the probe's error and noise" in found.sentence
    reached = reached_s(t, core, RULE)
    assert reached is not None
    assert 14.0 * 60.0 < reached < 30.0 * 60.0


def test_where_scatter_could_hide_a_dip_nothing_is_told() -> None:
    t, core = log(60.0, 0.25, 2, at_c=121.2, minutes=50.0)
    found = judged(t, core)
    assert found.verdict is Verdict.UNJUDGED, found.sentence
    assert "a dip could hide in that: between" in found.sentence


def test_too_short_by_more_than_scatter_explains_is_too_short() -> None:
    for step_s, noise_k in ((10.0, 0.2), (60.0, 0.1), (300.0, 0.1)):
        t, core = log(step_s, noise_k, 1, minutes=8.0)
        assert judged(t, core).verdict is Verdict.FAIL


def test_what_hangs_on_the_probes_error_is_said() -> None:
    t, core = log(60.0, 0.0, 1, at_c=121.1)
    found = judged(t, core)
    assert found.verdict is Verdict.PASS
    [said] = [each for each in found.findings if each.id == "cook.hold-within-error"]
    assert "for 0.0 min and not the 15 asked" in said.sentence


def test_a_figure_just_short_does_not_read_as_enough() -> None:
    assert in_figures(14.96, 15.0) == ("14.96", "15")
    assert in_figures(14.999, 15.0) == ("just under 15", "15")
    assert in_figures(12.3, 15.0) == ("12.3", "15")


def test_stamps_a_hair_beyond_five_minutes_count_whole() -> None:
    exact = 300.0 * np.arange(40.0)
    off = exact + np.where(np.arange(40) % 2, 2.0, 0.0)
    core = np.interp(exact, [0.0, 3600.0, 9000.0, 11700.0], [20.0, 110.0, 121.0, 60.0])
    rule = Rule(f0=15.0)
    whole, shifted = (judged(t, core, rule).positions[0].f0_min for t in (exact, off))
    assert shifted == pytest.approx(whole, rel=0.01)
