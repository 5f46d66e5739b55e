"""Survivors and units that are not sterile: check rows, draws at random, limits."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.errors import InputError
from pinset.science.lethality.lethality import lethal_rate
from pinset.science.lethality.survival import (
    chance_any_not_sterile,
    chance_not_sterile,
    d_minutes_at,
    f_needed,
    log10_survivors,
    units_not_sterile,
)
from science.check_rows import NUMBER, rows

ROWS = {row.id: row for row in rows("lethality.csv")}
LOGS = st.floats(-30.0, 8.0)


def test_survivors() -> None:
    row = ROWS["LE13"]
    assert row.holds(log10_survivors(row["N0"], row["F0"], row["D121"]))


def test_the_chance_that_a_unit_is_not_sterile() -> None:
    row = ROWS["LE14"]
    assert row.holds(chance_not_sterile(log10_survivors(row["N0"], row["F0"], row["D121"])))


def test_the_threshold_quoted_for_moist_heat() -> None:
    row = ROWS["LE15"]
    assert row.holds(f_needed(row["N0"], row["D121"], row["target PNSU"]))


def test_bad_bags_of_a_load() -> None:
    row = ROWS["LE16"]
    found = re.search(rf"N0 per bag=({NUMBER})", row.inputs)
    assert found
    left = log10_survivors(float(found[1]), row["F0"], row["D121"])
    assert row.holds(units_not_sterile(left, int(row["bags"])))


def test_d_at_another_temperature() -> None:
    row = ROWS["LE18"]
    assert row.holds(d_minutes_at(row["T"], row["D121.1"], 121.1, row["z"]))


def test_logs_of_twelve_hours_of_open_steam() -> None:
    """5.6, 2.6, 1.2 and 0.56 min against spores of 1.5 min: 3.7, 1.7, 0.8 and 0.4 log."""
    celsius = np.array([99.97, 96.65, 93.32, 89.98])
    f = 720.0 * np.asarray(lethal_rate(celsius))
    assert f == pytest.approx([5.6, 2.6, 1.2, 0.56], abs=0.06)
    assert -log10_survivors(1.0, f, 1.5) == pytest.approx([3.7, 1.7, 0.8, 0.4], abs=0.06)


def test_draws_at_random() -> None:
    """Spores fall to 200 bags at random; counted over 20000 loads."""
    rng = np.random.default_rng(5)
    mean = 10.0**-2.5
    bad = (rng.poisson(mean, (20_000, 200)) > 0).sum(axis=1)
    assert bad.mean() == pytest.approx(units_not_sterile(-2.5, 200), abs=0.03)
    assert (bad > 0).mean() == pytest.approx(chance_any_not_sterile(-2.5, 200), abs=0.015)


@given(st.floats(1.0, 1e12), st.floats(0.0, 100.0), st.floats(0.05, 20.0))
def test_a_d_more_is_a_tenth_left(count: float, f: float, d: float) -> None:
    now, later = (log10_survivors(count, each, d) for each in (f, f + d))
    assert now - later == pytest.approx(1.0, abs=1e-9)


@given(st.floats(2.0, 1e9), st.floats(0.05, 20.0), st.floats(1e-9, 1.0))
def test_the_f_needed_leaves_what_was_asked(count: float, d: float, survivors: float) -> None:
    left = log10_survivors(count, f_needed(count, d, survivors), d)
    assert left == pytest.approx(math.log10(survivors), abs=1e-9)


@given(LOGS, st.integers(1, 10_000))
def test_a_load_is_worse_than_its_units_and_better_than_their_sum(logs: float, units: int) -> None:
    one, some = chance_not_sterile(logs), chance_any_not_sterile(logs, units)
    bad = units_not_sterile(logs, units)
    assert 0.0 <= one <= some <= 1.0
    assert some <= bad * (1 + 1e-12)
    assert bad == pytest.approx(units * one, rel=1e-12)


@given(LOGS, st.floats(0.001, 3.0))
def test_more_survivors_are_never_safer(logs: float, more: float) -> None:
    assert chance_not_sterile(logs) <= chance_not_sterile(logs + more)
    assert chance_any_not_sterile(logs, 50) <= chance_any_not_sterile(logs + more, 50)


def test_limits() -> None:
    assert chance_not_sterile(-20.0) == pytest.approx(1e-20, rel=1e-12)
    assert chance_any_not_sterile(-20.0, 1000) == pytest.approx(1e-17, rel=1e-12)
    assert chance_not_sterile(-5000.0) == 0.0
    assert chance_not_sterile(300.0) == 1.0
    assert f_needed(10.0, 1.5, 100.0) == 0.0
    assert d_minutes_at(121.1, 1.5, 121.1, 10.0) == 1.5


def test_floats_and_arrays() -> None:
    assert type(log10_survivors(1e6, 15.0, 1.5)) is float
    assert type(chance_any_not_sterile(-4, 200)) is float
    assert log10_survivors(1e6, [10.0, 15.0], 1.5).shape == (2,)
    assert units_not_sterile(np.array([[-4.0], [-6.0]]), 200).shape == (2, 1)
    assert d_minutes_at([100.0, 121.1], 1.5, 121.1, 10.0).shape == (2,)


def test_wrong_calls() -> None:
    for wrong in (0.0, -5.0, math.nan, math.inf):
        with pytest.raises(InputError, match="count"):
            log10_survivors(wrong, 15.0, 1.5)
        with pytest.raises(InputError, match="d_minutes"):
            log10_survivors(1e6, 15.0, wrong)
        with pytest.raises(InputError, match="survivors"):
            f_needed(1e6, 1.5, wrong)
    with pytest.raises(InputError, match="f_minutes"):
        log10_survivors(1e6, np.array([1.0, math.nan]), 1.5)
    for function in (units_not_sterile, chance_any_not_sterile):
        with pytest.raises(InputError, match="units"):
            function(-4.0, 0)
        with pytest.raises(InputError, match="log10_survivors"):
            function(math.nan, 10)
    with pytest.raises(InputError, match="log10_survivors"):
        chance_not_sterile(301.0)
    with pytest.raises(InputError, match="z"):
        d_minutes_at(100.0, 1.5, 121.1, 0.0)
