"""Curves thinned for drawing keep ends, peaks, dips and gaps."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from pinset.errors import InputError
from pinset.science.thinning import thinned


@given(arrays(np.float64, st.integers(1, 2000), elements=st.floats(-50, 150)), st.integers(4, 400))
def test_ends_peaks_and_dips_stay(values: np.ndarray, most: int) -> None:
    x = np.arange(len(values), dtype=float)
    [piece] = thinned(x, values, most)
    across, up = (np.array(each) for each in zip(*piece, strict=True))
    assert np.all(np.diff(across) > 0) or len(across) == 1
    assert (across[0], across[-1]) == (x[0], x[-1])
    assert (up.min(), up.max()) == (values.min(), values.max())
    assert len(piece) <= most + 4
    assert np.array_equal(values[across.astype(int)], up)


def test_gaps_stay_gaps() -> None:
    values = np.array([1.0, 2.0, np.nan, np.nan, 3.0, np.nan])
    assert thinned(np.arange(6.0), values) == (((0.0, 1.0), (1.0, 2.0)), ((4.0, 3.0),))
    assert thinned(np.arange(3.0), np.full(3, np.nan)) == ()


def test_a_day_of_seconds_becomes_a_few_hundred_points() -> None:
    x = np.arange(86_400.0)
    y = np.sin(x / 5000.0)
    y[43_210] = 9.0
    [piece] = thinned(x, y)
    assert len(piece) < 320
    assert (43_210.0, 9.0) in piece


@pytest.mark.parametrize(
    ("y", "most"), [(np.zeros(3), 300), (np.zeros(4), 3), (np.zeros((2, 2)), 9)]
)
def test_what_cannot_be_drawn_is_refused(y: np.ndarray, most: int) -> None:
    with pytest.raises(InputError):
        thinned(np.arange(4.0), y, most)
