"""Roots and series of conduction: textbook tables and examples, bisection, the energy they carry.

Rows of tests/reference/heat/conduction.csv; each names its source.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.special import j0, j1, jn_zeros

from pinset.errors import InputError
from pinset.science.heating.conduction import (
    cylinder_excess,
    cylinder_roots,
    cylinder_weights,
    slab_excess,
    slab_roots,
    slab_weights,
)
from science.check_rows import Row, rows

ROWS = {row.id: row for row in rows("conduction.csv")}
FIRST = [row for row in ROWS.values() if row.quantity.split()[0] in {"zeta1", "C1", "zeta1,"}]
STEPS = [row for row in ROWS.values() if row.quantity.startswith("dimensionless centre excess")]


@pytest.mark.parametrize("row", FIRST, ids=lambda row: row.id)
def test_first_roots_and_weights(row: Row) -> None:
    is_slab = "slab" in row.quantity
    roots = (slab_roots if is_slab else cylinder_roots)(row["Bi"], 1)
    weights = (slab_weights if is_slab else cylinder_weights)(roots)
    wants_root = row.quantity.startswith("zeta1 ") or row.quantity.endswith("zeta1")
    assert row.holds(float((roots if wants_root else weights)[0]))


@pytest.mark.parametrize("row", STEPS, ids=lambda row: row.id)
def test_bricks_and_cylinders_after_a_step(row: Row) -> None:
    alpha, h_over_k = row["k"] / row["rho*cp"], row["h"] / row["k"]

    def slab(edge: float) -> float:
        half = edge / 2
        return float(slab_excess(h_over_k * half, alpha * row["t"] / half**2))

    if "brick" in row.quantity:
        left = float(np.prod([slab(edge) for edge in row.edges()]))
    else:
        radius = row["R"]
        round_part = float(cylinder_excess(h_over_k * radius, alpha * row["t"] / radius**2))
        left = round_part * slab(row["H"])
    assert row.holds(left)


def temperature(excess: float, start: float, surroundings: float) -> float:
    return surroundings + (start - surroundings) * excess


def test_a_wall_with_one_side_adiabatic() -> None:
    row = ROWS["CO051"]
    left = slab_excess(500 * 0.04 / 63.9, 18.8e-6 * 480 / 0.04**2)
    assert row.holds(temperature(float(left), -20, 60))


def test_a_root_between_two_lines_of_a_table() -> None:
    assert ROWS["CO052"].holds(float(cylinder_roots(0.0506, 1)[0]))


def test_the_surface_of_a_plate() -> None:
    left = slab_excess(120 * 0.02 / 110, 33.9e-6 * 420 / 0.02**2, place=1.0)
    assert ROWS["CO053"].holds(temperature(float(left), 20, 500))


def test_the_middle_of_a_long_cylinder() -> None:
    left = cylinder_excess(80 * 0.1 / 14.9, 3.95e-6 * 2700 / 0.1**2)
    assert ROWS["CO054"].holds(temperature(float(left), 600, 200))


@pytest.mark.parametrize(("name", "place"), [("CO055", 0.0), ("CO056", 1.0)])
def test_a_short_cylinder_in_the_middle_and_at_its_end(name: str, place: float) -> None:
    round_part = cylinder_excess(60 * 0.05 / 110, 3.39e-5 * 900 / 0.05**2)
    flat = slab_excess(60 * 0.06 / 110, 3.39e-5 * 900 / 0.06**2, place=place)
    assert ROWS[name].holds(temperature(float(round_part * flat), 120, 25))


@pytest.mark.parametrize(("name", "place"), [("CO057", 1.0), ("CO058", 0.45), ("CO059", 0.0)])
def test_a_slab_insulated_on_one_side(name: str, place: float) -> None:
    alpha = 0.197 / (998 * 2300)
    left = slab_excess(8.52 * 0.0462 / 0.197, alpha * 5 * 3600 / 0.0462**2, place=place)
    assert ROWS[name].holds(temperature(float(left), 277.6, 297.1))


@pytest.mark.parametrize("biot", np.logspace(-6, 9, 31))
def test_roots_by_bisection(biot: float) -> None:
    slab, cylinder = slab_roots(biot, 20), cylinder_roots(biot, 20)
    lower = np.concatenate(([1e-9], jn_zeros(1, 19)))
    upper = jn_zeros(0, 20)
    for n in range(20):
        begin = n * np.pi + 1e-9
        exact = brentq(
            lambda x: x * np.sin(x) - biot * np.cos(x), begin, (n + 0.5) * np.pi, rtol=1e-14
        )
        assert slab[n] == pytest.approx(exact, rel=1e-11)
        exact = brentq(lambda x: x * j1(x) - biot * j0(x), lower[n], upper[n] + 1e-12, rtol=1e-14)
        assert cylinder[n] == pytest.approx(exact, rel=1e-11)


def test_many_biot_numbers_are_as_one_by_one() -> None:
    biot = np.array([[0.03, 0.8], [4.0, 300.0]])
    for roots in (slab_roots, cylinder_roots):
        together = roots(biot, 12)
        assert together.shape == (2, 2, 12)
        for place in np.ndindex(biot.shape):
            assert np.array_equal(together[place], roots(biot[place], 12))


def test_the_first_excess_is_whole_and_the_energy_too() -> None:
    """At time nought the series is 1 at the core, and its mean over the body as well."""
    for biot in (0.05, 2.0, 50.0):
        zeta = slab_roots(biot, 20_000)
        assert np.sum(slab_weights(zeta) * np.sin(zeta) / zeta) == pytest.approx(1.0, abs=1e-4)
        zeta = cylinder_roots(biot, 4000)
        mean = cylinder_weights(zeta) * 2.0 * j1(zeta) / zeta
        assert np.sum(mean) == pytest.approx(1.0, abs=2e-4)


@pytest.mark.parametrize("biot", [0.0, -1.0, float("nan"), float("inf")])
def test_no_biot_number(biot: float) -> None:
    for roots in (slab_roots, cylinder_roots):
        with pytest.raises(InputError, match="biot"):
            roots(biot, 5)


def test_times_and_places_out_of_range() -> None:
    with pytest.raises(InputError, match="fourier"):
        slab_excess(1.0, 0.0)
    with pytest.raises(InputError, match="place"):
        cylinder_excess(1.0, 1.0, place=1.2)
    with pytest.raises(InputError, match="count"):
        slab_roots(1.0, 0)
