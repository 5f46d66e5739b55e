"""A load as it is typed: units, decimal commas, both systems, and what is refused by its name."""

from __future__ import annotations

import pytest

from pinset.errors import InputError
from pinset.services.cooks.loads import Filling, Heat, LoadPlan
from pinset.services.cooks.typed import TYPED, load_of


def test_empty_fields_keep_their_usual_values() -> None:
    assert load_of({"heat": "open", "mass": " ", "size": ""}) == LoadPlan(heat=Heat.OPEN_STEAM)


def test_numbers_without_units_count_in_the_systems_usual_ones() -> None:
    metric = load_of({"heat": "open", "mass": "2,3", "size": "15x20", "start": "20"})
    assert (metric.mass_kg, metric.diameter_cm, metric.start_c) == (2.3, 15.0, 20.0)
    us = load_of(
        {"heat": "open", "mass": "5", "size": "6x8", "start": "68", "altitude": "4000"}, "us"
    )
    assert us.mass_kg == pytest.approx(2.26796, abs=1e-5)
    assert us.diameter_cm == pytest.approx(15.24)
    assert us.start_c == pytest.approx(20.0)
    assert us.altitude_m == pytest.approx(1219.2)


def test_three_lengths_are_a_bag_pressed_square() -> None:
    load = load_of({"heat": "open", "size": "18 × 12 × 16 cm"})
    assert (load.length_cm, load.width_cm, load.height_cm) == pytest.approx((18.0, 12.0, 16.0))
    assert load.diameter_cm is None


def test_words_and_shares() -> None:
    load = load_of({"heat": "open", "filling": "straw", "moisture": "75 %", "mass": "1.2kg"})
    assert (load.filling, load.moisture) == (Filling.STRAW, 0.75)


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("mass", "heavy"),
        ("mass", "5 furlongs"),
        ("size", "15"),
        ("size", "1x2x3x4"),
        ("moisture", "wet"),
        ("units", "many"),
        ("units", "2.5"),
        ("heat", "fire"),
        ("filling", "sand"),
        ("temperature", "121bar"),
        ("organism", "none of these"),
        ("count", "lots"),
    ],
)
def test_what_is_not_accepted_is_said_by_its_name(name: str, text: str) -> None:
    with pytest.raises(InputError, match="accepted is") as refused:
        load_of({"heat": "open", name: text})
    assert refused.value.field == name
    assert name in TYPED


@pytest.mark.parametrize(
    ("filling", "moisture"), [("sawdust", 0.6), ("straw", 0.75), ("grain", 0.48), ("agar", 0.97)]
)
def test_a_filling_brings_its_own_moisture(filling: str, moisture: float) -> None:
    assert load_of({"heat": "open", "filling": filling}).moisture == moisture
    assert load_of({"heat": "open", "filling": filling, "moisture": "0.8"}).moisture == 0.8


def test_agar_stands_in_a_bottle_that_holds_it() -> None:
    load = load_of({"heat": "open", "filling": "agar"})
    assert load.mass_kg == 0.5
    assert 1000.0 * load.shape.volume == pytest.approx(0.5, rel=0.05)
    large = load_of({"heat": "open", "filling": "agar", "mass": "1 kg"})
    assert 1000.0 * large.shape.volume == pytest.approx(1.0, rel=0.05)
