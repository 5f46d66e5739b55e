"""What is usual while nothing is wrong: against draws whose truth is known."""

from __future__ import annotations

import numpy as np
import pytest

from learning.losses.drawn_farm import EXPECTED, SHOWING, START, drawn_farm
from pinset.chain.histories import Shared
from pinset.learning.losses.alarms_once import alarms_once
from pinset.learning.losses.known_lots import by_level, by_round, known_lots
from pinset.learning.losses.quiet import (
    PRIOR_CLUMPING,
    PRIOR_UNITS,
    Groups,
    clumping,
    grouped,
    quiet_without,
)
from pinset.learning.losses.told import told


def seeded(seed: int) -> np.random.Generator:
    return np.random.Generator(np.random.PCG64(seed))


def groups_of(rng: np.random.Generator, count: int, correlation: float) -> Groups:
    units = rng.integers(20, 60, count).astype(float)
    total = 1.0 / correlation - 1.0 if correlation else 0.0
    shares = rng.beta(0.05 * total, 0.95 * total, count) if correlation else np.full(count, 0.05)
    found = rng.binomial(units.astype(int), shares).astype(float)
    return Groups(found, units, np.full(count, 0.05), np.ones(count, dtype=bool))


@pytest.mark.parametrize("correlation", [0.0, 0.02, 0.08])
def test_clumping_is_that_of_drawn_groups(correlation: float) -> None:
    found = clumping(groups_of(seeded(1), 4000, correlation))
    assert float(np.median(found)) == pytest.approx(correlation, abs=0.006)


def test_a_group_has_no_part_in_its_own_and_none_that_stood_out() -> None:
    quiet = groups_of(seeded(2), 40, 0.02)
    bad = quiet.found.copy()
    bad[7] = quiet.units[7]
    is_in = quiet.is_in.copy()
    is_in[7] = False
    for changed in (
        Groups(bad, quiet.units, quiet.share, quiet.is_in),
        Groups(bad, quiet.units, quiet.share, is_in),
    ):
        assert clumping(changed)[7] == pytest.approx(clumping(quiet)[7], rel=1e-3)
    assert clumping(Groups(bad, quiet.units, quiet.share, is_in))[0] < 0.1
    assert clumping(Groups(bad, quiet.units, quiet.share, quiet.is_in))[0] > 0.1


def test_nothing_known_is_taken_from_the_prior() -> None:
    one = Groups(np.array([3.0]), np.array([30.0]), np.array([0.05]), np.array([True]))
    assert clumping(one)[0] == pytest.approx(PRIOR_CLUMPING)


def test_usual_shares_are_the_counts_drawn_to_the_route() -> None:
    known = known_lots(told(drawn_farm(seeded(3)).lots, SHOWING, EXPECTED))
    quiet = quiet_without(known, EXPECTED, np.zeros(len(known.lots), dtype=bool))
    rows = by_level(known, (Shared.SESSION,))["session", "session-40"]
    lost, units = known.found.sum(), known.units.sum()
    own_lost, own_units = known.found[rows].sum(), known.units[rows].sum()
    route = EXPECTED["grey", "grain"]
    assert quiet.shares(rows, without=False)[0] == pytest.approx(
        (lost + PRIOR_UNITS * route) / (units + PRIOR_UNITS)
    )
    assert quiet.shares(rows, without=True)[0] == pytest.approx(
        (lost - own_lost + PRIOR_UNITS * route) / (units - own_units + PRIOR_UNITS)
    )
    counts = grouped(quiet, [rows], without=True)
    assert counts.found[0] == own_lost
    assert counts.units[0] == own_units


def test_lots_of_one_session_are_one_round() -> None:
    known = known_lots(told(drawn_farm(seeded(4), lots=20).lots, SHOWING, EXPECTED))
    rounds = by_round(known, np.arange(len(known.lots)))
    assert sum(len(each) for each in rounds) == len(known.lots)
    for each in rounds:
        assert len({known.lots[at].shared[Shared.SESSION] for at in each}) == 1


def test_false_alarms_of_what_happens_once_are_as_many_as_is_said() -> None:
    """Sessions that differ by 0.3 and lots by 0.4: what a quiet farm's alarms really come to."""
    seen = years = 0.0
    for seed in range(30):
        farm = drawn_farm(seeded(500 + seed), quiet_sd=0.2, lot_sd=0.4)
        known = known_lots(told(farm.lots, SHOWING, EXPECTED))
        span = known.years
        found = alarms_once(known, EXPECTED, START, a_year=2.0, kinds=(Shared.SESSION,))
        seen, years = seen + len(found), years + span
    assert seen / years <= 3.0
