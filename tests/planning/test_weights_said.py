"""Weights in the plan's reasons: in the unit the farm thinks in, no finer than it weighs."""

from __future__ import annotations

from datetime import date

import pytest

from pinset.planning.problem import Order, Problem
from pinset.planning.reading.explain import weight_in_words, why
from pinset.planning.reading.pegging import Service
from pinset.planning.recipes import Recipe

GREY = Recipe("grey", "Grey oyster", 30, ())


@pytest.mark.parametrize(
    ("grams", "system", "said"),
    [
        (35_200.0, "metric", "35 kg"),
        (2400.0, "metric", "2.4 kg"),
        (996.0, "metric", "1 kg"),
        (350.0, "metric", "350 g"),
        (0.1, "metric", "1 g"),
        (18_144.0, "us", "40 lb"),
        (8000.0, "us", "18 lb"),
        (2400.0, "us", "5.3 lb"),
        (453.6, "us", "1 lb"),
        (340.0, "us", "12 oz"),
        (0.1, "us", "1 oz"),
    ],
)
def test_a_weight_is_said_in_the_farms_own_unit(grams: float, system: str, said: str) -> None:
    assert weight_in_words(grams, system) == said


@pytest.mark.parametrize(("units", "said"), [("metric", "8 kg"), ("us", "18 lb")])
def test_a_reason_says_what_it_feeds_in_the_farms_own_unit(units: str, said: str) -> None:
    problem = Problem(
        start=date(2026, 3, 9),
        days=30,
        whole_days=7,
        recipes=(GREY,),
        orders=(Order("coop-grey", "River Co-op", "grey", 8, 8000.0),),
        units=units,
    )
    service = Service(feeds={(0, "picked", 8, 8): 8000.0})
    sentence = f"Feeds {said} Grey oyster for River Co-op on 17 March."
    assert why(problem, GREY, service, None) == sentence
