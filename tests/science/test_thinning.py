"""Curves thinned for drawing keep ends, peaks, dips, corners and gaps."""

from __future__ import annotations

import time
from itertools import pairwise

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
    assert len(piece) <= most
    assert np.array_equal(values[across.astype(int)], up)


@given(
    st.lists(
        st.tuples(st.integers(1, 500), st.floats(-20, 140, allow_subnormal=False)),
        min_size=2,
        max_size=40,
    )
)
def test_a_curve_of_few_corners_comes_back_as_it_was(corners: list[tuple[int, float]]) -> None:
    at = np.cumsum([float(width) for width, _ in corners])
    degrees = np.array([value for _, value in corners])
    x = np.arange(at[0], at[-1] + 1.0)
    y = np.interp(x, at, degrees)
    [piece] = thinned(x, y)
    assert np.allclose(np.interp(x, *zip(*piece, strict=True)), y, atol=1e-6)
    assert len(piece) <= len(corners)


@given(arrays(np.float64, st.integers(1, 3000), elements=st.floats(-50, 150) | st.just(np.nan)))
def test_never_more_points_however_many_gaps(values: np.ndarray) -> None:
    pieces = thinned(np.arange(len(values), dtype=float), values, 100)
    points = [point for piece in pieces for point in piece]
    assert len(points) <= 100
    assert points == sorted(points)
    known = values[~np.isnan(values)]
    if len(known):
        up = [value for _, value in points]
        assert (min(up), max(up)) == (known.min(), known.max())


def test_an_end_as_high_as_the_peak_is_the_peak() -> None:
    slope = np.array([139.99999999999997, 140.0, 140.0])
    assert thinned(np.arange(3.0), slope) == (((0.0, 139.99999999999997), (2.0, 140.0)),)


def test_gaps_stay_gaps() -> None:
    values = np.array([1.0, 2.0, np.nan, np.nan, 3.0, np.nan])
    assert thinned(np.arange(6.0), values) == (((0.0, 1.0), (1.0, 2.0)), ((4.0, 3.0),))
    assert thinned(np.arange(3.0), np.full(3, np.nan)) == ()


def test_of_too_many_gaps_the_widest_stay() -> None:
    values = np.full(10_000, 20.0)
    values[1::2] = np.nan  # every other reading is missing
    values[4000:4600] = np.nan
    pieces = thinned(np.arange(10_000.0), values)
    ends = [(before[-1][0], after[0][0]) for before, after in pairwise(pieces)]
    assert (3998.0, 4600.0) in ends
    assert sum(map(len, pieces)) <= 300


def test_a_day_of_seconds_becomes_a_few_hundred_points() -> None:
    x = np.arange(86_400.0)
    y = np.sin(x / 5000.0)
    y[43_210] = 9.0
    [piece] = thinned(x, y)
    assert len(piece) <= 300
    assert (43_210.0, 9.0) in piece
    off = np.interp(x, *zip(*piece, strict=True)) - y
    off[43_180:43_240] = 0.0  # half a minute beside the spike: less than a pixel on a phone
    assert np.max(np.abs(off)) < 0.01


def test_a_million_noisy_readings_take_no_time() -> None:
    x = np.arange(1_000_000.0)
    y = 121.0 + np.random.default_rng(7).normal(0.0, 0.3, len(x))
    began = time.perf_counter()
    [piece] = thinned(x, y)
    assert time.perf_counter() - began < 1.0
    up = [value for _, value in piece]
    assert (min(up), max(up)) == (y.min(), y.max())
    assert len(piece) <= 300


@pytest.mark.parametrize(
    ("y", "most"), [(np.zeros(3), 300), (np.zeros(4), 3), (np.zeros((2, 2)), 9)]
)
def test_what_cannot_be_drawn_is_refused(y: np.ndarray, most: int) -> None:
    with pytest.raises(InputError):
        thinned(np.arange(4.0), y, most)
