"""Trends: equal to a regression where counts are many, unsure where they are few."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import optimize, stats

from pinset.errors import InputError
from pinset.learning.charts.laws import FLIES, UNITS, Believed, Law, count_chance
from pinset.learning.charts.trends import Direction, trend

WEEKS = 7.0 * np.arange(8)
BELIEVED = Believed(1.0, 2.0)


def test_many_counts_give_the_slope_of_a_regression() -> None:
    """Against the negative binomial regression with clumping 0.01, by scipy.optimize."""
    found = np.array([150.0, 190.0, 230.0, 240.0, 330.0, 360.0, 480.0, 520.0])
    of = np.array([70.0, 70.0, 75.0, 70.0, 70.0, 70.0, 80.0, 75.0])

    def misfit(at: np.ndarray) -> float:
        mean = of * np.exp(at[0] + at[1] * np.arange(8))
        return -float(stats.nbinom.logpmf(found, 100.0, 100.0 / (100.0 + mean)).sum())

    best = optimize.minimize(misfit, np.array([0.5, 0.1]), method="BFGS")
    law = Law(count_chance, ((0.01, 1.0),), is_share=False)
    told = trend(law, found, of, WEEKS, BELIEVED)
    assert told is not None
    assert told.direction is Direction.RISING
    assert np.log(told.times_a_week) == pytest.approx(best.x[1], abs=0.003)
    reach = 1.96 * np.sqrt(best.hess_inv[1, 1])
    assert np.log(told.high / told.low) / 2.0 == pytest.approx(reach, rel=0.15)


@pytest.mark.parametrize(
    ("counts", "direction"),
    [
        ([2, 4, 7, 12, 22, 41, 70, 130], Direction.RISING),
        ([130, 70, 41, 22, 12, 7, 4, 2], Direction.FALLING),
        ([52, 48, 50, 55, 47, 51, 49, 50], Direction.STEADY),
        ([0, 1, 0, 0, 2, 0, 1, 0], Direction.UNCERTAIN),
        ([0] * 8, Direction.UNCERTAIN),
    ],
)
def test_directions(counts: list[int], direction: Direction) -> None:
    told = trend(FLIES, np.array(counts, dtype=float), np.full(8, 28.0), WEEKS, BELIEVED)
    assert told is not None
    assert told.direction is direction
    assert told.low < told.times_a_week < told.high


def test_more_traps_are_no_rise() -> None:
    of = np.array([7.0, 7.0, 14.0, 14.0, 28.0, 28.0, 56.0, 56.0])
    told = trend(FLIES, 3.0 * of, of, WEEKS, BELIEVED)
    assert told is not None
    assert told.direction is Direction.STEADY
    assert told.times_a_week == pytest.approx(1.0, abs=0.02)


def test_shares() -> None:
    found = np.array([1.0, 1.0, 2.0, 5.0, 9.0, 16.0, 26.0, 40.0])
    told = trend(UNITS, found, np.full(8, 100.0), WEEKS, Believed(0.01, 1.5))
    assert told is not None
    assert told.direction is Direction.RISING


def test_ranges_hold_the_truth() -> None:
    rng = np.random.Generator(np.random.PCG64(8))
    held = 0
    for _ in range(60):
        change = rng.normal(0.0, 0.2)
        mean = 20.0 * np.exp(change * (np.arange(8) - 3.5))
        found = rng.poisson(mean * rng.gamma(4.0, 0.25, 8)).astype(float)
        told = trend(FLIES, found, np.full(8, 28.0), WEEKS, BELIEVED)
        assert told is not None
        held += told.low <= np.exp(change) <= told.high
    assert held >= 54  # 95 in 100 are 57; 54 or more have 97 in 100


def test_too_few_or_too_short() -> None:
    one = np.ones(3)
    assert trend(FLIES, one, one, WEEKS[:3], BELIEVED) is None
    assert trend(FLIES, np.ones(8), np.ones(8), np.arange(8.0), BELIEVED) is None
    assert trend(FLIES, np.array([]), np.array([]), np.array([]), BELIEVED) is None
    with pytest.raises(InputError):
        trend(FLIES, np.ones(4), np.ones(4), np.array([9.0, 3.0, 2.0, 1.0]), BELIEVED)
