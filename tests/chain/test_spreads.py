from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.chain.register import Spread
from pinset.chain.spreads import cumulative, days_ahead, days_through, quantile, variance
from pinset.errors import InputError

FINITE = st.floats(0.0, 400.0, allow_nan=False)
SPREADS = st.tuples(FINITE, FINITE, FINITE).map(lambda t: Spread(*sorted(t)))
CHANCES = st.floats(0.0, 1.0)


@pytest.mark.parametrize("p", [0.05, 0.1, 0.5, 0.9, 0.95])
def test_quantiles_are_those_of_numpys_triangular_sampler(p: float) -> None:
    # Outside check: numpy.random.Generator.triangular, 400 000 draws; three standard errors.
    spread = Spread(12.0, 16.0, 28.0)
    draws = np.random.default_rng(7).triangular(spread.low, spread.mode, spread.high, 400_000)
    share = float(np.mean(draws <= quantile(spread, p)))
    assert share == pytest.approx(p, abs=3 * math.sqrt(p * (1 - p) / 400_000))


def test_mean_and_variance_are_those_of_numpys_sampler() -> None:
    spread = Spread(35.0, 90.0, 130.0)
    draws = np.random.default_rng(8).triangular(35.0, 90.0, 130.0, 400_000)
    assert float(np.mean(draws)) == pytest.approx(spread.mean, abs=0.1)
    assert float(np.var(draws)) == pytest.approx(variance(spread), rel=0.01)


@given(SPREADS, CHANCES)
def test_quantile_undoes_the_distribution_function(spread: Spread, p: float) -> None:
    value = quantile(spread, p)
    assert spread.low - 1e-9 <= value <= spread.high + 1e-9
    if spread.high - spread.low > 1e-3:
        assert cumulative(spread, value) == pytest.approx(p, abs=1e-6)


@given(SPREADS, CHANCES, CHANCES)
def test_quantile_rises(spread: Spread, p: float, q: float) -> None:
    assert quantile(spread, min(p, q)) <= quantile(spread, max(p, q)) + 1e-9


@pytest.mark.parametrize("spread", [Spread(5, 5, 9), Spread(5, 9, 9), Spread(5, 5, 5)])
def test_corners_that_coincide(spread: Spread) -> None:
    assert quantile(spread, 0.0) == 5.0
    assert quantile(spread, 1.0) == spread.high
    assert cumulative(spread, 4.9) == 0.0
    assert cumulative(spread, spread.high) == 1.0
    ahead = days_ahead(spread)
    assert 5.0 <= ahead.p10 <= ahead.p50 <= ahead.p90 <= spread.high


def test_phases_one_after_the_other_are_those_of_a_simulation() -> None:
    # Shiitake: spawn run, ripening, pins and growth, drawn with numpy's triangular sampler.
    phases = [Spread(12, 16, 28), Spread(35, 90, 130), Spread(9, 13, 18)]
    rng = np.random.default_rng(9)
    total = sum(rng.triangular(s.low, s.mode, s.high, 300_000) for s in phases)
    ahead = days_through(phases)
    assert ahead.mean == pytest.approx(float(np.mean(total)), abs=0.15)
    for p, ours in ((10, ahead.p10), (50, ahead.p50), (90, ahead.p90)):
        assert ours == pytest.approx(float(np.percentile(total, p)), abs=0.25)


def test_sum_of_two_alike_is_symmetric_about_its_mean() -> None:
    ahead = days_through([Spread(0, 5, 10), Spread(0, 5, 10)])
    assert ahead.p50 == pytest.approx(10.0, abs=0.02)
    assert ahead.p90 - 10.0 == pytest.approx(10.0 - ahead.p10, abs=0.02)


@given(st.lists(SPREADS, max_size=3))
def test_sum_keeps_the_mean_and_its_order(spreads: list[Spread]) -> None:
    ahead = days_through(spreads)
    assert ahead.mean == pytest.approx(sum(s.mean for s in spreads))
    assert ahead.p10 <= ahead.p50 + 1e-9
    assert ahead.p50 <= ahead.p90 + 1e-9
    assert ahead.p90 <= sum(s.high for s in spreads) * 1.001 + 0.01


def test_one_phase_and_fixed_phases_are_exact() -> None:
    one = Spread(8, 11, 14)
    assert days_through([one]) == days_ahead(one)
    shifted = days_through([one, Spread(3, 3, 3)])
    assert shifted.p90 == pytest.approx(days_ahead(one).p90 + 3.0)
    assert days_through([]).p50 == 0.0


@pytest.mark.parametrize("bad", [Spread(3, 2, 4), Spread(3, 5, 4), Spread(float("nan"), 1, 2)])
def test_disordered_spreads_are_refused(bad: Spread) -> None:
    for call in (lambda: quantile(bad, 0.5), lambda: cumulative(bad, 1.0), lambda: variance(bad)):
        with pytest.raises(InputError, match="rising order"):
            call()


@pytest.mark.parametrize("p", [-0.1, 1.1, float("nan")])
def test_chances_outside_are_refused(p: float) -> None:
    with pytest.raises(InputError, match="from 0 to 1"):
        quantile(Spread(0, 1, 2), p)


def test_no_number_has_no_chance() -> None:
    with pytest.raises(InputError, match="a number"):
        cumulative(Spread(0, 1, 2), float("nan"))
