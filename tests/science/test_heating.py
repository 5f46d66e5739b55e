"""Core curves: rows of tests/reference/heat/solver.csv, limits, many bags against single ones."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pinset.errors import InputError
from pinset.science.heating.conduction import cylinder_excess, slab_excess
from pinset.science.heating.heating import (
    Brick,
    Cylinder,
    Material,
    Modes,
    Shape,
    core_curve,
    mean_curve,
    modes_of,
)
from pinset.science.heating.many import Bags, core_curves
from science.check_rows import Row, chamber_curve, rows

START_C = 20.0
HEATED = [row for row in rows("solver.csv") if not row.quantity.startswith("time for")]
COOLED = [row for row in rows("solver.csv") if row.quantity.startswith("time for")]


def body(row: Row) -> tuple[Shape, Material]:
    material = Material(row["k"], row["rho*cp"], row["h"])
    if "edges" in row.inputs:
        return Brick(*row.edges()), material
    return Cylinder(row["R"], row["H"]), material


def modes(row: Row) -> Modes:
    return modes_of(*body(row))


@pytest.mark.parametrize("row", HEATED, ids=lambda row: row.id)
def test_under_the_chamber_curve(row: Row) -> None:
    seconds, chamber = chamber_curve()
    core = core_curve(modes(row), seconds, chamber, START_C)
    if row.quantity.startswith("core temperature"):
        value = core[round(row["t"])]
    elif row.quantity.startswith("F0"):
        value = np.trapezoid(10.0 ** ((core - 121.1) / 10.0), seconds / 60.0)
    elif row.quantity.startswith("peak"):
        value = core.max()
    else:
        assert row.quantity.startswith("mean core lag")
        value = modes(row).whole_lag
    assert row.holds(float(value))


@pytest.mark.parametrize("row", COOLED, ids=lambda row: row.id)
def test_cooling_from_100_to_30(row: Row) -> None:
    seconds = 30.0 * np.arange(1200)
    core = core_curve(modes(row), seconds, np.full(1200, 20.0), 100.0)
    assert row.holds(float(np.interp(-30.0, -core, seconds)) / 3600.0)


SHAPES = st.one_of(
    st.builds(Cylinder, st.floats(0.03, 0.12), st.floats(0.08, 0.4)),
    st.builds(Brick, st.floats(0.05, 0.2), st.floats(0.05, 0.2), st.floats(0.05, 0.3)),
)
MATERIALS = st.builds(Material, st.floats(0.05, 1.2), st.floats(5e5, 4e6), st.floats(5.0, 500.0))


@settings(max_examples=30, deadline=None)
@given(SHAPES, MATERIALS)
def test_after_a_step_it_is_the_product_of_series(shape: Shape, material: Material) -> None:
    """The textbook's product solution, from another function."""
    seconds = np.array([0.0, 1800.0, 7200.0])
    core = core_curve(modes_of(shape, material), seconds, np.full(3, 100.0), START_C)
    h_over_k = material.surface / material.conductivity

    def slab(edge: float, t: float) -> float:
        half = edge / 2
        return float(slab_excess(h_over_k * half, material.diffusivity * t / half**2))

    for t, value in zip(seconds[1:], core[1:], strict=True):
        if isinstance(shape, Brick):
            left = slab(shape.length, t) * slab(shape.width, t) * slab(shape.height, t)
        else:
            fo = material.diffusivity * t / shape.radius**2
            left = slab(shape.height, t) * float(cylinder_excess(h_over_k * shape.radius, fo))
        longest = (
            max(shape.length, shape.width, shape.height)
            if isinstance(shape, Brick)
            else max(2 * shape.radius, shape.height)
        )
        if material.diffusivity * t / (longest / 2) ** 2 < 0.002:
            continue  # the heat has hardly come in: so soon after a step the series ripples
        assert value == pytest.approx(100.0 - 80.0 * left, abs=0.01)


@settings(max_examples=30, deadline=None)
@given(SHAPES, MATERIALS, st.integers(0, 2**32 - 1))
def test_uneven_readings_of_the_same_lines_give_the_same_core(
    shape: Shape, material: Material, seed: int
) -> None:
    """Between readings the chamber is a line, so a reading more on that line changes nothing."""
    rng = np.random.default_rng(seed)
    seconds = 60.0 * np.arange(200)
    chamber = np.interp(seconds, [0, 3000, 9000, 11940], [20.0, 121.0, 121.0, 60.0])
    more = np.unique(np.concatenate((seconds, rng.uniform(0, seconds[-1], 30))))
    own = modes_of(shape, material)
    even = core_curve(own, seconds, chamber, START_C)
    uneven = core_curve(own, more, np.interp(more, seconds, chamber), START_C)
    assert np.interp(seconds, more, uneven) == pytest.approx(even, abs=1e-8)


@settings(max_examples=20, deadline=None)
@given(SHAPES, MATERIALS)
def test_the_core_lies_between_start_and_the_hottest(shape: Shape, material: Material) -> None:
    seconds = 60.0 * np.arange(400)
    chamber = np.interp(seconds, [0, 2400, 23940], [20.0, 121.0, 121.0])
    own = modes_of(shape, material)
    core, mean = (curve(own, seconds, chamber, START_C) for curve in (core_curve, mean_curve))
    assert core.min() >= START_C
    assert core.max() <= 121.0
    assert np.all(np.diff(core)[5:] >= -0.1)
    assert np.all(mean[5:] >= core[5:] - 0.1), "the core is the coldest"


def test_a_well_stirred_body_follows_newton_s_law() -> None:
    """With a poor surface the inside is even: excess exp(-h A t / (rho cp V))."""
    shape, material = Cylinder(0.05, 0.1), Material(5000.0, 3e6, 5.0)
    seconds = np.linspace(0.0, 20_000.0, 50)
    core = core_curve(modes_of(shape, material), seconds, np.full(50, 100.0), START_C)
    area = 2 * np.pi * 0.05 * (0.05 + 0.1)
    left = np.exp(-5.0 * area * seconds / (3e6 * shape.volume))
    assert core == pytest.approx(100.0 - 80.0 * left, abs=0.1)


def test_on_a_long_ramp_the_core_trails_by_its_whole_lag() -> None:
    own = modes_of(Brick(0.1, 0.12, 0.2), Material(0.4, 2.5e6, 60.0))
    seconds = 60.0 * np.arange(2000)
    core = core_curve(own, seconds, START_C + 0.001 * seconds, START_C)
    assert core[-1] == pytest.approx(START_C + 0.001 * (seconds[-1] - own.whole_lag), abs=1e-6)


def test_heat_stored_is_heat_that_came_in() -> None:
    """What the mean rises by is what flowed through the faces, here of a long thin cylinder."""
    shape, material = Cylinder(0.05, 20.0), Material(0.4, 2e6, 40.0)
    seconds = 5.0 * np.arange(4000)
    mean = mean_curve(modes_of(shape, material, count=300), seconds, np.full(4000, 90.0), 20.0)
    fo = material.diffusivity * seconds[1:] / shape.radius**2
    surface = 90.0 - 70.0 * cylinder_excess(5.0, fo, place=1.0)
    flow = 2.0 / shape.radius * material.surface * (90.0 - surface)  # W/m3
    came = np.concatenate(([0.0], np.cumsum((flow[1:] + flow[:-1]) / 2 * 5.0)))
    stored = material.heat_capacity * (mean[1:] - mean[1])
    assert stored[200:] == pytest.approx(came[200:] * (1 + 0.05 / 20.0), rel=0.003), "and the ends"


def random_bags(count: int) -> Bags:
    rng = np.random.default_rng(7)
    return Bags(
        rng.uniform(0.05, 0.1, count),
        rng.uniform(0.12, 0.3, count),
        rng.uniform(0.25, 0.7, count),
        rng.uniform(1.5e6, 3.5e6, count),
        rng.uniform(10.0, 150.0, count),
    )


@pytest.mark.parametrize("start_c", [20.0, 5.0])
def test_many_bags_are_as_one_by_one(start_c: float) -> None:
    bags = random_bags(260)  # more than are done at once
    seconds, chamber = chamber_curve()
    together = core_curves(bags, seconds, chamber, start_c)
    for n in (0, 100, 249, 250, 259):
        shape = Cylinder(float(bags.radius[n]), float(bags.height[n]))
        material = Material(
            float(bags.conductivity[n]), float(bags.heat_capacity[n]), float(bags.surface[n])
        )
        alone = core_curve(modes_of(shape, material), seconds, chamber, start_c)
        assert together[n, 0] == alone[0] == start_c
        assert together[n, 5:] == pytest.approx(alone[5:], abs=0.01)


@pytest.mark.parametrize(
    ("shape", "material", "field"),
    [
        (Cylinder(0.0, 0.2), Material(0.3, 2e6, 100), "radius"),
        (Cylinder(0.1, -0.2), Material(0.3, 2e6, 100), "height"),
        (Brick(0.1, float("nan"), 0.2), Material(0.3, 2e6, 100), "width"),
        (Brick(0.1, 0.1, 0.2), Material(0.3, float("inf"), 100), "heat_capacity"),
        (Brick(0.1, 0.1, 0.2), Material(0.3, 2e6, 0.0), "surface"),
    ],
)
def test_bodies_that_are_none(shape: Shape, material: Material, field: str) -> None:
    with pytest.raises(InputError, match=field):
        modes_of(shape, material)


@pytest.mark.parametrize(
    ("seconds", "chamber"),
    [
        ([0.0], [20.0]),
        ([], []),
        ([0.0, 60.0], [20.0]),
        ([0.0, 60.0, 60.0], [20.0, 30.0, 40.0]),
        ([0.0, 120.0, 60.0], [20.0, 30.0, 40.0]),
        ([0.0, 60.0], [20.0, float("nan")]),
    ],
)
def test_readings_that_are_no_curve(seconds: list[float], chamber: list[float]) -> None:
    own = modes_of(Cylinder(0.05, 0.1), Material(0.4, 2e6, 50.0))
    with pytest.raises(InputError, match=r"readings|seconds"):
        core_curve(own, seconds, chamber, 20.0)


def test_many_bags_refuse_uneven_readings_and_odd_bags() -> None:
    bags = random_bags(3)
    with pytest.raises(InputError, match="even steps"):
        core_curves(bags, [0.0, 60.0, 90.0], [20.0, 30.0, 40.0], 20.0)
    odd = Bags(bags.radius, bags.height[:2], bags.conductivity, bags.heat_capacity, bags.surface)
    with pytest.raises(InputError, match="height"):
        core_curves(odd, [0.0, 60.0], [20.0, 30.0], 20.0)
