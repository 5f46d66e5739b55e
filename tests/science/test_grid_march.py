"""Properties that change with temperature: an exact solution, scikit-fem, heat that balances."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad

from pinset.errors import InputError
from pinset.science.heating.conduction import cylinder_excess, slab_excess
from pinset.science.heating.grid import Face, Heated, heat_on_grid
from pinset.science.heating.grid_cells import Layer, Vessel
from science.finite_elements import Stuff, temperatures

SECONDS = 60.0 * np.arange(61)
CHAMBER = np.interp(SECONDS, [0, 1200, 2400, 3600], [20.0, 121.0, 121.0, 60.0])


def conductivity(celsius: np.ndarray) -> np.ndarray:
    return 0.3 + 0.004 * (celsius - 20.0) + 2e-5 * (celsius - 20.0) ** 2


def capacity(celsius: np.ndarray) -> np.ndarray:
    return 2e6 * (1.0 + 0.003 * (celsius - 20.0))


def cook(layer: Layer, surfaces: tuple[float, float, float] = (100.0, 30.0, 8.0)) -> Heated:
    side, top, bottom = (Face(surface) for surface in surfaces)
    return heat_on_grid(
        Vessel(0.03, (layer,)), SECONDS, CHAMBER, 20.0, side=side, top=top, bottom=bottom
    )


def test_changing_alike_it_is_the_linear_solution_of_the_heat() -> None:
    """With k and c changing by one factor f(T), the integral of f obeys the linear equation.

    Kirchhoff's transformation; exact for faces held at their ambient.
    """
    rise, radius, height = 0.01, 0.06, 0.15
    seconds = 60.0 * np.arange(181)

    def both(whole: float):  # noqa: ANN202
        return lambda celsius: whole * (1.0 + rise * (celsius - 20.0))

    held = Face(np.inf)
    heated = heat_on_grid(
        Vessel(radius, (Layer(height, both(0.3), both(2e6)),)),
        seconds,
        np.full(181, 100.0),
        20.0,
        side=held,
        top=held,
        bottom=held,
    )
    fo = 0.3 / 2e6 * seconds[1:]
    left = cylinder_excess(1e9, fo / radius**2) * slab_excess(1e9, fo / (height / 2) ** 2)
    transformed = (80.0 + rise / 2 * 80.0**2) * (1.0 - left)
    exact = 20.0 + (np.sqrt(1.0 + 2.0 * rise * transformed) - 1.0) / rise
    assert heated.core.curve_c[1:] == pytest.approx(exact, abs=0.02)
    coarse, fine = (np.abs(t.at(0, height / 2)[1:] - exact).max() for t in heated.tracks)
    assert 3.3 < coarse / fine < 4.7
    assert heated.imbalance < 1e-4


def test_changing_apart_with_unlike_faces_it_is_as_in_finite_elements() -> None:
    places = [(0.0, 0.04), (0.015, 0.04), (0.0, 0.02), (0.02, 0.06)]
    expected = temperatures(
        0.03,
        [Stuff(0.08, conductivity, capacity)],
        (100.0, 30.0, 8.0),
        SECONDS,
        (CHAMBER, CHAMBER, CHAMBER),
        20.0,
        places,
        cells=(6, 12),
        parts=3,
    )
    heated = cook(Layer(0.08, conductivity, capacity))
    for n, place in enumerate(places):
        assert heated.at(*place)[5:] == pytest.approx(expected[5:, n], abs=0.02)


def test_constant_functions_are_constants() -> None:
    fixed = cook(Layer(0.08, 0.4, 2e6))
    changing = cook(Layer(0.08, lambda c: np.full_like(c, 0.4), lambda c: np.full_like(c, 2e6)))
    assert changing.core.curve_c == pytest.approx(fixed.core.curve_c, abs=1e-8)
    assert changing.stored == pytest.approx(fixed.stored, abs=1e-3)


def test_no_heat_is_lost_while_the_heat_capacity_changes() -> None:
    heated = cook(Layer(0.08, conductivity, capacity))
    assert heated.imbalance < 1e-5
    even = cook(Layer(0.08, 5000.0, capacity), (1e4, 1e4, 1e4))
    volume = np.pi * 0.03**2 * 0.08
    for n in (20, 40, 60):
        stored, _ = quad(capacity, 20.0, float(even.mean_c[n]))
        assert even.stored[n] == pytest.approx(volume * stored, rel=2e-3)


def test_a_steep_conductivity_does_not_ring() -> None:
    """Sixtyfold within a few kelvins of the chamber, as where vapour carries the heat."""
    steep = Layer(0.08, lambda c: 0.3 + 20.0 / (1.0 + np.exp((115.0 - c) / 1.5)), 2e6)
    heated = cook(steep, (1e4, 1e4, 1e4))
    for curve in (heated.core.curve_c, *(track.at(0.0, 0.04) for track in heated.tracks)):
        assert np.all(np.diff(curve[1:40]) > -0.05)
    for track in heated.tracks:
        assert track.field.min() >= 20.0 - 0.05
        assert track.field.max() <= 121.0 + 0.05
    assert heated.imbalance < 1e-3
    assert heated.correction is not None
    assert heated.correction > 0.3, "it says that the front is too steep for these cells"


def test_properties_that_fail_on_the_way_are_refused() -> None:
    with pytest.raises(InputError, match="conductivity"):
        cook(Layer(0.08, lambda c: 0.3 - 0.005 * (c - 20.0), 2e6))
    with pytest.raises(InputError, match="heat_capacity"):
        cook(Layer(0.08, 0.3, lambda c: np.where(c > 90.0, np.nan, 2e6)))
