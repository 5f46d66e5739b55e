"""What is said of suspects on invented farms whose truth is known."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from scipy.special import roots_hermitenorm

from learning.incidence.invented_farm import Farm, farm
from pinset.learning.incidence.fit import Fit, fit
from pinset.learning.incidence.inputs import Factor, records
from pinset.learning.incidence.links import Link, chance
from pinset.learning.incidence.rates import (
    expected_lost,
    lots_themselves,
    mean_chance,
    new_lots,
)
from pinset.learning.incidence.report import confused, suspects


@cache
def example() -> tuple[Farm, Fit]:
    made = farm(14, 800)
    return made, fit(made.records)


def test_every_level_is_told_with_what_stands_behind_it() -> None:
    made, found = example()
    told = suspects(found)
    cook = made.records.factors[0]
    assert [s.level for s in told[: len(cook.levels)]] == list(cook.levels)
    for n in (0, 7, 30):
        of_cook = cook.of_lot == n
        assert told[n].lots == of_cook.sum()
        assert told[n].vessels == 50 * of_cook.sum()
        assert told[n].lost == made.records.lost[of_cook].sum()
        assert told[n].ratio == pytest.approx(np.exp(found.mean[n]))
        assert told[n].high / told[n].ratio == pytest.approx(np.exp(1.959964 * found.sd[n]))


def test_raised_agrees_with_how_often_truth_is_raised() -> None:
    made, found = example()
    told = suspects(found)
    raised = np.array([s.raised for s in told])
    truth = made.truth[: len(told)] > np.log(1.5)
    assert raised.sum() == pytest.approx(truth.sum(), rel=0.25)
    assert raised[truth].mean() > 2.5 * raised[~truth].mean()


def test_excess_is_the_true_excess_within_chance() -> None:
    """The vessels really drawn, less the mean without the level, summed over all raised levels."""
    made, found = example()
    told = suspects(found)
    data = made.records
    worst = max(told, key=lambda s: s.excess)
    factor = next(f for f in data.factors if f.name == worst.factor)
    lots = factor.of_lot == factor.levels.index(worst.level)
    share = 1.0 - np.exp(-worst.mean)
    assert worst.excess == pytest.approx(share * data.lost[lots].sum(), rel=0.25)
    assert sum(s.excess for s in told if s.factor == "line") < data.lost.sum()


def test_excess_against_draws_of_the_effects() -> None:
    """One cook of three: quadrature against the same sums over many draws of all effects."""
    cook = Factor("cook", ("a", "b", "c"), np.repeat([0, 1, 2], 6))
    found = fit(records(lost=[2, 3, 1, 4, 2, 3, 9, 12, 8, 10, 9, 14, 3, 2, 2, 4, 1, 2],
                        risk=[50] * 18, factors=[cook]))  # fmt: skip
    model, at = found.model, found.at
    matrix = at.inverse.reshape(4, 4)
    rng = np.random.default_rng(3)
    mean = found.mean
    draws = rng.multivariate_normal(mean, (matrix + matrix.T) / 2.0, 40_000)
    damped = at.mode.lots.damped
    own = at.mode.lots.effect - at.lot_shift
    away = draws - mean
    total = 0.0
    for lot in range(6, 12):
        reply = (away[:, 1] + away[:, 3]) / damped[lot]
        noise = rng.normal(0.0, found.scales.lot / np.sqrt(damped[lot]), len(draws))
        eta = mean[1] + mean[3] + own[lot] + reply + noise
        total += 50.0 * float(
            np.mean(chance(Link.CLOGLOG, eta) - chance(Link.CLOGLOG, eta - draws[:, 1]))
        )
    assert model.order.shape.blocks == 0
    assert suspects(found)[1].excess == pytest.approx(total, rel=0.01)


def test_two_suspects_that_share_all_lots_cannot_be_told_apart() -> None:
    rng = np.random.default_rng(9)
    cook = np.repeat(np.arange(30), 8)
    session = cook.copy()
    session[:16] = [0] * 4 + [1] * 4 + [0] * 4 + [1] * 4  # two of them crossed
    lost = rng.binomial(50, 0.03, 240)
    lost[cook == 20] = rng.binomial(50, 0.4, 8)
    named = [Factor("cook", tuple(map(str, range(30))), cook),
             Factor("session", tuple(map(str, range(30))), session)]  # fmt: skip
    found = fit(records(lost=lost, risk=np.full(240, 50), factors=named))
    pairs = confused(found)
    worst = next(pair for pair in pairs if pair.level == "20")
    assert (worst.factor, worst.other_factor, worst.other_level) == ("cook", "session", "20")
    assert (worst.shared_lots, worst.lots, worst.other_lots) == (8, 8, 8)
    assert worst.correlation < -0.7
    assert not any(pair.level in {"0", "1"} for pair in pairs)
    told = {(s.factor, s.level): s for s in suspects(found)}
    # the blame is shared, and each keeps a wide range
    assert told["cook", "20"].mean == pytest.approx(told["session", "20"].mean, rel=0.6)
    assert told["cook", "20"].learnt < 0.5 < told["cook", "0"].learnt + 0.2


def test_correlations_are_those_of_the_whole_inverse() -> None:
    made = farm(15, 120, 20).records
    found = fit(made)
    inverse = found.at.inverse.reshape((len(found.mean),) * 2)
    sd = np.sqrt(np.diagonal(inverse))
    ties = found.model.ties(found.at.inverse)
    lot = 50
    met = found.model.unknown[lot]
    assert ties[lot] == pytest.approx(inverse[np.ix_(met, met)].sum(axis=1), abs=1e-14)
    assert (np.abs(inverse / sd / sd[:, None]) < 1.0 + 1e-12).all()


def test_fitted_rates_add_up_to_what_was_seen() -> None:
    made, found = example()
    fitted = expected_lost(found, lots_themselves(found)).sum()
    assert fitted == pytest.approx(made.records.lost.sum(), rel=0.01)
    further = expected_lost(found, new_lots(found)).sum()
    assert further == pytest.approx(made.records.lost.sum(), rel=0.05)


def test_new_lots_come_out_as_said() -> None:
    """Lots drawn anew from the truth of the farm lose what was expected of new lots."""
    made, found = example()
    data = made.records
    rng = np.random.default_rng(77)
    first, eta = 0, np.full(data.lots, made.truth[-1])
    for factor in data.factors:
        eta = eta + made.truth[first + factor.of_lot]
        first += len(factor.levels)
    drawn = chance(data.link, eta + rng.normal(0.0, 0.8, data.lots) + data.log_showing)
    said = expected_lost(found, new_lots(found)).sum()
    assert said == pytest.approx(float((data.risk * drawn).sum()), rel=0.06)


@pytest.mark.parametrize("link", Link)
def test_mean_chance_against_a_finer_sum(link: Link) -> None:
    points, weights = roots_hermitenorm(80)
    for mean in (-6.0, -3.0, 0.0):
        for sd in (0.0, 0.3, 1.0, 1.5):
            fine = float(chance(link, mean + sd * points) @ weights / weights.sum())
            ours = float(mean_chance(link, np.array(mean), np.array(sd**2)))
            assert ours == pytest.approx(fine, rel=1e-4)


def test_physics_moves_a_suspect_and_records_move_it_back() -> None:
    made = farm(16, 400).records
    cook = made.factors[0]
    centre = np.zeros(len(cook.levels))
    centre[3] = 1.2
    told = replace(made, factors=(replace(cook, expected=centre), *made.factors[1:]))
    without, with_physics = suspects(fit(made))[3], suspects(fit(told))[3]
    assert with_physics.expected == 1.2
    assert without.mean < with_physics.mean < without.mean + 1.2
