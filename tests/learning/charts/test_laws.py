"""Chances of counts: equal to scipy's negative binomial and beta-binomial."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from pinset.errors import InputError
from pinset.learning.charts.laws import (
    FLIES,
    UNITS,
    Believed,
    checked_counts,
    count_chance,
    grid,
    share_chance,
)

ONE = np.array([1.0])


@pytest.mark.parametrize("clumping", [0.01, 0.25, 2.0])
@pytest.mark.parametrize("rate", [0.004, 0.7, 30.0])
def test_flies_are_negative_binomial(rate: float, clumping: float) -> None:
    found, of = np.array([0.0, 1.0, 7.0, 300.0]), np.array([28.0, 3.5, 7.0, 14.0])
    shape, mean = 1.0 / clumping, rate * of
    want = stats.nbinom.logpmf(found, shape, shape / (shape + mean))
    got = count_chance(found, of, np.log(rate) * np.ones(4), clumping * np.ones(4))
    assert got == pytest.approx(want, rel=1e-8)


@pytest.mark.parametrize("clumping", [0.001, 0.03, 0.2])
@pytest.mark.parametrize("share", [0.002, 0.1, 0.9])
def test_units_are_beta_binomial(share: float, clumping: float) -> None:
    found, of = np.array([0.0, 1.0, 7.0, 60.0]), np.array([40.0, 1.0, 90.0, 60.0])
    total = 1.0 / clumping - 1.0
    want = stats.betabinom.logpmf(found, of, share * total, (1.0 - share) * total)
    log_rate = np.full(4, np.log(-np.log1p(-share)))
    assert share_chance(found, of, log_rate, clumping * np.ones(4)) == pytest.approx(want, rel=1e-7)


@pytest.mark.parametrize("law", [FLIES, UNITS])
def test_a_grid_weighs_as_it_is_believed(law: object) -> None:
    points = grid(FLIES if law is FLIES else UNITS, Believed(0.5, 1.2))
    weight = np.exp(points.log_weight)
    assert weight.sum() == pytest.approx(1.0)
    middle = points.log_rate @ weight
    assert middle == pytest.approx(np.log(0.5))
    assert np.sqrt(weight @ (points.log_rate - middle) ** 2) == pytest.approx(1.2, rel=0.02)


def test_counts_that_cannot_be() -> None:
    for found, of in (([-1.0], [1.0]), ([1.0], [0.0]), ([1.0], [np.nan]), ([1.0, 2.0], [1.0])):
        with pytest.raises(InputError):
            checked_counts(FLIES, np.array(found), np.array(of))
    with pytest.raises(InputError):
        checked_counts(UNITS, 2 * ONE, ONE)
    checked_counts(FLIES, 2 * ONE, ONE)
    with pytest.raises(InputError):
        grid(FLIES, Believed(0.0, 1.0))
