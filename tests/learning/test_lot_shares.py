"""Against scipy's beta-binomial and beta, and simulated farms whose truth is known."""

import numpy as np
import pytest
from scipy import stats

from pinset.errors import InputError
from pinset.learning import lot_shares
from pinset.learning.lot_shares import alone, correlation_of, together

LOTS = ((30, 2), (24, 0), (60, 9), (30, 1), (12, 0), (40, 4))
FARMS = 400


def seeded(seed: int) -> np.random.Generator:
    return np.random.Generator(np.random.PCG64(seed))


def test_the_likelihood_is_scipys_beta_binomial() -> None:
    shares, correlations = np.array([0.02, 0.1, 0.4]), np.array([0.01, 0.05, 0.3])
    found = lot_shares._log_likelihood(LOTS, shares, correlations)
    for i, share in enumerate(shares):
        for j, correlation in enumerate(correlations):
            total = 1.0 / correlation - 1.0
            expected = sum(
                stats.betabinom.logpmf(lost, units, share * total, (1 - share) * total)
                for units, lost in LOTS
            )
            constant = sum(
                stats.betabinom.logpmf(lost, units, 1.0, 1.0) + np.log(units + 1)
                for units, lost in LOTS
            )
            assert constant == pytest.approx(0.0, abs=1e-9)
            expected -= sum(_log_choose(units, lost) for units, lost in LOTS)
            assert found[i, j] == pytest.approx(expected, abs=1e-8)


def _log_choose(units: int, lost: int) -> float:
    return float(stats.binom.logpmf(lost, units, 0.5) - units * np.log(0.5))


def test_without_clustering_it_is_the_conjugate_beta(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(lot_shares, "CORRELATION_LOG_SD", 1e-6)
    found = alone(LOTS, 1e-7)
    lost, units = 16, 196
    posterior = stats.beta(0.5 + lost, 0.5 + units - lost)
    assert found.mean == pytest.approx(posterior.mean(), rel=1e-3)
    assert (found.low, found.high) == pytest.approx(posterior.interval(0.8), rel=5e-3)


def test_lots_of_one_unit_do_not_cluster_and_the_route_is_a_beta_prior() -> None:
    lots = ((1, 1),) * 6 + ((1, 0),) * 44
    mean, sd = 0.05, 0.04
    found = together(lots, mean, sd, route_lots=40.0)
    posterior = stats.beta(0.05 * 40 + 6, 0.95 * 40 + 44)
    assert found.mean == pytest.approx(posterior.mean(), rel=1e-3)
    assert (found.low, found.high) == pytest.approx(posterior.interval(0.8), rel=5e-3)


def test_without_lots_the_routes_figure_stands() -> None:
    found = together((), 0.06, 0.03)
    assert found.mean == pytest.approx(0.06, abs=1e-3)
    assert found.weight == 0.0


def test_clustering_widens_the_range() -> None:
    even, clumped = ((40, 4),) * 10, ((40, 0),) * 8 + ((40, 20),) * 2
    close, wide = alone(even), alone(clumped)
    assert wide.high - wide.low > 2.0 * (close.high - close.low)


def test_a_route_that_loses_nothing_does_not_hold_losses_down() -> None:
    found = together(((50, 5),) * 20, 0.0, 0.0)
    assert found.mean == pytest.approx(0.1, abs=0.02)
    assert found.weight == 1.0


def test_what_a_spread_between_lots_comes_to() -> None:
    drawn = stats.beta(0.1 * 19, 0.9 * 19)  # correlation 1 / (19 + 1)
    assert correlation_of(drawn.mean(), drawn.std()) == pytest.approx(0.05)
    assert correlation_of(0.0, 0.0) == lot_shares.CORRELATION


@pytest.mark.parametrize(
    ("share", "correlation", "lots"), [(0.05, 0.02, 25), (0.15, 0.10, 12), (0.04, 0.05, 80)]
)
def test_the_range_covers_the_truth_on_four_farms_of_five(
    share: float, correlation: float, lots: int
) -> None:
    random = seeded(lots)
    total = 1.0 / correlation - 1.0
    held = 0
    for _ in range(FARMS):
        own = random.beta(share * total, (1.0 - share) * total, lots)
        units = random.integers(10, 60, lots)
        lost = random.binomial(units, own)
        found = alone(tuple(zip(units.tolist(), lost.tolist(), strict=True)))
        held += found.low <= share <= found.high
    assert held / FARMS == pytest.approx(0.8, abs=0.06)  # three standard errors


def test_the_next_lot_spreads_as_lots_do() -> None:
    random = seeded(4)
    own = random.beta(0.1 * 19, 0.9 * 19, 600)
    lost = random.binomial(40, own)
    found = together(tuple((40, int(each)) for each in lost), 0.05, 0.03)
    assert found.mean == pytest.approx(0.1, abs=0.008)
    assert found.sd == pytest.approx(own.std(), rel=0.12)


@pytest.mark.parametrize(
    ("lots", "why"), [(((30, 1),), "2 or more"), ((), "2 or more"), (((3, 4), (5, 1)), "no more")]
)
def test_too_few_lots_and_wrong_counts_are_refused(
    lots: tuple[tuple[int, int], ...], why: str
) -> None:
    with pytest.raises(InputError, match=why):
        alone(lots)


def test_a_route_that_loses_everything_is_refused() -> None:
    with pytest.raises(InputError, match="below 1"):
        together(LOTS, 1.0, 0.0)


def test_all_lost_stays_below_one() -> None:
    found = together(((20, 20),) * 6, 0.05, 0.03)
    assert 0.05 < found.mean < found.high < 1.0
