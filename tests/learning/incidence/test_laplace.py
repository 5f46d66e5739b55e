"""The objective and its exact slope: differences, dense against banded, lots as plain effects."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import quad
from scipy.special import expit
from scipy.stats import multinomial

from learning.incidence.data_sets import cbpp
from learning.incidence.invented_farm import farm
from pinset.learning.incidence.inputs import Factor, Records, records
from pinset.learning.incidence.laplace import Laplace, laplace
from pinset.learning.incidence.links import Link, log_choose, row_terms
from pinset.learning.incidence.maximum import plain_likelihood, without_fixed
from pinset.learning.incidence.model import Model, Scales

EXACT = 1e-20
NEVER_DENSE, ALWAYS_DENSE = 0, 10**9


def at(model: Model, logs: NDArray[np.float64], *, lots: bool) -> Laplace:
    values = np.exp(logs)
    factors = len(model.sizes)
    scales = Scales(values[:factors], float(values[-1]) if lots else 0.0)
    return laplace(model, scales, close=EXACT)


def differences(model: Model, logs: NDArray[np.float64], *, lots: bool) -> list[float]:
    """Return central differences of the objective."""
    step = 1e-4 * np.eye(len(logs))
    return [
        (at(model, logs + each, lots=lots).objective - at(model, logs - each, lots=lots).objective)
        / 2e-4
        for each in step
    ]


@pytest.mark.parametrize("lots", [False, True])
@pytest.mark.parametrize("link", Link)
def test_slope_is_exact(link: Link, lots: bool) -> None:  # noqa: FBT001
    made = farm(3, 250, 20, link=link, delayed=link is Link.CLOGLOG).records
    model = Model(made)
    logs = np.log(np.linspace(0.3, 0.8, len(made.factors) + lots))
    expected = differences(model, logs, lots=lots)
    assert at(model, logs, lots=lots).slope == pytest.approx(expected, rel=1e-6, abs=1e-6)


@pytest.mark.parametrize("lots", [False, True])
def test_slope_of_the_plain_likelihood_is_exact(lots: bool) -> None:  # noqa: FBT001
    data = cbpp()
    effects = without_fixed(data)
    start = np.concatenate([np.log([0.5, 0.7][: 1 + lots]), [-1.4, -0.9, -1.1, -1.5]])

    def value(point: NDArray[np.float64]) -> tuple[float, NDArray[np.float64]]:
        scales = Scales(np.exp(point[:1]), float(np.exp(point[1])) if lots else 0.0)
        at, slope = plain_likelihood(effects, data.design, point[1 + lots :], scales)
        return at.objective, slope

    step = 1e-4 * np.eye(len(start))
    expected = [(value(start + each)[0] - value(start - each)[0]) / 2e-4 for each in step]
    assert value(start)[1] == pytest.approx(expected, rel=1e-5, abs=1e-5)


def test_banded_is_dense() -> None:
    made = farm(5, 1500, 20).records
    dense = Model(made, dense_below=ALWAYS_DENSE)
    banded = Model(made, dense_below=NEVER_DENSE)
    assert dense.order.shape.blocks == 0
    assert banded.order.shape.blocks > 5
    scales = Scales(np.linspace(0.3, 0.6, 7), 0.8)
    one, other = (laplace(each, scales, close=EXACT) for each in (dense, banded))
    assert other.objective == pytest.approx(one.objective, abs=1e-10 * abs(one.objective))
    assert other.slope == pytest.approx(one.slope, abs=1e-10 * len(made.lot))
    for name in ("leverage", "pull", "lot_shift", "lot_variance"):
        assert getattr(other, name) == pytest.approx(getattr(one, name), abs=1e-10), name
    for inside, outside in ((one.mode.v, other.mode.v), (one.shift, other.shift)):
        assert banded.natural(outside) == pytest.approx(dense.natural(inside), abs=1e-10)
    spreads = [model.natural(found.inverse[model.diagonal]) for model, found in
               ((dense, one), (banded, other))]  # fmt: skip
    assert spreads[1] == pytest.approx(spreads[0], abs=1e-10)


def as_plain_effect(made: Records) -> Records:
    """Return records whose lots are levels of one more factor."""
    lots = np.arange(made.lots)
    own = Factor("lot", tuple(map(str, lots)), lots)
    return replace(made, factors=(*made.factors, own))


def test_lot_effect_is_one_plain_effect_for_each_lot() -> None:
    made = farm(6, 200, 20).records
    scales = np.linspace(0.3, 0.6, 7)
    short = laplace(Model(made), Scales(scales, 0.8), with_prior=False, close=EXACT)
    model = Model(as_plain_effect(made), dense_below=ALWAYS_DENSE)
    every = Scales(np.append(scales, 0.8), 0.0)
    long = laplace(model, every, with_prior=False, close=EXACT)
    assert short.objective == pytest.approx(long.objective, abs=1e-10)
    assert short.slope == pytest.approx(long.slope, abs=1e-9)
    of_lots = slice(model.levels - made.lots, model.levels)
    spread = model.natural(long.inverse[model.diagonal])[of_lots]
    assert short.mode.lots.effect == pytest.approx(model.natural(long.mode.v)[of_lots], abs=1e-8)
    assert short.lot_shift == pytest.approx(model.natural(long.shift)[of_lots], abs=1e-9)
    assert short.lot_variance == pytest.approx(spread, abs=1e-10)


def test_rows_of_one_lot_multiply_exactly() -> None:
    """Three looks at a lot have the chance of their multinomial: shown in each interval, never."""
    shares, lost, left = np.array([0.3, 0.25, 0.2]), np.array([3.0, 2.0, 4.0]), 21
    risk = left + np.cumsum(lost[::-1])[::-1]
    rate = 0.4
    seen = np.exp(-rate * np.append(0.0, np.cumsum(shares)))
    exact = multinomial.logpmf([*lost, left], int(risk[0]), [*(seen[:-1] - seen[1:]), seen[-1]])
    eta = np.log(rate * shares)
    terms = row_terms(Link.CLOGLOG, eta, lost, risk)[0].sum() + log_choose(risk, lost)
    assert terms == pytest.approx(exact, rel=1e-12)


def test_two_clean_looks_are_one_later_look() -> None:
    cook = Factor("cook", ("a", "b"), np.array([0, 1]))
    twice = records(
        lot=[0, 0, 1], lost=[0, 0, 4], risk=[30, 30, 30], log_showing=np.log([0.4, 0.35, 0.75]),
        made_day=[0.0, 1.0], factors=[cook],
    )  # fmt: skip
    once = records(lost=[0, 4], risk=[30, 30], log_showing=np.log([0.75, 0.75]), factors=[cook])
    scales = Scales(np.array([0.7]), 0.6)
    split, whole = laplace(Model(twice), scales), laplace(Model(once), scales)
    assert split.objective == pytest.approx(whole.objective, abs=1e-10)
    assert split.mode.v == pytest.approx(whole.mode.v, abs=1e-8)
    assert split.slope == pytest.approx(whole.slope, abs=1e-8)


def test_one_group_against_direct_integration() -> None:
    """The likelihood of one group of counts, summed over its effect by adaptive quadrature."""
    lost, risk, sd = np.array([3.0, 6.0, 4.0]), np.array([40.0, 50.0, 45.0]), 0.6
    made = records(
        lost=lost, risk=risk, factors=[Factor("cook", ("a",), np.zeros(3, int))],
        design=np.zeros((3, 0)), link=Link.LOGIT,
    )  # fmt: skip
    found = laplace(Model(made).given(np.full(3, -2.0)), Scales(np.array([sd]), 0.0),
                    with_prior=False)  # fmt: skip

    def joint(u: float) -> float:
        rate = expit(-2.0 + u)
        logs = lost * np.log(rate) + (risk - lost) * np.log1p(-rate)
        return float(np.exp(logs.sum() - u * u / (2.0 * sd * sd) + 45.0))

    whole = quad(joint, -3.0, 3.0, epsabs=1e-12)[0]
    mean = quad(lambda u: u * joint(u), -3.0, 3.0, epsabs=1e-12)[0] / whole
    exact = np.log(whole / (sd * np.sqrt(2.0 * np.pi))) - 45.0
    assert found.objective - Model(made).counts.constant == pytest.approx(exact, abs=0.005)
    mode_error = abs(float(found.mode.v[0]) - mean)
    assert abs(float((found.mode.v - found.shift)[0]) - mean) < 0.2 * mode_error
