"""Weights in the farm's own choice of units."""

from __future__ import annotations

import pytest

from pinset.chain.register import Promise, Weekday
from pinset.services.words import amount, average, kilograms, promise_in_words


@pytest.mark.parametrize(
    ("grams", "metric", "us"),
    [
        # pounds: 0.45359237 kg, ounces: a sixteenth of it (yard and pound agreement of 1959)
        (4500, "4.5 kg", "9.92 lb"),
        (35000, "35 kg", "77.16 lb"),
        (200, "0.2 kg", "7.1 oz"),
        (40, "40 g", "1.4 oz"),  # 40 / 28.349523 = 1.411
        (0, "0 kg", "0 oz"),
    ],
)
def test_kilograms_or_pounds(grams: int, metric: str, us: str) -> None:
    assert kilograms(grams) == metric
    assert kilograms(grams, "us") == us
    assert amount(grams, "gram", system="us") == us


def test_units_are_units_everywhere() -> None:
    assert amount(12, "unit", system="us") == "12 units"


def test_an_average_of_few_units_has_a_tenth() -> None:
    said = [average(value, "unit") for value in (0.0, 0.42, 1.0, 4.96, 12.3)]
    assert said == ["0 units", "0.4 units", "1 unit", "5 units", "12 units"]
    assert average(1900.0, "gram") == "1.9 kg"


def test_a_promise_in_pounds() -> None:
    promise = Promise("p", "market", "grey", 35000, weekday=Weekday.WED)
    said = promise_in_words(promise, "grey oyster", "the market", "us")
    assert said == "77.16 lb grey oyster for the market, every Wednesday"
