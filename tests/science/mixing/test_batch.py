"""What goes into so many units: sums that must close, rounding, and what cannot be."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.errors import InputError
from pinset.science.mixing.batch import Part, batch_for, on_scale, too_fine, water_for
from pinset.science.mixing.blend import Portion, blended
from pinset.science.mixing.ingredients import (
    carbon_from_ash,
    carbon_of_ratio,
    nitrogen_from_protein,
)
from pinset.science.mixing.moisture import moisture_of_sample, moisture_with_gypsum
from science.mixing.things import BRAN, GYPSUM, SAWDUST, made

PARTS = (Part(SAWDUST, 0.79, 0.39), Part(BRAN, 0.20, 0.125), Part(GYPSUM, 0.01, 0.0))


def test_forty_blocks_by_hand() -> None:
    batch = batch_for(PARTS, 40 * 3.0, 0.62)
    dry = 120.0 * 0.38  # 45.6 kg
    by_hand = (dry * 0.79 / 0.61, dry * 0.20 / 0.875, dry * 0.01)
    assert [each.mass_kg for each in batch.portions] == pytest.approx(by_hand)
    assert batch.water_kg == pytest.approx(120.0 - sum(by_hand))
    assert batch.blend.moisture_wet == pytest.approx(0.62)
    assert batch.blend.nitrogen.middle == pytest.approx(0.79 * 0.0011 + 0.20 * 0.0275)
    assert batch.blend.supplement == pytest.approx(0.20)
    assert batch.blend.volume_m3 == pytest.approx(
        by_hand[0] / 243 + by_hand[1] / 220 + by_hand[2] / 1000
    )
    assert batch.blend.doubts[0].name == "wheat bran"  # 0.8 points of a fifth, against 0.18 of all


@given(
    shares=st.lists(st.floats(0.01, 1.0), min_size=2, max_size=5),
    moistures=st.lists(st.floats(0.0, 0.5), min_size=5, max_size=5),
    kilograms=st.floats(0.1, 5000.0),
    wanted=st.floats(0.5, 0.8),
    gain=st.floats(0.0, 0.0),
)
def test_mass_moisture_and_shares_always_close(
    shares: list[float], moistures: list[float], kilograms: float, wanted: float, gain: float
) -> None:
    total = sum(shares)
    parts = [
        Part(made(f"part {n}", 0.45, 0.01, moisture_wet=m), share / total, m)
        for n, (share, m) in enumerate(zip(shares, moistures, strict=False))
    ]
    batch = batch_for(parts, kilograms, wanted, steam_gain=gain)
    assert batch.blend.mass_kg == pytest.approx(kilograms)
    assert batch.blend.moisture_wet == pytest.approx(wanted)
    for part, portion in zip(parts, batch.portions, strict=True):
        assert portion.dry_kg == pytest.approx(part.dry_share * batch.blend.dry_kg)
    assert water_for(batch.portions, wanted) == pytest.approx(batch.water_kg, abs=1e-6)


def test_steam_brings_the_rest_of_the_water() -> None:
    batch = batch_for(PARTS, 100.0, 0.62, steam_gain=0.02)
    assert batch.blend.moisture_wet == pytest.approx(0.60)


def test_a_scale_shows_steps_and_what_then_is_in_it() -> None:
    batch = batch_for(PARTS, 12.0, 0.62)
    shown = on_scale(batch, 0.05, 0.1)
    for each in shown.portions:
        assert round(each.mass_kg / 0.05, 6) == round(each.mass_kg / 0.05)
    assert shown.blend.mass_kg == pytest.approx(
        sum(each.mass_kg for each in shown.portions) + shown.water_kg
    )
    assert shown.blend.moisture_wet == pytest.approx(0.62, abs=0.01)
    assert [each.ingredient.name for each in too_fine(batch, 0.05)] == ["gypsum"]


def test_water_for_what_was_really_weighed() -> None:
    weighed = (Portion(SAWDUST, 60.0, 0.39), Portion(BRAN, 12.0, 0.125))
    water = water_for(weighed, 0.62)
    assert blended(weighed, water).moisture_wet == pytest.approx(0.62)
    assert water_for([Portion(SAWDUST, 10.0, 0.70)], 0.62) < 0.0  # it is too wet already


def test_gypsum_loses_water_of_its_crystals() -> None:
    found = moisture_with_gypsum(100.0, 60.0, 10.0)
    assert found.high == pytest.approx(moisture_of_sample(100.0, 60.0))
    assert found.low == pytest.approx(0.40 - 0.0209)


def test_carbon_and_nitrogen_from_what_labels_say() -> None:
    assert carbon_from_ash(0.1) == pytest.approx(0.5)
    assert nitrogen_from_protein(0.16) == pytest.approx(0.0256)
    assert carbon_of_ratio(0.004, 114.0) == pytest.approx(0.456)
    with pytest.raises(InputError, match="different samples"):
        carbon_of_ratio(0.0024, 442.0)  # a public table: 106 % carbon


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: moisture_of_sample(2.3, 10.0), "swapped"),
        (lambda: moisture_of_sample(0.0, 0.0), "above 0"),
        (
            lambda: Part(SAWDUST, 1.0, 1.05) and batch_for([Part(SAWDUST, 1.0, 1.05)], 1, 0.6),
            "0.39",
        ),
        (lambda: batch_for([Part(SAWDUST, 0.9, 0.39)], 10.0, 0.62), "add up to 1"),
        (lambda: batch_for([Part(SAWDUST, 1.0, 0.70)], 10.0, 0.62), "Let the wettest dry"),
        (lambda: batch_for(PARTS, 0.0, 0.62), "above 0 kg"),
        (lambda: batch_for(PARTS, 10.0, 1.05), "below 1"),
        (lambda: blended([]), "some dry matter"),
        (lambda: blended([Portion(SAWDUST, 1.0, 0.4)], -1.0), "0 kg or more"),
        (lambda: Portion(SAWDUST, -1.0, 0.4), "0 kg or more"),
        (lambda: on_scale(batch_for(PARTS, 10.0, 0.62), 0.0), "above 0 kg"),
        (lambda: made("odd", 0.7, 0.0), "0 to 0.6"),
        (lambda: made("odd", 0.5, 0.0, ash=0.6), "carbon leaves"),
        (lambda: made(" ", 0.5, 0.0), "a name"),
    ],
)
def test_what_cannot_be_is_refused(call: object, words: str) -> None:
    with pytest.raises(InputError, match=words):
        call()  # type: ignore[operator]
