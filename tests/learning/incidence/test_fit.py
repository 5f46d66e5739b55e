"""The search: from an earlier fit, with deviations held, and the delay that hides a bad cook."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.special import ndtr

from learning.incidence.invented_farm import farm
from pinset.learning.incidence.fit import fit
from pinset.learning.incidence.inputs import Factor, Records, records
from pinset.learning.incidence.links import Link, chance
from pinset.learning.incidence.ordering import ordering
from pinset.learning.incidence.rates import chance_in_the_end, lots_themselves

LOTS = 600


def part(made: Records, lots: int) -> Records:
    """Return the first lots of a farm, with the levels they have."""
    factors = []
    for factor in made.factors:
        index = factor.of_lot[:lots]
        many = int(index.max()) + 1
        factors.append(Factor(factor.name, factor.levels[:many], index))
    return records(
        lost=made.lost[:lots], risk=made.risk[:lots], log_showing=made.log_showing[:lots],
        factors=factors, made_day=made.made_day[:lots],
    )  # fmt: skip


def test_deviations_of_an_invented_farm_are_found() -> None:
    made = farm(8, 3000)
    found = fit(made.records)
    assert found.settled
    assert found.scales.levels == pytest.approx([0.5, 0.4, 0.5, 0.3, 0.5, 0.3, 0.3], rel=0.35)
    assert found.scales.lot == pytest.approx(0.8, rel=0.06)
    overall = found.fixed.start
    assert abs(found.mean[overall] - made.truth[overall]) < 2.0 * found.sd[overall]


def test_a_warm_fit_ends_where_a_cold_one_does_and_sooner() -> None:
    made = farm(9, LOTS).records
    before = fit(part(made, 570))
    cold, warm = fit(made, tolerance=1e-4), fit(made, before=before, tolerance=1e-4)
    assert warm.scales.levels == pytest.approx(cold.scales.levels, rel=1e-3)
    assert warm.mean == pytest.approx(cold.mean, abs=1e-3)
    assert warm.evaluations < cold.evaluations


def test_levels_are_matched_by_name() -> None:
    made = farm(9, LOTS).records
    before = fit(made)
    turned = tuple(
        Factor(f.name, f.levels[::-1], len(f.levels) - 1 - f.of_lot) for f in made.factors[::-1]
    )
    again = fit(replace(made, factors=turned), before=before)
    assert again.evaluations <= 2
    for factor in made.factors:
        expected = before.mean[before.of_factor(factor.name)][::-1]
        assert again.mean[again.of_factor(factor.name)] == pytest.approx(expected, abs=2e-3)
    with pytest.raises(KeyError):
        again.of_factor("moon")


def test_held_deviations_are_kept_and_effects_follow_a_look() -> None:
    made = farm(9, LOTS).records
    before = fit(made)
    lost = made.lost.copy()
    hit = made.factors[0].of_lot == 5
    lost[hit] = np.minimum(lost[hit] + 20, 50)
    look = replace(made, lost=lost)
    held = fit(look, before=before, hold=True)
    assert held.evaluations == 1
    assert (held.scales.levels == before.scales.levels).all()
    assert held.scales.lot == before.scales.lot
    assert held.mean[5] > before.mean[5] + 3.0 * before.sd[5]
    afresh = fit(replace(look, made_day=look.made_day + 1.0), before=before, hold=True)
    assert held.mean == pytest.approx(afresh.mean, abs=1e-6)


def test_lots_left_out_of_the_layout_change_nothing() -> None:
    """A lot nobody has looked at yet gets a chance and takes no part."""
    made = farm(9, LOTS).records
    says = made.lot < LOTS - 5
    unseen = replace(made, lot=made.lot[says], lost=made.lost[says], risk=made.risk[says],
                     log_showing=made.log_showing[says])  # fmt: skip
    seen = part(made, LOTS - 5)
    one, other = fit(unseen, tolerance=1e-4), fit(seen, tolerance=1e-4)
    shared = one.of_factor("cook").start + np.arange(len(seen.factors[0].levels))
    assert one.mean[shared] == pytest.approx(other.mean[other.of_factor("cook")], abs=1e-3)
    ends = chance_in_the_end(one, lots_themselves(one))
    assert (ends[-5:] > 0.0).all()


def test_a_bad_cook_is_seen_before_its_lots_have_shown() -> None:
    """Young lots read as clean hide it, and leaving them out hides it wholly (an invented farm)."""
    rng = np.random.default_rng(12)
    lots, bad_effect = 2000, 2.0
    day = np.arange(lots) / 8.0
    cook = np.arange(lots) // 12
    bad = cook == cook[lots - 31]  # about four days old
    eta = -2.9 + rng.normal(0.0, 0.6, cook.max() + 1)[cook]
    eta[bad] = -2.9 + bad_effect
    eta += rng.normal(0.0, 0.5, lots)
    age = day[-1] - day + 0.1
    showing = np.log(np.maximum(ndtr(np.log(age / 5.0) / 0.6), 1e-12))
    lost = rng.binomial(50, chance(Link.CLOGLOG, eta + showing))
    factor = Factor("cook", tuple(map(str, range(cook.max() + 1))), cook)
    level = int(cook[lots - 31])

    def effect(log_showing: object, risk: object) -> tuple[float, float]:
        found = fit(records(lost=np.minimum(lost, risk), risk=risk, factors=[factor],
                            log_showing=log_showing, made_day=day))  # fmt: skip
        return float(found.mean[level]), float(found.sd[level])

    everyone = np.full(lots, 50)
    with_delay = effect(showing, everyone)
    naive = effect(None, everyone)
    dropped = effect(None, np.where(age < 14.0, 0, 50))
    assert abs(with_delay[0] - bad_effect) < 2.0 * with_delay[1]
    assert naive[0] < with_delay[0] - 0.4
    assert abs(dropped[0]) < 0.05
    assert dropped[1] > 1.5 * with_delay[1]


def test_order_does_not_depend_on_the_order_of_levels() -> None:
    made = farm(9, 6000, 10).records
    turned = tuple(
        Factor(f.name, f.levels[::-1], len(f.levels) - 1 - f.of_lot) for f in made.factors
    )
    assert ordering(replace(made, factors=turned)).shape == ordering(made).shape
