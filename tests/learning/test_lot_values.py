"""Against scipy's Student t and chi-squared, a posterior summed by hand, and simulated farms."""

from math import exp, sqrt

import numpy as np
import pytest
from scipy import stats

from pinset.errors import InputError
from pinset.learning.lot_values import alone, together

VALUES = (11.5, 12.5, 10.5, 14.5, 11.5, 12.5)
FARMS = 2000


def seeded(seed: int) -> np.random.Generator:
    return np.random.Generator(np.random.PCG64(seed))


def test_alone_is_students_interval() -> None:
    found = alone(VALUES)
    low, high = stats.t.interval(0.8, 5, np.mean(VALUES), stats.sem(VALUES))
    assert (found.low, found.high) == pytest.approx((low, high))
    squares = np.var(VALUES, ddof=1) * 5
    assert found.sd_low == pytest.approx(sqrt(squares / stats.chi2.ppf(0.9, 5)))
    assert found.sd_high == pytest.approx(sqrt(squares / stats.chi2.ppf(0.1, 5)))


def test_together_is_the_posterior_summed_over_a_grid() -> None:
    mean, sd, worth = 14.0, 1.5, 5.0
    found = together(VALUES, mean, sd, route_lots=worth)
    m = np.linspace(8.0, 18.0, 1201)[:, None]
    v = np.exp(np.linspace(np.log(0.05), np.log(200.0), 1601))[None, :]
    logs = stats.invgamma.logpdf(v, 1.0 + worth / 2.0, scale=sd**2 * worth / 2.0) + np.log(v)
    logs = logs + stats.norm.logpdf(m, mean, np.sqrt(v / worth))
    for value in VALUES:
        logs = logs + stats.norm.logpdf(value, m, np.sqrt(v))
    mass = np.exp(logs - logs.max())
    mass /= mass.sum()
    assert found.mean == pytest.approx(float((mass * m).sum()), abs=1e-3)
    spread = float((mass * (v + m**2)).sum()) - found.mean**2
    assert found.sd == pytest.approx(sqrt(spread), rel=2e-3)
    below = np.cumsum(mass.sum(axis=1))
    assert found.low == pytest.approx(float(np.interp(0.1, below, m[:, 0])), abs=0.02)
    assert found.high == pytest.approx(float(np.interp(0.9, below, m[:, 0])), abs=0.02)
    assert found.weight == pytest.approx(6 / 11)


def test_without_lots_the_routes_figure_stands() -> None:
    found = together((), 14.0, 1.5)
    assert (found.mean, found.weight) == (14.0, 0.0)
    assert found.sd > 1.5  # nobody knows its mean for certain


def test_many_lots_leave_the_route_behind() -> None:
    values = seeded(3).normal(20.0, 2.0, 4000)
    found = together(tuple(values), 10.0, 2.0)
    assert found.mean == pytest.approx(values.mean(), abs=0.02)
    assert found.sd == pytest.approx(values.std(), rel=0.02)


@pytest.mark.parametrize("lots", [2, 5, 30])
def test_the_range_covers_the_truth_on_four_farms_of_five(lots: int) -> None:
    random = seeded(lots)
    mean, spread = 6.2, 0.25  # log grams
    held = held_sd = 0
    for _ in range(FARMS):
        found = alone(tuple(random.normal(mean, spread, lots)))
        held += found.low <= mean <= found.high
        held_sd += found.sd_low <= spread <= found.sd_high
    assert held / FARMS == pytest.approx(0.8, abs=0.03)  # 3.4 standard errors
    assert held_sd / FARMS == pytest.approx(0.8, abs=0.03)


def test_with_a_route_drawn_from_the_same_world_the_range_covers_too() -> None:
    random = seeded(8)
    held = 0
    for _ in range(FARMS):
        spread = sqrt(2.5 * 1.5**2 / random.gamma(3.5))  # variance 1.5**2 in expectation
        farm = random.normal(14.0, spread / sqrt(5.0))  # as far off as the mean of five lots
        found = together(tuple(random.normal(farm, spread, 8)), 14.0, 1.5)
        held += found.low <= farm <= found.high
    assert held / FARMS == pytest.approx(0.8, abs=0.03)


def test_the_middle_lot_of_a_lognormal_is_found() -> None:
    weights = stats.lognorm.rvs(0.2, scale=500.0, size=3000, random_state=seeded(5))
    found = alone(tuple(np.log(weights)))
    assert exp(found.mean) == pytest.approx(500.0, rel=3 * 0.2 / sqrt(3000))
    assert found.sd == pytest.approx(0.2, rel=0.04)
    fitted, _, scale = stats.lognorm.fit(weights, floc=0.0)
    assert (found.sd, exp(found.mean)) == pytest.approx((fitted, scale), rel=1e-3)


def test_one_lot_says_nothing_of_a_spread() -> None:
    with pytest.raises(InputError, match="2 or more"):
        alone((12.0,))


@pytest.mark.parametrize(("sd", "worth"), [(0.0, 5.0), (1.0, 0.0)])
def test_a_route_without_width_or_weight_is_refused(sd: float, worth: float) -> None:
    with pytest.raises(InputError, match="more than 0"):
        together(VALUES, 12.0, sd, route_lots=worth)
