"""NIST's printed sums and means (rows C3, C4), and run lengths by Page's equation (C5)."""

from __future__ import annotations

import numpy as np
import pytest

from learning.check_tables import column, expected, table, words
from pinset.errors import InputError
from pinset.learning.charts.running_sums import running_means, running_sums, sum_run_length

CHECKS = "checks_charts.csv"


def test_nists_sums() -> None:
    name = "data_nist_cusum.csv"
    sums = running_sums(column(name, "group_mean"), expected=325.0, slack=0.3175, limit=4.1959)
    for quantity, value in (
        ("S_hi_20", sums.above[19]),
        ("S_hi_14", sums.above[13]),
        ("S_lo_8", sums.below[7]),
    ):
        want, tolerance = expected(CHECKS, "C3", quantity)
        assert value == pytest.approx(want, abs=tolerance)
    assert sums.first_alarm is not None
    assert str(sums.first_alarm + 1) == words(CHECKS, "C3", "first_signal_group")
    assert sums.above == pytest.approx(column(name, "s_hi_printed"), abs=0.011)
    printed = [abs(each) for each in column(name, "s_lo_printed")]
    assert sums.below == pytest.approx(printed, abs=0.011)
    signalled = [i for i, row in enumerate(table(name)) if row["signal"] not in {"0", ""}]
    assert signalled[0] == sums.first_alarm


def test_nists_means() -> None:
    name = "data_nist_ewma.csv"
    chart = running_means(column(name, "x"), expected=50.0, spread=2.0539, settled=True)
    assert chart.means == pytest.approx(column(name, "ewma_printed"), abs=0.006)
    for quantity, value in (
        ("UCL", chart.high[0]),
        ("LCL", chart.low[0]),
        ("ewma_19", chart.means[18]),
        ("ewma_20", chart.means[19]),
    ):
        want, tolerance = expected(CHECKS, "C4", quantity)
        assert value == pytest.approx(want, abs=tolerance)
    assert words(CHECKS, "C4", "signals") == "none"
    assert chart.first_alarm is None


def test_limits_of_means_widen_to_their_settled_width() -> None:
    chart = running_means(np.full(60, 60.0), expected=50.0, spread=2.0)
    assert (np.diff(chart.high) >= 0.0).all()
    assert chart.high[0] == pytest.approx(50.0 + 3.0 * 2.0 * 0.3)
    settled = running_means([50.0], expected=50.0, spread=2.0, settled=True)
    assert chart.high[-1] == pytest.approx(settled.high[0], abs=1e-6)
    assert chart.first_alarm == 0


@pytest.mark.parametrize("limit", [4, 5])
def test_run_lengths(limit: int) -> None:
    quiet = sum_run_length(slack=0.5, limit=limit)
    for quantity, value in (
        (f"ARL0_one_sided_k.5_h{limit}", quiet),
        (f"ARL0_two_sided_k.5_h{limit}", quiet / 2.0),
        (f"ARL_shift1_k.5_h{limit}", sum_run_length(slack=0.5, limit=limit, shift=1.0)),
    ):
        want, tolerance = expected(CHECKS, "C5", quantity)
        assert value == pytest.approx(want, abs=tolerance)


def test_a_drawn_run_length() -> None:
    rng = np.random.Generator(np.random.PCG64(5))
    lengths = []
    for _ in range(1500):
        sums = running_sums(rng.normal(1.0, 1.0, 80), expected=0.0, slack=0.5, limit=4.0)
        over = np.flatnonzero(sums.above > 4.0)
        lengths.append(int(over[0]) + 1)
    error = np.std(lengths) / np.sqrt(len(lengths))
    expected_length = sum_run_length(slack=0.5, limit=4.0, shift=1.0)
    assert np.mean(lengths) == pytest.approx(expected_length, abs=4.0 * error)


@pytest.mark.parametrize("values", [[], [float("nan")], [[1.0]]])
def test_values_that_are_none(values: list[float]) -> None:
    with pytest.raises(InputError):
        running_sums(values, expected=0.0, slack=0.5, limit=4.0)


def test_settings_that_are_none() -> None:
    with pytest.raises(InputError):
        running_sums([1.0], expected=0.0, slack=-0.5, limit=4.0)
    with pytest.raises(InputError):
        running_means([1.0], expected=0.0, spread=1.0, weight=0.0)
    with pytest.raises(InputError):
        running_means([1.0], expected=0.0, spread=0.0)
    with pytest.raises(InputError):
        sum_run_length(slack=0.5, limit=0.0)
