"""The cheapest blend in words: what limits cost, what if one runs out, and that nothing fits."""

from __future__ import annotations

from urllib.parse import parse_qsl

import pytest

from pinset.errors import InputError
from pinset.services.mixing.card import mix_card
from pinset.services.mixing.cheap import cheap_blend

OFFERED = {
    "what-1": "hardwood-sawdust",
    "price-1": "0.06",
    "what-2": "wheat-bran",
    "price-2": "0.32",
    "what-3": "gypsum",
    "price-3": "0.40",
    "least-3": "1",
    "what-4": "soybean-hulls",
    "price-4": "0.24",
    "stock-4": "4 kg",
    "nitrogen-least": "0.6",
    "nitrogen-most": "1",
    "supplement-most": "25",
    "units": "40",
    "fill": "3 kg",
    "moisture": "62 %",
}


def test_the_cheapest_with_what_its_limits_cost() -> None:
    found = cheap_blend(OFFERED, currency="EUR")
    assert found.fits
    assert found.nitrogen is not None
    assert found.nitrogen.middle == pytest.approx(0.006, abs=1e-4)
    assert found.costs[0].of == "nitrogen"
    assert found.costs[0].sentence.startswith("At least 0.6 % nitrogen: 0.1 points less would save")
    dearer = cheap_blend({**OFFERED, "nitrogen-least": "0.61"})
    cheaper = cheap_blend(OFFERED)
    # A tenth of the step of 0.1 points is a tenth of what the step would save.
    assert dearer.costing is not None
    assert cheaper.costing is not None
    extra = float(dearer.sentence.split()[0]) - float(cheaper.sentence.split()[0])
    assert extra == pytest.approx(0.1 * found.costs[0].saved, abs=0.011)  # cents


def test_when_one_runs_out() -> None:
    found = cheap_blend(OFFERED, currency="EUR")
    said = {each.name: each.sentence for each in found.runs_out}
    assert said["soybean hulls"].startswith("Without soybean hulls: EUR 0.05 more, with ")
    assert "the most is" in said["wheat bran"]
    assert said["gypsum"].startswith("Without gypsum: EUR 0.14 less")
    assert "No mix of these" in said["hardwood sawdust"]  # gypsum never fills it up


def test_nothing_fits_in_plain_words() -> None:
    bran = {
        key: text for key, text in OFFERED.items() if key.endswith(("-1", "-2", "units", "fill"))
    }
    none = cheap_blend({**bran, "nitrogen-least": "1.2", "supplement-most": "15"})
    assert not none.fits
    # 0.85 x 0.11 + 0.15 x 2.75 is 0.506 % at the most; (1.2 - 0.11) / (2.75 - 0.11) is 41.3 %.
    assert none.sentence == (
        "No mix of these reaches 1.2 % nitrogen under 15 % supplement: the most is 0.51 %. "
        "Or with the rest kept: up to 41.3 % supplement."
    )


def test_two_limits_that_stand_in_the_way_together() -> None:
    # Nitrogen under so little supplement, and ash under what 1 % of gypsum brings.
    both = {"supplement-most": "5", "nitrogen-least": "2", "nitrogen-most": "", "ash-most": "0.1"}
    assert "loosen two" in cheap_blend({**OFFERED, **both}).sentence


def test_it_is_taken_over_as_a_card() -> None:
    found = cheap_blend(OFFERED)
    card = mix_card(dict(parse_qsl(found.as_mix)))
    assert found.nitrogen is not None
    assert card.nitrogen.middle == pytest.approx(found.nitrogen.middle, rel=1e-3)
    assert card.costing is not None
    assert found.costing is not None
    assert card.costing.total == pytest.approx(found.costing.total, rel=0.01)


def test_in_pounds() -> None:
    us = cheap_blend({**OFFERED, "fill": "6", "stock-4": "8"}, "us", "USD")
    assert "lb" in us.weigh
    stock = next(each for each in us.costs if each.of == "stock")
    assert "1 lb more" in stock.sentence


@pytest.mark.parametrize(
    ("typed", "field", "why"),
    [
        ({"price-1": ""}, "price-1", "what hardwood sawdust costs, 0 if nothing"),
        ({"least-2": "30", "most-2": "20"}, "most-2", "30 % or more"),
        ({"nitrogen-most": "0.4"}, "nitrogen-most", "0.6 or more"),
        ({"nitrogen-least": "60"}, "nitrogen-least", "from 0 to 50"),
        ({"ratio-most": "low"}, "ratio-most", "C:N"),
        ({"stock-4": "-4"}, "stock-4", "0 kg or more"),
        ({"moisture-1": "105 %"}, "moisture-1", "below 100 %"),
    ],
)
def test_what_is_refused(typed: dict[str, str], field: str, why: str) -> None:
    with pytest.raises(InputError) as refused:
        cheap_blend({**OFFERED, **typed})
    assert refused.value.field == field
    assert why in str(refused.value)
