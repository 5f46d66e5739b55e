"""Means of alike groups drawn together, against published fits and a plain likelihood."""

from __future__ import annotations

from math import log

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from learning.check_tables import column, expected, table
from pinset.errors import InputError
from pinset.learning.pooled_means import Pooled, pooled

BATCHES = [row["Batch"] for row in table("data_dyestuff.csv")]
YIELDS = column("data_dyestuff.csv", "Yield")
ROW = "P1"


def near(what: str) -> object:
    value, tolerance = expected("checks_pooling.csv", ROW, what)
    return pytest.approx(value, abs=tolerance)


@pytest.fixture(scope="module")
def dyestuff() -> Pooled:
    return pooled(YIELDS, BATCHES)


def test_restricted_fit_of_the_dyestuff(dyestuff: Pooled) -> None:
    """Davies and Goldsmith 1972, as lme4 documents it; statsmodels gives the same."""
    assert dyestuff.mean == near("Dyestuff Yield ~ 1 + (1|Batch), REML: mean")
    assert dyestuff.between == near("REML sd_batch")
    assert dyestuff.within == near("REML sd_residual")
    assert dyestuff.log_likelihood == near("REML logLik")
    assert dyestuff.groups["E"].effect == near("REML effect of batch E")
    assert dyestuff.groups["F"].effect == near("REML effect of batch F")


def test_plain_fit_of_the_dyestuff() -> None:
    """Deviance and deviation as the tests of lme4 have them."""
    plain = pooled(YIELDS, BATCHES, restricted=False)
    assert -2.0 * plain.log_likelihood == near("ML deviance")
    assert plain.between == near("ML sd_batch")


def test_the_plain_likelihood_is_that_of_the_joint_normal() -> None:
    rng = np.random.Generator(np.random.PCG64(5))
    groups = list("ABBCCCCCCCDDDDEEE")
    shifts = dict(zip("ABCDE", rng.normal(0.0, 2.0, 5), strict=True))
    values = [3.0 + shifts[group] + float(rng.normal()) for group in groups]
    fit = pooled(values, groups, restricted=False)
    same = np.array([[one == other for other in groups] for one in groups], dtype=float)

    def likelihood(mean: float, between: float, within: float) -> float:
        covariance = between**2 * same + within**2 * np.eye(len(groups))
        return float(multivariate_normal.logpdf(values, np.full(len(groups), mean), covariance))

    best = likelihood(fit.mean, fit.between, fit.within)
    assert best == pytest.approx(fit.log_likelihood, abs=1e-8)
    for mean, between, within in ((1.02, 1.0, 1.0), (1.0, 1.05, 1.0), (1.0, 1.0, 1.05)):
        assert likelihood(fit.mean * mean, fit.between * between, fit.within * within) < best
    single, many = fit.groups["A"], fit.groups["C"]
    assert abs(single.mean - fit.mean) < abs(single.own - fit.mean)  # one value says little
    assert single.sd > many.sd


def test_groups_that_differ_no_more_than_chance_are_one() -> None:
    fit = pooled([1.0, 2.0, 3.0, 2.9, 2.0, 1.1], list("AAABBB"))
    assert fit.between == pytest.approx(0.0, abs=1e-9)
    assert fit.groups["A"].effect == pytest.approx(0.0, abs=1e-9)
    assert fit.groups["A"].mean == pytest.approx(2.0)
    assert fit.within == pytest.approx(np.std([1.0, 2.0, 3.0, 2.9, 2.0, 1.1], ddof=1))


def test_ranges_hold_the_truth_of_drawn_groups() -> None:
    rng = np.random.Generator(np.random.PCG64(11))
    held = []
    for _ in range(300):
        shifts = rng.normal(0.0, 0.1, 12)
        groups = np.repeat(np.arange(12), 8)
        values = log(400.0) + shifts[groups] + rng.normal(0.0, 0.2, len(groups))
        fit = pooled(list(values), list(groups))
        for group, shift in enumerate(shifts):
            one = fit.groups[group]
            held.append(abs(one.mean - log(400.0) - shift) <= 1.2816 * one.sd)
    assert np.mean(held) == pytest.approx(0.8, abs=0.04)


@pytest.mark.parametrize(
    ("values", "groups"),
    [
        ([], []),
        ([1.0, 2.0], ["A", "A"]),
        ([1.0, 2.0], ["A", "B"]),
        ([1.0, 2.0, float("nan")], ["A", "A", "B"]),
        ([1.0, 2.0], ["A"]),
    ],
)
def test_too_little_is_refused(values: list[float], groups: list[str]) -> None:
    with pytest.raises(InputError):
        pooled(values, groups)
