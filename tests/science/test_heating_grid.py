"""Grid curves: rows of solver.csv, an exact slab, scikit-fem, heat that balances, limits."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from scipy.optimize import brentq

from pinset.errors import InputError
from pinset.science.heating.grid import Face, Heated, heat_on_grid
from pinset.science.heating.grid_cells import Layer, Vessel
from pinset.science.heating.heating import Cylinder, Material, core_curve, mean_curve, modes_of
from science.check_rows import Row, chamber_curve, rows
from science.finite_elements import Stuff, temperatures

START_C = 20.0
ROWS = [row for row in rows("solver.csv") if "brick" not in row.quantity]
CURVES = [row for row in ROWS if not row.quantity.startswith(("time for", "mean core lag"))]
LAGS = [row for row in ROWS if row.quantity.startswith("mean core lag")]
COOLED = [row for row in ROWS if row.quantity.startswith("time for")]
Bag = tuple[float, float, float, float, float]
BAGS: dict[str, Bag] = {
    "A": (0.075, 0.2, 0.3, 1.9955e6, 100.0),
    "B": (0.075, 0.2, 0.3, 1.9955e6, 15.0),
    "C": (0.045, 0.14, 0.45, 3e6, 60.0),
}


def bag_of(row: Row) -> Bag:
    return (row["R"], row["H"], row["k"], row["rho*cp"], row["h"])


def alike(bag: Bag, seconds: np.ndarray, chamber: np.ndarray, start: float) -> Heated:
    """Return the curves of one stuff with all faces alike."""
    radius, height, conductivity, capacity, surface = bag
    face, vessel = Face(surface), Vessel(radius, (Layer(height, conductivity, capacity),))
    return heat_on_grid(vessel, seconds, chamber, start, side=face, top=face, bottom=face)


@cache
def cooked(bag: Bag) -> Heated:
    return alike(bag, *chamber_curve(), START_C)


def f0(curve: np.ndarray, seconds: np.ndarray) -> float:
    return float(np.trapezoid(10.0 ** ((curve - 121.1) / 10.0), seconds / 60.0))


@pytest.mark.parametrize("row", CURVES, ids=lambda row: row.id)
def test_under_the_chamber_curve(row: Row) -> None:
    heated = cooked(bag_of(row))
    core = heated.core.curve_c
    if row.quantity.startswith("core temperature"):
        value = float(core[round(row["t"])])
    elif row.quantity.startswith("F0"):
        value = f0(core, heated.seconds)
    else:
        assert row.quantity.startswith("peak")
        value = float(core.max())
    assert row.holds(value)


@pytest.mark.parametrize("name", BAGS)
def test_grid_and_series_agree(name: str) -> None:
    """To 0.005 K after five minutes: two methods that share nothing."""
    radius, height, conductivity, capacity, surface = BAGS[name]
    seconds, chamber = chamber_curve()
    modes = modes_of(Cylinder(radius, height), Material(conductivity, capacity, surface), count=150)
    heated = cooked(BAGS[name])
    assert heated.core.radius == 0.0
    assert heated.core.height == pytest.approx(height / 2, abs=1e-9)
    core = core_curve(modes, seconds, chamber, START_C)
    assert heated.core.curve_c[5:] == pytest.approx(core[5:], abs=0.005)
    mean = mean_curve(modes, seconds, chamber, START_C)
    assert heated.mean_c[5:] == pytest.approx(mean[5:], abs=0.02)


@pytest.mark.parametrize("row", LAGS, ids=lambda row: row.id)
def test_on_a_long_ramp_the_core_trails_by_its_lag(row: Row) -> None:
    seconds = 600.0 * np.arange(251)
    heated = alike(bag_of(row), seconds, START_C + 0.001 * seconds, START_C)
    assert row.holds(float(seconds[-1] - (heated.core.curve_c[-1] - START_C) / 0.001))


@pytest.mark.parametrize("row", COOLED, ids=lambda row: row.id)
def test_cooling_from_100_to_30(row: Row) -> None:
    seconds = 120.0 * np.arange(300)
    heated = alike(bag_of(row), seconds, np.full(300, 20.0), 100.0)
    hours = float(np.interp(-30.0, -heated.core.curve_c, seconds)) / 3600.0
    assert row.holds(hours)
    warmest = float(np.interp(-30.0, -heated.warmest_c, seconds)) / 3600.0
    assert warmest == pytest.approx(hours, abs=0.03), "the core is the last to cool"


@pytest.mark.parametrize("name", BAGS)
def test_each_grid_is_second_order(name: str) -> None:
    radius, height, conductivity, capacity, surface = BAGS[name]
    seconds, chamber = chamber_curve()
    modes = modes_of(Cylinder(radius, height), Material(conductivity, capacity, surface), count=100)
    core = core_curve(modes, seconds, chamber, START_C)
    coarse, fine = (
        np.abs(track.at(0.0, height / 2) - core).max() for track in cooked(BAGS[name]).tracks
    )
    assert 3.5 < coarse / fine < 4.5


def test_the_place_that_gains_least_is_a_little_off_the_core() -> None:
    """When the load cools in its bag the core still rises while the places around it fall."""
    heated = cooked(BAGS["A"])
    core, least = (f0(place.curve_c, heated.seconds) for place in (heated.core, heated.least))
    assert 0.9 * core < least < core
    assert 0.0 < heated.least.radius < 0.03
    beside = [f0(heated.at(r, 0.1), heated.seconds) for r in (0.0, 0.01, 0.025, 0.05)]
    assert least <= min(beside) + 1e-4
    seconds, chamber = chamber_curve()
    places = [(0.0, 0.1), (0.01875, 0.1)]
    layers, ambients = [Stuff(0.2, 0.3, 1.9955e6)], (chamber, chamber, chamber)
    cells = (16, 32)
    curves = temperatures(
        0.075, layers, (100.0,) * 3, seconds, ambients, 20.0, places, cells=cells, parts=2
    )
    centre, off = (f0(curves[:, n], seconds) for n in (0, 1))
    assert core == pytest.approx(centre, rel=2e-3)
    assert f0(heated.at(*places[1]), seconds) == pytest.approx(off, rel=2e-3)
    assert off < 0.98 * centre, "finite elements find the same"
    seconds = 60.0 * np.arange(240)
    hot = alike(BAGS["C"], seconds, np.full(240, 121.0), START_C)
    assert hot.least.radius == hot.core.radius == 0.0, "not while it is only heated"


def slab(
    place: float, seconds: np.ndarray, ambients: tuple[float, float], surfaces: tuple[float, float]
) -> np.ndarray:
    """Return the exact temperature in a slab with another surface and ambient on each side.

    Thickness 0.1 m, conductivity 0.4, heat capacity 2e6; bottom first; 200 modes.
    """
    thick, k, diffusivity = 0.1, 0.4, 0.4 / 2e6
    low, high = (each / k for each in surfaces)
    slope = (ambients[1] - ambients[0]) / (thick + 1.0 / low + 1.0 / high)
    steady = ambients[0] + slope / low

    def root(b: float) -> float:
        return float((b**2 - low * high) * np.sin(b * thick) - b * (low + high) * np.cos(b * thick))

    b_max = 200 * np.pi / thick
    grid = np.linspace(1e-3, b_max, 40_000)
    signs = np.sign([root(b) for b in grid])
    found = steady + slope * place + np.zeros_like(seconds)
    points, weights = np.polynomial.legendre.leggauss(2000)
    z, weights = (points + 1.0) * thick / 2, weights * thick / 2
    for n in np.flatnonzero(signs[1:] != signs[:-1]):
        b = brentq(root, grid[n], grid[n + 1], xtol=1e-13)
        mode = np.cos(b * z) + low / b * np.sin(b * z)
        share = np.sum(weights * mode * (START_C - steady - slope * z)) / np.sum(weights * mode**2)
        here = np.cos(b * place) + low / b * np.sin(b * place)
        found += share * here * np.exp(-diffusivity * b**2 * seconds)
    return found


def test_faces_that_differ_meet_the_exact_slab() -> None:
    """A closed side makes it a slab: other coefficients and ambients at top and bottom."""
    seconds = 120.0 * np.arange(361)
    heated = heat_on_grid(
        Vessel(0.05, (Layer(0.1, 0.4, 2e6),)),
        seconds,
        np.full(361, 110.0),
        START_C,
        side=Face(0.0),
        top=Face(60.0),
        bottom=Face(8.0, 50.0),
    )
    for place in (0.0, 0.02, 0.05, 0.1):
        exact = slab(place, seconds, (50.0, 110.0), (8.0, 60.0))
        for radius in (0.0, 0.03):
            found = heated.at(radius, place)
            assert found[5:] == pytest.approx(exact[5:], abs=0.02 if place < 0.1 else 0.1)
            assert found[60:] == pytest.approx(exact[60:], abs=0.003)
    assert heated.core.height < 0.05, "the cold spot moves towards the poor face"
    assert heated.imbalance < 1e-12


SECONDS = 60.0 * np.arange(91)
CHAMBER = np.interp(SECONDS, [0, 1800, 3600, 5400], [20.0, 121.0, 121.0, 60.0])
SHELF = CHAMBER - 8.0 * np.clip(SECONDS / 3600.0, 0.0, 1.0)


def test_a_bag_on_a_cooler_shelf_is_as_in_finite_elements() -> None:
    places = [(0.0, 0.08), (0.0, 0.06), (0.025, 0.04), (0.05, 0.08), (0.025, 0.0), (0.05, 0.16)]
    surfaces, ambients = (100.0, 30.0, 8.0), (CHAMBER, CHAMBER, SHELF)
    expected = temperatures(
        0.05, [Stuff(0.16, 0.4, 2.5e6)], surfaces, SECONDS, ambients, 20.0, places, parts=6
    )
    heated = heat_on_grid(
        Vessel(0.05, (Layer(0.16, 0.4, 2.5e6),)),
        SECONDS,
        CHAMBER,
        START_C,
        side=Face(100.0),
        top=Face(30.0),
        bottom=Face(8.0, SHELF),
        cells=(20, 40),
    )
    for n, place in enumerate(places):
        near = 0.005 if place[0] < 0.05 and place[1] > 0.0 else 0.05
        assert heated.at(*place)[5:] == pytest.approx(expected[5:, n], abs=near)


def test_a_jar_with_base_and_headspace_is_as_in_finite_elements() -> None:
    layers = [(0.01, 1.0, 2e6), (0.11, 0.45, 3e6), (0.04, 0.03, 1.1e3)]
    places = [(0.0, 0.065), (0.0225, 0.065), (0.0, 0.01), (0.0, 0.14), (0.045, 0.065)]
    surfaces, ambients = (60.0, 60.0, 20.0), (CHAMBER, CHAMBER, CHAMBER)
    stuff = [Stuff(*each) for each in layers]
    expected = temperatures(
        0.045, stuff, surfaces, SECONDS, ambients, 20.0, places, cells=(16, 16), parts=6
    )
    vessel = Vessel(0.045, tuple(Layer(*each, is_load=each[0] == 0.11) for each in layers))
    heated = heat_on_grid(
        vessel,
        SECONDS,
        CHAMBER,
        START_C,
        side=Face(60.0),
        top=Face(60.0),
        bottom=Face(20.0),
        cells=(20, 40),
    )
    for n, (place, near) in enumerate(zip(places, (0.02, 0.02, 0.02, 0.06, 0.02), strict=True)):
        assert heated.at(*place)[5:] == pytest.approx(expected[5:, n], abs=near)
    assert 0.01 < heated.core.height < 0.12


def test_a_layer_cut_in_two_is_one_layer() -> None:
    bag = BAGS["C"]
    face = Face(bag[4])
    halves = Vessel(bag[0], (Layer(0.07, bag[2], bag[3]), Layer(0.07, bag[2], bag[3])))
    cut = heat_on_grid(halves, *chamber_curve(), START_C, side=face, top=face, bottom=face)
    assert cut.at(0.0, 0.05) == pytest.approx(cooked(bag).at(0.0, 0.05), abs=1e-9)
    assert cut.mean_c == pytest.approx(cooked(bag).mean_c, abs=1e-9)


def test_a_face_held_at_its_ambient_is_the_limit_of_good_surfaces() -> None:
    seconds = 60.0 * np.arange(121)
    chamber = np.interp(seconds, [0, 1800, 7200], [20.0, 121.0, 121.0])
    held, good = (
        alike((0.05, 0.1, 0.4, 2.5e6, surface), seconds, chamber, START_C)
        for surface in (np.inf, 1e7)
    )
    assert good.core.curve_c == pytest.approx(held.core.curve_c, abs=1e-3)
    assert held.at(0.05, 0.05)[10:] == pytest.approx(chamber[10:], abs=0.1)


def test_closed_faces_let_nothing_in() -> None:
    heated = alike((0.05, 0.1, 0.4, 2.5e6, 0.0), *chamber_curve(), START_C)
    assert np.all(np.abs(heated.core.curve_c - START_C) < 1e-9)
    assert heated.imbalance < 1e-6


def test_a_well_stirred_load_follows_newton_s_law_when_the_steam_is_shut_off() -> None:
    """The coefficient falls from 100 to 10 between two readings, by their mean in between."""
    seconds = 60.0 * np.arange(241)
    surface = np.where(seconds < 7200.0, 100.0, 10.0)
    face = Face(surface)
    heated = heat_on_grid(
        Vessel(0.05, (Layer(0.1, 5000.0, 3e6),)),
        seconds,
        np.full(241, 100.0),
        START_C,
        side=face,
        top=face,
        bottom=face,
    )
    rate = 2 * np.pi * 0.05 * 0.15 / (3e6 * np.pi * 0.05**2 * 0.1)
    passed = np.concatenate(([0.0], np.cumsum((surface[1:] + surface[:-1]) / 2 * 60.0)))
    assert heated.mean_c == pytest.approx(100.0 - 80.0 * np.exp(-rate * passed), abs=0.03)


@pytest.mark.parametrize("name", BAGS)
def test_heat_that_came_in_is_stored(name: str) -> None:
    radius, height, _, capacity, _ = BAGS[name]
    heated = cooked(BAGS[name])
    assert heated.imbalance < 1e-11
    fine = heated.tracks[-1]
    volume = np.pi * radius**2 * height
    assert heated.stored == pytest.approx(capacity * volume * (fine.mean() - START_C), abs=1e-3)
    assert heated.heat_top == pytest.approx(heated.heat_bottom, rel=1e-9)
    assert heated.heat_side[100] > 2.0 * heated.heat_top[100] > 0.0, "the side is the larger"


def test_readings_may_be_uneven_and_far_apart() -> None:
    """Between readings the chamber is a line, so dropping readings on that line changes nothing."""
    seconds, chamber = chamber_curve()
    bends = np.flatnonzero(np.abs(np.diff(chamber, 2)) > 1e-9) + 1
    kept = np.unique(np.concatenate(([0, 7, 100, len(seconds) - 1], bends)))
    few = alike(BAGS["A"], seconds[kept], chamber[kept], START_C)
    assert few.core.curve_c == pytest.approx(cooked(BAGS["A"]).core.curve_c[kept], abs=1e-4)


def test_one_grid_is_the_coarse_one_of_two() -> None:
    face = Face(100.0)
    vessel = Vessel(0.075, (Layer(0.2, 0.3, 1.9955e6),))
    alone = heat_on_grid(
        vessel, *chamber_curve(), START_C, side=face, top=face, bottom=face, extrapolate=False
    )
    assert len(alone.tracks) == 1
    assert alone.correction is None
    assert 0.01 < cooked(BAGS["A"]).correction < 0.1
    coarse = cooked(BAGS["A"]).tracks[0]
    assert alone.at(0.0, 0.1) == pytest.approx(coarse.at(0.0, 0.1), abs=1e-6)


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"start_c": float("nan")}, "start_c"),
        ({"start_c": 500.0}, "start_c"),
        ({"side": Face(-1.0)}, "side.surface"),
        ({"top": Face(float("nan"))}, "top.surface"),
        ({"top": Face([1.0, 2.0, 3.0])}, "top.surface"),
        ({"bottom": Face(10.0, float("nan"))}, "bottom.ambient_c"),
        ({"bottom": Face(10.0, [20.0])}, "bottom.ambient_c"),
        ({"bottom": Face(10.0, 373.15)}, "bottom.ambient_c"),
        ({"chamber_c": [20.0, float("nan")]}, "readings"),
        ({"chamber_c": [20.0, 394.0]}, "ambient_c"),
        ({"seconds": [60.0, 0.0]}, "seconds"),
        ({"seconds": [60.0], "chamber_c": [20.0]}, "readings"),
        ({"cells": (3, 20)}, "cells"),
        ({"cells": (2000, 20_000)}, "readings"),
        ({"step": 0.0}, "step"),
        ({"step": float("nan")}, "step"),
        ({"z_k": 0.0}, "z_k"),
    ],
)
def test_what_is_refused(change: dict[str, object], field: str) -> None:
    given: dict[str, object] = {
        "seconds": [0.0, 60.0],
        "chamber_c": [20.0, 30.0],
        "start_c": 20.0,
        "side": Face(10.0),
        "top": Face(10.0),
        "bottom": Face(10.0),
    }
    with pytest.raises(InputError, match=field):
        heat_on_grid(Vessel(0.05, (Layer(0.1, 0.4, 2e6),)), **(given | change))  # type: ignore[arg-type]
