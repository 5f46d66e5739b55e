"""Bags in spawn run: closed forms of long and flat bodies, a published rise, gaps."""

from __future__ import annotations

from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.errors import InputError
from pinset.science.air.breath import (
    Breather,
    Hanging,
    Stage,
    heat_of_breath,
    substrate_breath,
)
from pinset.science.air.incubation import (
    CROWDED_W_M2_K,
    FILM_W_M2_K,
    core_rise,
    gap_between,
    rise_moved_by,
    skin_rise,
    touching,
    warmest_room,
)
from pinset.science.air.ranges import Range
from pinset.science.heating.heating import Brick, Cylinder

BAG = Cylinder(0.075, 0.25)
RUN = heat_of_breath(substrate_breath(Hanging(Breather.OYSTER, Stage.SPAWN_RUN, 1.0), 21.0))
SAWDUST = Range(0.12, 0.3, 0.81)


def exactly(value: float) -> Range:
    return Range.exactly(value)


@given(st.floats(0.03, 0.3), st.floats(0.1, 0.8), st.floats(2.0, 20.0))
def test_a_long_cylinder_has_the_textbook_rise(radius: float, k: float, film: float) -> None:
    """q R^2 / 4k + q R / 2h of every textbook of heat conduction."""
    long = Cylinder(radius, 200.0 * radius)
    found = core_rise(long, long.volume * 500.0, exactly(0.7), exactly(k), exactly(film))
    wanted = 350.0 * (radius**2 / (4.0 * k) + radius / (2.0 * film))
    assert found.middle == pytest.approx(wanted, rel=1e-3)


def test_a_flat_slab_has_the_textbook_rise() -> None:
    """q L^2 / 2k + q L / h, L half the thickness."""
    for slab in (Brick(20.0, 20.0, 0.2), Brick(0.2, 20.0, 20.0)):
        found = core_rise(slab, slab.volume * 500.0, exactly(0.7), exactly(0.3), exactly(8.0))
        assert found.middle == pytest.approx(350.0 * (0.1**2 / 0.6 + 0.1 / 8.0), rel=1e-3)


def test_a_straw_bag_is_as_warm_as_the_sheets_say() -> None:
    """Mycelia BVBA sheets: room 20 to 22, substrate 25 to 30 degC: 3 to 10 K, 5 usual."""
    straw = Cylinder(0.12, 0.5)
    found = core_rise(straw, straw.volume * 325.0, RUN, Range(0.1, 0.165, 0.3))
    assert found.low < 5.0 < found.high


def test_the_breath_is_what_to_measure() -> None:
    found = rise_moved_by(BAG, 2.5, RUN, Range(0.25, 0.3, 0.4))
    assert found[0].name == "heat"
    assert {swing.name for swing in found} == {"heat", "conductivity", "film"}


def test_bags_that_touch_are_hotter() -> None:
    alone = core_rise(BAG, 2.5, RUN, SAWDUST)
    heap = touching(BAG, 6, 4, 1)
    together = core_rise(heap, 24 * 2.5, RUN, SAWDUST)
    crowded = core_rise(BAG, 2.5, RUN, SAWDUST, CROWDED_W_M2_K)
    assert together.middle > crowded.middle > alone.middle
    assert warmest_room(28.0, together).low < warmest_room(28.0, alone).low < 28.0


@given(st.floats(0.05, 1.0), st.floats(0.5, 10.0))
def test_the_skin_is_cooler_than_the_core(height: float, film: float) -> None:
    bag = Cylinder(0.075, height)
    mass = bag.volume * 500.0
    skin = skin_rise(bag, mass, exactly(0.7), exactly(film)).middle
    assert 0.0 < skin < core_rise(bag, mass, exactly(0.7), exactly(0.3), exactly(film)).middle
    brick = Brick(0.13, 0.13, height)
    assert skin_rise(brick, mass, exactly(0.7), exactly(film)).middle > 0.0


def test_gaps_of_a_few_centimetres() -> None:
    found = gap_between(0.3, skin_rise(BAG, 2.5, RUN, FILM_W_M2_K))
    assert 0.01 < found.low < found.high < 0.06
    assert gap_between(0.3, exactly(0.0)).low == inf
    assert gap_between(0.6, exactly(3.0)).middle > gap_between(0.3, exactly(3.0)).middle


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (lambda: core_rise(BAG, 0.0, RUN, SAWDUST), "mass, conductivity and film"),
        (lambda: core_rise(BAG, 2.5, Range(-1.0, 0.0, 1.0), SAWDUST), "heat of the breath"),
        (lambda: rise_moved_by(BAG, 2.5, RUN, exactly(0.0)), "conductivity"),
        (lambda: touching(BAG, 0, 1, 1), "bags each way"),
        (lambda: skin_rise(BAG, 2.5, RUN, exactly(0.0)), "film"),
        (lambda: gap_between(0.0, exactly(3.0)), "height of the bags"),
        (lambda: warmest_room(200.0, exactly(3.0)), "most of a core"),
    ],
)
def test_what_cannot_be(wrong: object, words: str) -> None:
    with pytest.raises(InputError, match=words):
        wrong()  # type: ignore[operator]
