"""Lot effects against a root finder, and fits of records drawn at random without any sense."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from scipy.optimize import brentq

from pinset.learning.incidence.averaging import averaged
from pinset.learning.incidence.fit import fit
from pinset.learning.incidence.inputs import Factor, Records, records
from pinset.learning.incidence.links import Link
from pinset.learning.incidence.mode import settle
from pinset.learning.incidence.model import Counts
from pinset.learning.incidence.rates import chance_in_the_end, new_lots
from pinset.learning.incidence.report import confused, suspects


@pytest.mark.parametrize("sd", [0.01, 0.5, 3.0, 20.0])
@pytest.mark.parametrize("start", [0.0, -30.0, 12.0])
def test_lot_effects_are_the_roots_a_root_finder_finds(sd: float, start: float) -> None:
    # all of 638, all of four hardly shown, none of a million: plain Newton steps run in circles
    lost = np.array([638.0, 4.0, 0.0, 3.0, 30.0, 16.0])
    risk = np.array([638.0, 4.0, 1e6, 50.0, 50.0, 16.0])
    eta = np.array([-0.66, 4.0, 2.0, -3.0, -8.0, 4.5])
    counts = Counts(records(lost=lost, risk=risk, factors=[]))
    found = settle(counts, eta, sd, np.full(6, start))

    def away(effect: float, lot: int) -> float:
        score = counts.terms(np.where(np.arange(6) == lot, eta + effect, eta))[1]
        return effect - sd * sd * float(score[lot])

    expected = [brentq(away, -60.0, 60.0, args=(lot,), xtol=1e-13) for lot in range(6)]
    assert found.effect == pytest.approx(expected, abs=1e-9)


def senseless(seed: int) -> Records:
    """Return records drawn at random: any counts, gaps, copies of suspects, idle columns."""
    rng = np.random.default_rng(seed)
    lots = int(rng.integers(0, 60))
    rows = int(rng.integers(0, 3)) * lots
    risk = rng.integers(0, rng.choice([2, 5, 60, 3000]), rows)
    rate = rng.choice([0.0, 1e-4, 0.02, 0.3, 0.9, 1.0])
    chances = np.clip(rate * np.exp(rng.normal(0.0, rng.choice([0.0, 1.0, 4.0]), rows)), 0.0, 1.0)
    factors: list[Factor] = []
    for number in range(int(rng.integers(0, 5))):
        levels = int(rng.integers(1, 40))
        index = rng.integers(rng.choice([-1, 0]), levels, lots)
        if factors and rng.random() < 0.3:
            index, levels = factors[-1].of_lot, len(factors[-1].levels)
        centre = rng.normal(-2.0, 2.0, levels) if rng.random() < 0.3 else None
        factors.append(Factor(f"f{number}", tuple(map(str, range(levels))), index, centre))
    more: dict[str, Any] = {"link": rng.choice(list(Link))}
    if more["link"] is Link.CLOGLOG:
        more["log_showing"] = -rng.exponential(rng.choice([0.1, 2.0, 8.0]), rows)
    if rng.random() < 0.4:
        columns = int(rng.integers(0, 4))
        design = rng.normal(0.0, rng.choice([1.0, 30.0]), (lots, columns))
        design[:, 1:2] = design[:, :1] if columns > 1 else design[:, 1:2]
        more |= {"design": design, "columns": [f"x{n}" for n in range(columns)]}
    return records(lost=rng.binomial(risk, chances), risk=risk, factors=factors,
                   lot=rng.integers(0, max(lots, 1), rows),
                   made_day=rng.uniform(0.0, 100.0, lots), **more)  # fmt: skip


@pytest.mark.parametrize("seed", range(40))
def test_senseless_records_are_fitted_without_a_crash(seed: int) -> None:
    made = senseless(seed)
    for dense_below in (0, 1200):
        likeliest = fit(made, dense_below=dense_below)
        assert likeliest.settled
        found = averaged(likeliest) if dense_below else likeliest
        assert np.isfinite(found.mean).all()
        assert (np.isfinite(found.sd) & (found.sd > 0.0)).all()
        told = suspects(found)
        assert np.isfinite([(each.excess, each.raised, each.learnt) for each in told]).all()
        assert all(pair.correlation >= -1.0 - 1e-9 for pair in confused(found))
        assert np.isfinite(chance_in_the_end(found, new_lots(found))).all()
