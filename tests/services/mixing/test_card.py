"""The mixing card: by hand, in both systems, and in plain words where it cannot be."""

from __future__ import annotations

import pytest

from pinset.errors import InputError
from pinset.services.mixing.card import mix_card
from pinset.units import POUND_KG

BLOCKS = {
    "what-1": "hardwood-sawdust",
    "moisture-1": "39 %",
    "what-2": "wheat-bran",
    "share-2": "20",
    "moisture-2": "12.5 %",
    "what-3": "gypsum",
    "share-3": "1",
    "units": "40",
    "fill": "3 kg",
    "moisture": "62 %",
    "step": "50 g",
}


def test_forty_blocks_by_hand() -> None:
    card = mix_card(BLOCKS)
    dry = 120.0 * 0.38  # kg
    by_hand = [dry * 0.79 / 0.61, dry * 0.20 / 0.875, dry * 0.01]
    assert [line.kg for line in card.lines] == pytest.approx(by_hand, abs=0.025)  # half a step
    assert card.lines[0].weight == "59.05 kg"
    assert card.water_kg == pytest.approx(120.0 - sum(by_hand), abs=0.05)
    assert card.nitrogen.middle == pytest.approx(0.79 * 0.0011 + 0.20 * 0.0275, rel=0.01)
    assert card.nitrogen_said.startswith("0.64 % nitrogen (")
    assert card.supplement == pytest.approx(0.20, abs=0.002)
    carbon = 0.79 * 0.495 + 0.20 * 0.45
    assert card.carbon_to_nitrogen is not None
    assert card.carbon_to_nitrogen.middle == pytest.approx(carbon / 0.006369, rel=0.01)
    assert card.volume_m3 == pytest.approx(59.05 / 243 + 10.4 / 220 + 0.45 / 1000, rel=0.01)
    assert "wheat bran" in card.measure_first
    assert card.too_fine == (
        "Gypsum: 0.45 kg is less than 20 steps of a scale of 0.05 kg. Weigh it on a finer one.",
    )


def test_the_same_in_pounds() -> None:
    us = {**BLOCKS, "fill": "6", "step": "0.1", "water-step": "0.1"}
    card = mix_card(us, "us")
    dry = 240.0 * POUND_KG * 0.38
    assert card.lines[0].kg == pytest.approx(dry * 0.79 / 0.61, abs=0.03)
    assert card.lines[0].weight.endswith(" lb")
    assert "gal" in card.water
    assert "lb" in card.water
    metric = mix_card({**BLOCKS, "fill": "6 lb", "step": "0.1 lb", "water-step": "0.1 gal"})
    assert metric.lines[0].kg == card.lines[0].kg
    assert metric.nitrogen == card.nitrogen


def test_shares_as_it_lies_there_are_turned_into_dry_ones() -> None:
    card = mix_card({**BLOCKS, "basis": "weighed", "share-1": "84", "share-2": "15", "step": "1 g"})
    dry = 84 * 0.61 + 15 * 0.875 + 1
    assert card.lines[1].dry_share == pytest.approx(15 * 0.875 / dry, rel=1e-3)
    kilograms = [line.kg for line in card.lines]
    assert [kg / sum(kilograms) for kg in kilograms] == pytest.approx([0.84, 0.15, 0.01], rel=1e-3)


def test_parts_need_not_make_a_hundred() -> None:
    # 100 bagasse, 8 rice bran, 3 rice straw, 2 limestone: a formula in parts.
    parts = {"basis": "dry-parts", "units": "10", "fill": "2 kg", "moisture": "65 %", "step": "1 g"}
    for number, (what, share) in enumerate(
        (("bagasse", 100), ("rice-bran", 8), ("rice-straw", 3), ("limestone", 2)), start=1
    ):
        parts |= {f"what-{number}": what, f"share-{number}": str(share)}
    card = mix_card(parts)
    assert [line.dry_share for line in card.lines] == pytest.approx(
        [100 / 113, 8 / 113, 3 / 113, 2 / 113], abs=1e-3
    )


def test_a_sample_wet_and_dry() -> None:
    # Trautmann and Krasny, Composting in the Classroom, chapter 3: 10 g wet, 2.3 g dry is 77 %.
    card = mix_card(
        {**BLOCKS, "what-1": "coffee-grounds", "moisture-1": "10/2.3", "moisture": "77"}
    )
    assert card.lines[0].moisture == "77 %, of a sample"


def test_steam_brings_a_low_and_a_high() -> None:
    card = mix_card({**BLOCKS, "gain": "1-4", "step": "1 g", "water-step": "1 g"})
    assert card.moisture_at_filling == pytest.approx(0.595, abs=1e-4)
    assert card.moisture_after.ends == pytest.approx((0.605, 0.62, 0.635), abs=1e-4)
    assert card.moisture_said == "59.5 % when it is filled, 60.5 to 63.5 % after the cook"


def test_aims_as_published() -> None:
    card = mix_card({**BLOCKS, "for": "wood-lovers"})
    stands = {aim.key: aim.stands for aim in card.aims}
    assert stands == {
        "king-oyster": "below",
        "wood-lovers": "within",
        "pleurotus-geesteranus": "above",
    }
    assert card.aim is not None
    assert not card.aim.is_sure  # its low end is below 0.6 %
    assert "Common practice" in card.aim.sentence
    assert "1.5 to 1.8 % nitrogen" in card.aims[0].aim


def test_an_own_analysis_takes_the_doubt_away() -> None:
    known = mix_card({**BLOCKS, "nitrogen-2": "16.25 % protein"})
    assert known.lines[1].known == "your own analysis"
    assert "hardwood sawdust" in known.measure_first
    both = mix_card({**BLOCKS, "nitrogen-2": "2.6", "nitrogen-1": "0.12"})
    assert both.measure_first == ""
    assert both.nitrogen.is_known
    assert known.nitrogen.middle == pytest.approx(both.nitrogen.middle, rel=0.02)


def test_another_ingredient_with_its_analysis() -> None:
    malt = {
        "what-3": "other",
        "name-3": "malt sprouts",
        "moisture-3": "8",
        "nitrogen-3": "4-4.5",
        "ash-3": "7",
    }
    card = mix_card({**BLOCKS, **malt})
    assert card.supplement == pytest.approx(0.21, abs=0.003)
    assert any("guessed from its ash" in remark for remark in card.remarks)
    assert card.volume == ""  # its bulk is not known


def test_grain_alone_is_no_supplement() -> None:
    rye = {"what-1": "rye", "units": "24", "vessel": "jars", "fill": "0.7 kg", "moisture": "50 %"}
    card = mix_card(rye)
    assert card.supplement == 0.0
    assert card.sentence.startswith("For 24 jars: ")
    block = mix_card({**BLOCKS, "what-3": "rye", "share-3": "10"})
    assert block.supplement == pytest.approx(0.30, abs=0.003)


def test_what_it_costs() -> None:
    prices = {"price-1": "0.06", "price-2": "8/25 kg", "price-3": "0.4"}
    card = mix_card({**BLOCKS, **prices}, currency="EUR")
    assert card.costing is not None
    by_hand = 59.05 * 0.06 + 10.4 * 0.32 + 0.45 * 0.4
    assert card.costing.total == pytest.approx(by_hand)
    assert card.costing.each == pytest.approx(by_hand / 40)
    assert card.costing.sentence.startswith("EUR 7.05")
    assert mix_card({**BLOCKS, "price-1": "0.06"}).costing is None


def test_cautions_stand_where_the_numbers_are() -> None:
    said = " ".join(mix_card(BLOCKS).cautions)
    assert "Dust of grain" in said
    assert "Wet substrate is heavy" in said
    assert "lime" not in said
    limed = " ".join(mix_card({**BLOCKS, "what-3": "hydrated-lime", "units": "2"}).cautions)
    assert "Lime, quick or hydrated" in limed
    assert "Wet substrate" not in limed


def test_what_was_really_weighed_gets_its_own_water() -> None:
    card = mix_card({**BLOCKS, "weighed-1": "62 kg", "water-in": "40 L"})
    done = card.correction
    assert done is not None
    dry = 62 * 0.61 + 10.4 * 0.875 + 0.45
    needed = dry / 0.38 - (62 + 10.4 + 0.45)
    assert done.water_kg == pytest.approx(needed, abs=0.01)
    assert done.more_kg == pytest.approx(needed - 40, abs=0.01)
    assert done.sentence.startswith("Add ")
    assert card.correction is not None
    assert mix_card(BLOCKS).correction is None


def test_too_wet_is_taken_up_by_more_of_the_main_ingredient() -> None:
    card = mix_card({**BLOCKS, "water-in": "60 L"})
    done = card.correction
    assert done is not None
    assert done.add_name == "hardwood sawdust"
    mass = 59.05 + 10.4 + 0.45 + 60 + done.add_kg
    dry = 59.05 * 0.61 + 10.4 * 0.875 + 0.45 + done.add_kg * 0.61
    assert 1 - dry / mass == pytest.approx(0.62, abs=1e-6)
    assert "too wet" in done.sentence
    assert done.nitrogen.middle < card.nitrogen.middle


@pytest.mark.parametrize(
    ("typed", "field", "why"),
    [
        ({"moisture-1": "105 %"}, "moisture-1", "below 100 % of the wet weight"),
        ({"moisture-1": "73/120"}, "moisture-1", "may be swapped"),
        ({"moisture-1": "0/0"}, "moisture-1", "weight wet, then dry"),
        ({"moisture-1": "0.39"}, "moisture-1", "Write 39 %"),
        ({"moisture-1": "damp"}, "moisture-1", "such as 39 %"),
        ({"share-1": "70"}, "shares", "9 % is missing"),
        ({"share-1": "82"}, "shares", "3 % is too much"),
        ({"share-2": ""}, "share-2", "gets the rest"),
        ({"share-2": "99.5"}, "share-1", "They make 100.5 %"),
        ({"share-2": "-5"}, "share-2", "from 0 to 100 %"),
        ({"basis": "dry-parts"}, "share-1", "parts of hardwood sawdust"),
        ({"basis": "wet"}, "basis", "dry-parts"),
        ({"what-1": "moon-dust"}, "what-1", "hardwood-sawdust"),
        ({"what-1": "", "what-2": "", "what-3": ""}, "what-1", "an ingredient"),
        ({"moisture": "30 %"}, "moisture", "Let the hardwood sawdust dry"),
        ({"moisture": "100"}, "moisture", "below 100 %"),
        ({"units": "0"}, "units", "from 1"),
        ({"units": "9" * 400}, "units", "from 1"),
        ({"fill": "-1 kg"}, "fill", "more than 0 kg"),
        ({"fill": "heavy"}, "fill", "kg"),
        ({"step": "0"}, "step", "more than 0"),
        ({"water-step": "0"}, "water-step", "more than 0"),
        ({"gain": "4-1"}, "gain", "lower number stands first"),
        ({"gain": "50"}, "gain", "from 0 to 10"),
        ({"for": "cows"}, "for", "king-oyster"),
        ({"vessel": "tubs"}, "vessel", "bags"),
        ({"price-1": "free"}, "price-1", "0 or more"),
        ({"price-1": "1/0 kg"}, "price-1", "more than 0"),
        ({"nitrogen-1": "much"}, "nitrogen-1", "protein"),
        ({"carbon-1": "59", "ash-1": "50"}, "ash-1", "carbon leaves"),
        ({"weighed-1": "-3"}, "weighed-1", "0 kg or more"),
        ({"water-in": "some"}, "water-in", ""),
        ({"what-3": "other"}, "name-3", "called"),
        ({"what-3": "other", "name-3": "malt"}, "moisture-3", "today's moisture of malt"),
        (
            {"what-3": "other", "name-3": "malt", "moisture-3": "5"},
            "nitrogen-3",
            "No analysis of malt",
        ),
        (
            {"what-3": "other", "name-3": "malt", "moisture-3": "5", "nitrogen-3": "2"},
            "carbon-3",
            "No analysis of malt",
        ),
    ],
)
def test_what_cannot_be_is_said_of_its_field(typed: dict[str, str], field: str, why: str) -> None:
    with pytest.raises(InputError) as refused:
        mix_card({**BLOCKS, **typed})
    assert refused.value.field == field
    assert why in str(refused.value)
