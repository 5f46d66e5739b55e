"""How late a core is: the mean delay of a unit, and what no unit of a load can be."""

from __future__ import annotations

import numpy as np
import pytest

from pinset.science.heating.heated_unit import Conducting
from pinset.science.heating.heating import Brick, Cylinder, Material, Shape, core_curve, modes_of
from pinset.science.heating.loads import Filling, fill_of
from pinset.science.judging.core_pace import lag_behind, lateness, would_conduct

SECONDS = np.linspace(0.0, 18_000.0, 301)
CHAMBER = np.interp(SECONDS / 60.0, [0.0, 35.0, 300.0], [20.0, 121.0, 121.0])
BAG = Cylinder(0.075, 0.2)
FILL = fill_of(Filling.SAWDUST, BAG, 2.3, 0.6, 70.0)


def core(shape: Shape, conductivity: float, surface: float = 200.0) -> np.ndarray:
    stuff = Material(conductivity, FILL.heat_capacity, surface)
    return core_curve(modes_of(shape, stuff), SECONDS, CHAMBER, 20.0)


@pytest.mark.parametrize("late_s", [300.0, 1200.0])
def test_the_lag_of_a_delayed_ramp_is_its_delay(late_s: float) -> None:
    delayed = np.interp(SECONDS - late_s, SECONDS, CHAMBER)
    found = lag_behind(SECONDS, delayed, CHAMBER)
    assert found == pytest.approx(late_s, rel=0.15)  # the first tenth of the rise is not counted


def test_a_chamber_that_does_not_heat_tells_nothing() -> None:
    assert lag_behind(SECONDS, np.full(301, 20.0), np.full(301, 21.0)) is None


@pytest.mark.parametrize("conductivity", [0.35, 0.6, 0.9, 1.4])
@pytest.mark.parametrize("shape", [BAG, Brick(0.20, 0.12, 0.15)])
def test_the_middle_of_a_unit_is_within_what_such_a_unit_can_be(
    shape: Shape, conductivity: float
) -> None:
    found = lateness(shape, FILL, None, (SECONDS, core(shape, conductivity), CHAMBER))
    assert found is not None
    assert found.least < found.was


@pytest.mark.parametrize("radius", [0.02, 0.03])
def test_a_shallow_place_is_quicker_than_any_unit_and_would_conduct_as_metal(radius: float) -> None:
    inside = core(Cylinder(radius, 0.2), 0.45)
    curves = (SECONDS, inside, CHAMBER)
    found = lateness(BAG, FILL, None, curves)
    assert found is not None
    assert found.was < found.least
    assert would_conduct(BAG, FILL, found.was, curves) > 2.0


def test_what_it_would_conduct_is_what_it_conducts() -> None:
    inside = core(BAG, 3.0, 1e4)
    found = lag_behind(SECONDS, inside, CHAMBER)
    assert found is not None
    assert would_conduct(BAG, FILL, found, (SECONDS, inside, CHAMBER)) == pytest.approx(3.0, 0.03)


@pytest.mark.parametrize(("share", "is_too_quick"), [(1.0, False), (0.75, False), (0.4, True)])
def test_twice_as_quick_as_the_farms_own_unit_is_none_of_it(
    share: float, *, is_too_quick: bool
) -> None:
    own = Conducting(BAG, Material(0.5, FILL.heat_capacity, 200.0))
    inside = core(Cylinder(0.075 * share, 0.2 * share), 0.5)
    found = lateness(BAG, FILL, own, (SECONDS, inside, CHAMBER))
    assert found is not None
    assert (found.was < found.least) is is_too_quick


def test_a_drain_is_not_explained_by_a_bag_and_a_bag_is() -> None:
    for inside, is_explained in (
        (np.interp(SECONDS - 1000.0, SECONDS, CHAMBER), False),
        (core(BAG, 0.45), True),
        (core(BAG, 0.8), True),
    ):
        found = lateness(BAG, FILL, None, (SECONDS, inside, CHAMBER))
        assert found is not None
        assert (found.likely <= found.was <= found.most) is is_explained


@pytest.mark.parametrize("before_min", [0, 30, 90])
@pytest.mark.parametrize("conductivity", [0.2, 0.5, 1.0])
def test_in_a_chamber_hot_when_first_read_no_unit_is_too_quick(
    conductivity: float, before_min: int
) -> None:
    seconds = 60.0 * np.arange(0.0, 601.0)
    stuff = Material(conductivity, FILL.heat_capacity, 200.0)
    whole = core_curve(modes_of(BAG, stuff), seconds, np.full(601, 121.0), 20.0)
    t, inside = seconds[: 601 - before_min], whole[before_min:]
    found = lateness(BAG, FILL, None, (t, inside, np.full(len(t), 121.0)))
    if inside[0] > 91.0:
        assert found is None, "too little of its way was read"
    else:
        assert found is not None
        assert found.was > found.least


def test_in_a_chamber_hot_when_first_read_a_shallow_probe_is_too_quick() -> None:
    t = 60.0 * np.arange(0.0, 121.0)
    hot = np.full(121, 121.0)
    inside = 121.0 - 101.0 * np.exp(-t / 600.0)  # an approach of ten minutes
    found = lateness(BAG, FILL, None, (t, inside, hot))
    assert found is not None
    assert found.was == pytest.approx(600.0, rel=0.02)
    assert found.was < found.least
    assert would_conduct(BAG, FILL, found.was, (t, inside, hot)) > 2.0
    warm = 121.0 - 20.0 * np.exp(-t / 600.0)
    assert lateness(BAG, FILL, None, (t, warm, hot)) is None
