"""Row terms against central differences, and where rates are tiny or huge."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.stats import binom

from pinset.learning.incidence.links import Link, chance, log_choose, row_terms, weight_slopes

LOST = np.array([0.0, 1.0, 7.0, 20.0])
RISK = np.full(4, 20.0)


@pytest.mark.parametrize("link", Link)
@pytest.mark.parametrize("at", [-12.0, -5.0, -3.92, -3.9, -1.0, 0.0, 0.7, 1.8])
def test_each_term_is_the_slope_of_the_one_before(link: Link, at: float) -> None:
    eta, step = np.full(4, at), 1e-5

    def slope(which: int) -> NDArray[np.float64]:
        ahead, behind = (
            row_terms(link, eta + step, LOST, RISK),
            row_terms(link, eta - step, LOST, RISK),
        )
        return np.asarray((ahead[which] - behind[which]) / (2.0 * step))

    _, score, weight = row_terms(link, eta, LOST, RISK)
    assert score == pytest.approx(slope(0), rel=1e-6, abs=1e-7)
    assert weight == pytest.approx(-slope(1), rel=1e-6, abs=1e-7)
    assert weight_slopes(link, eta, LOST, RISK) == pytest.approx(slope(2), rel=1e-6, abs=1e-7)


@pytest.mark.parametrize("link", Link)
def test_likelihood_is_the_binomial_of_scipy(link: Link) -> None:
    eta = np.linspace(-6.0, 1.0, 4)
    ours = row_terms(link, eta, LOST, RISK)[0].sum() + log_choose(RISK, LOST)
    assert ours == pytest.approx(binom.logpmf(LOST, RISK, chance(link, eta)).sum(), rel=1e-12)


@pytest.mark.parametrize("link", Link)
def test_nothing_breaks_at_rates_no_farm_has(link: Link) -> None:
    for eta in (-600.0, -80.0, -40.0, 40.0, 300.0, 1e6):
        terms = [
            *row_terms(link, np.full(4, eta), LOST, RISK),
            weight_slopes(link, np.full(4, eta), LOST, RISK),
            chance(link, np.full(4, eta)),
        ]
        assert all(np.isfinite(term).all() for term in terms)
        assert (terms[2] >= 0.0).all()
    all_lost = row_terms(link, np.full(1, 60.0), RISK[:1], RISK[:1])
    assert [float(term[0]) for term in all_lost] == pytest.approx([0.0, 0.0, 0.0], abs=1e-12)


def test_small_rates_keep_their_digits() -> None:
    # towards rate 0: score lost - (risk - lost/2) lam, weight (risk - lost/2) lam
    lam = 1e-9
    _, score, weight = row_terms(Link.CLOGLOG, np.log(np.full(4, lam)), LOST, RISK)
    assert score - LOST == pytest.approx(-(RISK - LOST / 2.0) * lam, rel=1e-5)
    assert weight == pytest.approx((RISK - LOST / 2.0) * lam, rel=1e-8)


def test_both_sides_of_the_series_meet() -> None:
    edge = np.log(0.02)
    below, above = edge - 1e-12, edge + 1e-12
    for one, other in zip(
        row_terms(Link.CLOGLOG, np.full(4, below), LOST, RISK),
        row_terms(Link.CLOGLOG, np.full(4, above), LOST, RISK),
        strict=True,
    ):
        assert one == pytest.approx(other, rel=1e-10)
