"""Charts of shares: Montgomery's cans (rows C1, C2, C7 of checks_charts.csv) and scipy's tails."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from learning.check_tables import column, expected, table, words
from pinset.errors import InputError
from pinset.learning.charts.share_limits import (
    RARE,
    alarm_count,
    chance_of_as_many,
    clumped_share_chart,
    share_chart,
    sigma_alarm_count,
)

CANS = "data_pchart_cans.csv"
FOUND = np.array(column(CANS, "nonconforming"), dtype=np.int64)
OF = np.array(column(CANS, "n"), dtype=np.int64)
FIRST = np.array([row["phase1"] in {"1", "TRUE", "true"} for row in table(CANS)])


def near(quantity: str, value: float, row_id: str = "C1") -> None:
    want, tolerance = expected("checks_charts.csv", row_id, quantity)
    assert value == pytest.approx(want, abs=tolerance)


def signals(quantity: str, row_id: str = "C1") -> tuple[int, ...]:
    said = words("checks_charts.csv", row_id, quantity)
    return () if said == "none" else tuple(int(each) for each in said.split(";"))


def test_thirty_samples_of_cans() -> None:
    k, n = FOUND[FIRST], OF[FIRST]
    assert k.size == 30
    chart = share_chart(k, n)
    near("p_bar_30", chart.centre)
    near("LCL_30", float(chart.low[0]))
    near("UCL_30", float(chart.high[0]))
    assert tuple(i + 1 for i in chart.outside(k, n)) == signals("signals_30")


def test_without_the_two_with_a_cause() -> None:
    k, n = FOUND[FIRST], OF[FIRST]
    kept = np.array([i + 1 not in signals("signals_30") for i in range(30)])
    chart = share_chart(k[kept], n[kept])
    near("p_bar_28", chart.centre)
    near("LCL_28", float(chart.low[0]))
    near("UCL_28", float(chart.high[0]))
    numbers = np.flatnonzero(kept) + 1
    assert tuple(int(numbers[i]) for i in chart.outside(k[kept], n[kept])) == signals("signals_28")


def test_twenty_four_after_the_machine_was_set() -> None:
    k, n = FOUND[~FIRST], OF[~FIRST]
    near("p_bar_new24", share_chart(k, n).centre)


def test_limits_that_follow_the_clumps() -> None:
    k, n = FOUND[FIRST], OF[FIRST]
    chart, wider = clumped_share_chart(k, n)
    near("sigma_z_30", wider, "C2")
    near("UCL_laney_30", float(chart.high[0]), "C2")
    near("LCL_laney_30", float(chart.low[0]), "C2")
    assert chart.outside(k, n) == signals("signals_laney_30", "C2")


@pytest.mark.parametrize("units", [20, 50, 100])
def test_three_sigmas_alarm_too_often(units: int) -> None:
    row = f"pchart3s_n{units}_p0.02"
    at = sigma_alarm_count(units, 0.02)
    assert str(at) == words("checks_charts.csv", "C7", f"{row}_alarm_at")
    false = chance_of_as_many(at, units, 0.02)
    near(f"{row}_false_alarm", false, "C7")
    near(f"{row}_ARL0", 1.0 / false, "C7")


@pytest.mark.parametrize("units", [1, 12, 50, 400])
@pytest.mark.parametrize("share", [0.001, 0.02, 0.3])
@pytest.mark.parametrize("clumping", [0.0, 0.03, 0.4])
def test_the_exact_limit_is_the_first_that_is_rare(
    units: int, share: float, clumping: float
) -> None:
    if clumping:
        total = 1.0 / clumping - 1.0
        law = stats.betabinom(units, share * total, (1.0 - share) * total)
    else:
        law = stats.binom(units, share)
    tails = law.sf(np.arange(units + 1) - 1)
    for found in range(0, units + 1, max(1, units // 12)):
        ours = chance_of_as_many(found, units, share, clumping)
        assert ours == pytest.approx(tails[found], rel=1e-7, abs=1e-11)
    rare = np.flatnonzero(tails <= RARE)
    at = alarm_count(units, share, clumping=clumping)
    assert at == (int(rare[0]) if rare.size else None)


def test_small_lots_cannot_alarm_by_themselves() -> None:
    assert alarm_count(2, 0.1) is None
    assert alarm_count(3, 0.1) == 3


@pytest.mark.parametrize(
    ("found", "of"), [([], []), ([3], [2]), ([-1], [5]), ([1], [0]), ([1, 2], [5])]
)
def test_counts_that_are_none(found: list[int], of: list[int]) -> None:
    with pytest.raises(InputError):
        share_chart(found, of)


@pytest.mark.parametrize("found", [[0, 0], [5, 5], [1]])
def test_nothing_differs(found: list[int]) -> None:
    with pytest.raises(InputError):
        clumped_share_chart(found, [5] * len(found))


@pytest.mark.parametrize(("share", "clumping"), [(0.0, 0.0), (1.0, 0.0), (0.1, 1.0), (0.1, -0.1)])
def test_expectations_that_are_none(share: float, clumping: float) -> None:
    with pytest.raises(InputError):
        chance_of_as_many(1, 5, share, clumping)
