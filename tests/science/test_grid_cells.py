"""Rings of a vessel: sizes, places between them, what is refused."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.errors import InputError
from pinset.science.heating.grid_cells import Layer, Vessel, cells_of, passing, slices_of

JAR = Vessel(0.045, (Layer(0.12, 0.45, 3e6), Layer(0.04, 0.03, 1.1e3, is_load=False)))


def test_rings_fill_the_vessel() -> None:
    cells = cells_of(JAR, 10, (12, 4))
    assert cells.shape == (16, 10)
    assert cells.volume.sum() == pytest.approx(np.pi * 0.045**2 * 0.16, rel=1e-12)
    assert cells.ends.sum() == pytest.approx(np.pi * 0.045**2, rel=1e-12)
    assert cells.wall.sum() == pytest.approx(2 * np.pi * 0.045 * 0.16, rel=1e-12)
    assert list(cells.is_load) == 12 * [True] + 4 * [False]


def test_slices_are_shared_out_by_height() -> None:
    assert slices_of(JAR, 20) == (15, 5)
    thin = Vessel(0.045, (Layer(0.001, 200.0, 3e6, is_load=False), Layer(0.12, 0.45, 3e6)))
    assert slices_of(thin, 20) == (4, 20)


@given(
    st.floats(0, 0.045),
    st.floats(0, 0.12, exclude_max=True),
    st.lists(st.floats(-100, 100), min_size=8, max_size=8),
)
def test_between_rings_a_cubic_is_met_exactly(
    radius: float, height: float, coefficients: list[float]
) -> None:
    cells = cells_of(JAR, 10, (12, 4))

    def field(r: np.ndarray, z: np.ndarray) -> np.ndarray:
        up = np.polyval(coefficients[:4], z / 0.12)
        return up * np.polyval(coefficients[4:], (r / 0.045) ** 2)

    whole = field(cells.middle_r, cells.middle_z[:, None])
    rows, weights = cells.weights(radius, height)
    found = float(np.sum(whole[rows] * weights))
    assert found == pytest.approx(float(field(np.array(radius), np.array(height))), abs=1e-7)


def test_places_in_each_layer_are_drawn_from_that_layer() -> None:
    cells = cells_of(JAR, 10, (12, 4))
    assert cells.weights(0.0, 0.1199)[0].stop <= 12
    assert cells.weights(0.0, 0.1201)[0].start >= 12
    assert cells.weights(0.045, 0.16)[0].stop == 16


def test_heat_passes_in_line() -> None:
    """Glass, air and surface in line on the axis of a closed pillar: resistances add."""
    cells = cells_of(JAR, 4, (4, 4))
    k = cells.spread(np.full(cells.shape, 20.0), "conductivity")
    between = passing(cells, k, 0.0, 60.0, np.inf)
    resistance = 1.0 / between.bottom[0] + np.sum(1.0 / between.upward[:, 0]) + 1.0 / between.top[0]
    expected = (0.12 / 0.45 + 0.04 / 0.03 + 1.0 / 60.0) / cells.ends[0]
    assert resistance == pytest.approx(expected, rel=1e-12)
    assert np.all(between.side == 0.0)


@pytest.mark.parametrize(
    ("vessel", "slices", "field"),
    [
        (Vessel(0.0, (Layer(0.1, 0.4, 2e6),)), (4,), "radius"),
        (Vessel(float("nan"), (Layer(0.1, 0.4, 2e6),)), (4,), "radius"),
        (Vessel(0.05, (Layer(0.0, 0.4, 2e6),)), (4,), "height"),
        (Vessel(0.05, (Layer(0.1, 0.4, 2e6), Layer(-0.1, 0.4, 2e6))), (4, 4), "height"),
        (Vessel(0.05, (Layer(0.1, float("nan"), 2e6),)), (4,), "conductivity"),
        (Vessel(0.05, (Layer(0.1, 0.4, float("inf")),)), (4,), "heat_capacity"),
        (Vessel(0.05, (Layer(0.1, 0.4, 2e6, is_load=False),)), (4,), "layers"),
        (Vessel(0.05, ()), (4,), "layers"),
        (Vessel(0.05, (Layer(0.1, 0.4, 2e6),)), (3,), "cells"),
    ],
)
def test_vessels_that_are_none(vessel: Vessel, slices: tuple[int, ...], field: str) -> None:
    with pytest.raises(InputError, match=field):
        cells_of(vessel, 4, slices)


@pytest.mark.parametrize(
    ("radius", "height", "field"),
    [(0.046, 0.1, "radius"), (-0.01, 0.1, "radius"), (0.0, 0.161, "height"), (0.0, -1, "height")],
)
def test_places_outside(radius: float, height: float, field: str) -> None:
    with pytest.raises(InputError, match=field):
        cells_of(JAR, 4, (4, 4)).weights(radius, height)


@pytest.mark.parametrize("value", [0.0, -0.1, float("nan"), float("inf")])
def test_properties_that_cannot_be(value: float) -> None:
    vessel = Vessel(0.05, (Layer(0.1, lambda c: np.where(c > 50.0, value, 0.4), 2e6),))
    cells = cells_of(vessel, 4, (4,))
    assert np.all(cells.spread(np.full(cells.shape, 40.0), "conductivity") == 0.4)
    with pytest.raises(InputError, match="conductivity"):
        cells.spread(np.full(cells.shape, 60.0), "conductivity")
