"""Many cylinders at once, each of its own law: held against the series and rings of their own."""

from __future__ import annotations

import numpy as np
import pytest

from pinset.science.heating.heating import Cylinder, Material, core_curve, modes_of
from pinset.science.heating.law_march import TABLE_C, Bodies, marched
from pinset.science.learning.law_fit import fitted
from science.rings import core, moist

MINUTES = np.arange(0.0, 301.0, 2.0)
CHAMBER = np.interp(MINUTES, [0, 30, 120, 130, 150, 160], [20, 121, 121, 70, 70, 121])


def bodies(*conducts: np.ndarray) -> Bodies:
    many = len(conducts)
    return Bodies(0.08, 0.2, 1.8e6, np.array(conducts), np.full(many, 100.0))


def test_even_ones_agree_with_the_series() -> None:
    both = bodies(np.full(len(TABLE_C), 0.5), np.full(len(TABLE_C), 0.9))
    found, field = marched(both, both.at(np.array([20.0, 20.0])), 120.0, CHAMBER)
    assert found.shape == (2, len(MINUTES))
    assert np.all(np.isfinite(field))
    for conductivity, cores in zip((0.5, 0.9), found, strict=True):
        body = modes_of(Cylinder(0.08, 0.2), Material(conductivity, 1.8e6, 100.0))
        series = core_curve(body, 60.0 * MINUTES, CHAMBER, 20.0)
        assert np.max(np.abs(cores - series)) < 0.8


def test_one_with_vapour_agrees_with_rings_of_their_own() -> None:
    law = moist(0.3, 0.15, 205.0)
    one = bodies(law(TABLE_C))
    found, _ = marched(one, one.at(np.array([20.0])), 60.0, np.repeat(CHAMBER, 2)[:-1])
    assert found.shape == (1, 2 * len(MINUTES) - 1)
    rising = np.interp(MINUTES, [0, 30], [20, 121])
    found, _ = marched(one, one.at(np.array([20.0])), 120.0, rising)
    outside = core(0.08, 0.2, law, 1.8e6, 100.0, MINUTES, rising, 20.0)
    assert np.max(np.abs(found[0] - outside)) < 1.5


def test_nothing_changes_where_all_is_as_warm() -> None:
    one = bodies(np.linspace(0.2, 0.9, len(TABLE_C)))
    found, _ = marched(one, one.at(np.array([70.0])), 60.0, np.full(50, 70.0))
    assert found == pytest.approx(70.0, abs=1e-9)


def test_values_that_are_read_well_are_found_and_others_stay_as_known() -> None:
    """A straight line by two values, and a third that no reading shows."""
    at = np.linspace(0.0, 1.0, 9)
    fit = fitted(lambda v: 20.0 + v[:, :1] + 5.0 * v[:, 1:2] * at, 20.5 + 4.0 * at, 0.01, 3)
    assert fit.values == pytest.approx([0.5, 0.8, 0.0], abs=0.01)
    assert fit.covariance[2, 2] == pytest.approx(1.0)
    assert fit.covariance[0, 0] < 0.001
    assert fit.left_k < 0.01


def test_readings_that_follow_no_law_leave_more_open() -> None:
    at = np.linspace(0.0, 1.0, 20)
    errors = [
        fitted(lambda v: 20.0 + v[:, :1] * np.ones(20), 20.0 + by * np.sin(20 * at), 0.1, 1)
        for by in (0.1, 2.0)
    ]
    assert errors[1].covariance[0, 0] > 10.0 * errors[0].covariance[0, 0]
