"""Sums of losses: the run lengths of rows C6, and drawn farms that are quiet or not."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from learning.check_tables import table, words
from pinset.errors import InputError
from pinset.learning.charts.loss_sums import (
    equal_lots_run_length,
    limit_for,
    loss_sum,
    raised_share,
    shared_slack,
    steps_of,
)

C6 = [row["quantity"] for row in table("checks_charts.csv") if row["id"] == "C6"]


@pytest.mark.parametrize("quantity", C6)
def test_run_lengths_of_equal_lots(quantity: str) -> None:
    _, limit, share = quantity.split("_")
    found = equal_lots_run_length(
        units=50, slack=Fraction("1.65"), limit=Fraction(limit[1:]), share=float(share[1:])
    )
    want = float(words("checks_charts.csv", "C6", quantity))
    tolerance = next(
        float(row["tolerance"])
        for row in table("checks_charts.csv")
        if row["id"] == "C6" and row["quantity"] == quantity
    )
    assert found == pytest.approx(want, abs=tolerance)


def test_the_slack_of_statistics_section_two() -> None:
    assert 50 * shared_slack(0.02, 0.05) == pytest.approx(1.6409, abs=1e-4)


def test_a_step_is_the_slack_in_units_of_its_own() -> None:
    expected = np.array([0.02])
    raised = float(raised_share(expected)[0])
    per_unit = float(np.log(raised * 0.98 / (0.02 * (1.0 - raised))))
    for lost in (0, 1, 7):
        step = float(steps_of(np.array([lost]), np.array([50]), expected)[0])
        assert step == pytest.approx(per_unit * (lost - 50 * shared_slack(0.02, raised)))


@pytest.mark.parametrize("clumping", [0.0, 0.05])
def test_a_quiet_farm_alarms_as_seldom_as_wanted(clumping: float) -> None:
    rng = np.random.Generator(np.random.PCG64(11))
    of = rng.integers(8, 80, 300)
    expected = rng.uniform(0.005, 0.06, 300)
    limit = limit_for(of, expected, lots_between=200.0, rng=rng, clumping=clumping)
    fresh = np.random.Generator(np.random.PCG64(12))
    alarms, lots = 0, 30_000
    pick = fresh.integers(300, size=lots)
    share = expected[pick]
    if clumping:
        total = 1.0 / clumping - 1.0
        share = fresh.beta(share * total, (1.0 - share) * total)
    steps = steps_of(fresh.binomial(of[pick], share), of[pick], expected[pick])
    start = 0
    while (found := loss_sum(steps[start:], limit).first_alarm) is not None:
        alarms += 1
        start += found + 1
    assert lots / alarms == pytest.approx(200.0, rel=0.25)


def test_a_raised_rate_alarms_soon() -> None:
    rng = np.random.Generator(np.random.PCG64(3))
    of, expected = np.full(400, 40), np.full(400, 0.02)
    limit = limit_for(of, expected, lots_between=400.0, rng=rng)
    waits = []
    for _ in range(200):
        steps = steps_of(rng.binomial(of, 0.08), of, expected)
        found = loss_sum(steps, limit).first_alarm
        assert found is not None
        waits.append(found + 1)
    assert np.median(waits) <= 5


def test_nothing_expected_or_more_lost_than_there_were() -> None:
    one = np.array([1])
    with pytest.raises(InputError):
        steps_of(one, one, np.array([0.0]))
    with pytest.raises(InputError):
        steps_of(np.array([3]), one, np.array([0.1]))
    with pytest.raises(InputError):
        steps_of(one, np.array([1, 2]), np.array([0.1]))
    with pytest.raises(InputError):
        shared_slack(0.05, 0.02)
    with pytest.raises(InputError):
        equal_lots_run_length(units=50, slack=Fraction(1), limit=Fraction(5), share=0.0)
    with pytest.raises(InputError):
        equal_lots_run_length(units=50, slack=Fraction("0.00001"), limit=Fraction(5), share=0.1)
    with pytest.raises(InputError):
        limit_for(one, np.array([0.1]), lots_between=5.0, rng=np.random.default_rng(1))


def test_a_raised_share_stays_a_share() -> None:
    shares = np.array([1e-6, 0.02, 0.5, 0.97])
    raised = raised_share(shares)
    assert (raised > shares).all()
    assert (raised < 1.0).all()
