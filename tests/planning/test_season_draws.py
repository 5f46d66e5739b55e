"""What chance draws has the means, variances and shapes that closed forms give."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from pinset.chain.register import Spread
from pinset.chain.spreads import quantile, variance
from pinset.planning.season.draws import ByChance, Expected, seeded, triangular
from pinset.planning.season.odds import Growing, Phase

SEASONS = 200_000
DAYS, LOSS = Spread(8.0, 10.0, 16.0), Spread(0.0, 0.05, 0.25)


def by_chance(**switches: bool) -> ByChance:
    return ByChance(seeded(5), SEASONS, **switches)


@pytest.mark.parametrize("spread", [DAYS, LOSS, Spread(2, 2, 5), Spread(1, 4, 4)])
def test_quantiles_are_those_of_scipy(spread: Spread) -> None:
    """scipy.stats.triang: c is the mode's share of the width."""
    width = spread.high - spread.low
    peer = stats.triang((spread.mode - spread.low) / width, loc=spread.low, scale=width)
    u = np.linspace(0.0, 1.0, 101)
    assert triangular(spread, u) == pytest.approx(peer.ppf(u), abs=1e-12)


def test_a_spread_of_no_width_is_its_mode() -> None:
    assert (triangular(Spread(3, 3, 3), np.array([0.0, 0.4, 1.0])) == 3.0).all()


@pytest.mark.parametrize("units", [1, 12, 80])
def test_survivors_of_a_lot_cluster(units: int) -> None:
    """Mean n E(s); variance n E(s(1-s)) + n² Var(s), with s the lot's own surviving share."""
    row = np.full(SEASONS, units, np.float32)
    found = by_chance().survivors(row, [(LOSS, 1.0)], 0.9).astype(float)
    mean, var = 1.0 - LOSS.mean, variance(LOSS)
    expected_var = units * (mean * (1.0 - mean) - var) + units**2 * var
    error = np.sqrt(expected_var / SEASONS)
    assert found.mean() == pytest.approx(units * mean, abs=5 * error)
    assert found.var() == pytest.approx(expected_var, rel=0.03)
    assert (found == np.rint(found)).all()


def test_a_share_of_a_loss_and_two_steps_multiply() -> None:
    row = np.full(SEASONS, 50.0, np.float32)
    found = by_chance().survivors(row, [(LOSS, 0.5), (Spread(0.1, 0.1, 0.1), 1.0)], 0.5)
    assert found.mean() == pytest.approx(50 * (1 - 0.5 * LOSS.mean) * 0.9, rel=2e-3)


def test_days_are_whole_and_counted_from_the_planned_ones() -> None:
    """The chance of each day is that of the triangular distribution between two whole days."""
    late = by_chance().grown([Phase(DAYS, LOSS)])
    planned = np.ceil(quantile(DAYS, 0.5))
    peer = stats.triang(2.0 / 8.0, loc=8.0, scale=8.0)
    for day in range(9, 17):
        share = float((late + planned == day).mean())
        assert share == pytest.approx(peer.cdf(day) - peer.cdf(day - 1), abs=0.004)


def test_what_had_not_come_yesterday_comes_today_or_later() -> None:
    """Aged 11 days: it took more than 10; the rest of the distribution, nothing of the past."""
    late = by_chance().days_off_plan(DAYS, 11.0, 11.0) + 11.0
    peer = stats.triang(2.0 / 8.0, loc=8.0, scale=8.0)
    gone = peer.cdf(10.0)
    assert late.min() == 11.0
    for day in range(11, 17):
        share = (peer.cdf(day) - peer.cdf(day - 1)) / (1.0 - gone)
        assert float((late == day).mean()) == pytest.approx(share, abs=0.005)
    over = by_chance().days_off_plan(DAYS, 11.0, 30.0)
    assert (over == 0.0).all(), "long overdue: it comes when it is looked for"
    assert (by_chance().days_off_plan(DAYS, 11.0, 0.0) + 11.0).min() == 9.0, "just begun"


def test_a_ripening_lot_has_its_present_step_and_those_to_come() -> None:
    judged = Growing(5.0, Phase(DAYS, LOSS), 1.0, (Phase(Spread(3, 3, 3), LOSS),), is_judged=True)
    assert (by_chance().ripened(judged) == 0.0).all()
    open_ = Growing(5.0, Phase(DAYS, LOSS), 1.0, (Phase(Spread(1, 4, 7), LOSS),))
    both = by_chance().ripened(open_).astype(float)
    one = by_chance().days_off_plan(DAYS, np.ceil(quantile(DAYS, 0.5)), 5.0).astype(float)
    other = by_chance().grown(open_.later).astype(float)
    assert both.mean() == pytest.approx(one.mean() + other.mean(), abs=0.02)
    assert both.var() == pytest.approx(one.var() + other.var(), rel=0.03)


def test_yields_are_lognormal_with_mean_one() -> None:
    factor = by_chance().bearing(0.2).astype(float)
    assert factor.mean() == pytest.approx(1.0, abs=3e-3)
    assert np.log(factor).std() == pytest.approx(0.2, rel=0.01)
    assert (by_chance().bearing(0.0) == 1.0).all()


def test_what_is_switched_off_comes_as_expected() -> None:
    phases = [Phase(DAYS, LOSS)]
    row = np.full(SEASONS, 10.0, np.float32)
    assert (by_chance(with_days=False).grown(phases) == 0.0).all()
    assert (by_chance(with_yields=False).bearing(0.5) == 1.0).all()
    kept = by_chance(with_losses=False).survivors(row, [(LOSS, 1.0)], 0.87)
    assert set(np.unique(kept)) == {8.0, 9.0}
    assert kept.mean() == pytest.approx(8.7, abs=0.01)


def test_an_expected_season_has_no_chance_in_it() -> None:
    plain = Expected()
    assert plain.survivors(np.array([10.0], np.float32), [(LOSS, 1.0)], 0.9)[0] == np.float32(9.0)
    assert plain.grown([Phase(DAYS, LOSS)])[0] == plain.days_off_plan(DAYS, 3.0, 0.0)[0] == 0.0


def test_the_same_seed_gives_the_same_seasons() -> None:
    one, two = (ByChance(seeded(9), 50).bearing(0.3) for _ in range(2))
    assert (one == two).all()
