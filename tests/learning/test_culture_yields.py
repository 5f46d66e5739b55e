"""Yields by culture: drawn together, the better first, and nothing where nothing compares."""

from __future__ import annotations

from dataclasses import replace

import pytest

from learning.farm_of_lots import FRUITING, TODAY, bearing_farm
from pinset.chain.spells import Spell
from pinset.learning.culture_yields import culture_yields


def of_culture(name: str, lots: list[Spell], times: float = 1.0) -> list[Spell]:
    return [
        replace(
            lot,
            lot=f"{name}{lot.lot}",
            culture=name,
            flushes=tuple(
                replace(each, grams_per_unit=each.grams_per_unit * times) for each in lot.flushes
            ),
        )
        for lot in lots
    ]


def test_a_culture_that_yields_a_third_less_stands_last_and_few_lots_are_drawn() -> None:
    lots = [
        *of_culture("a", bearing_farm(30, 3)),
        *of_culture("b", bearing_farm(30, 4)),
        *of_culture("tired", bearing_farm(30, 5), 0.67),
        *of_culture("young", bearing_farm(2, 6), 1.3),
    ]
    found = culture_yields("grey", FRUITING, lots, TODAY)
    assert found is not None
    assert [each.culture for each in found.cultures][-1] == "tired"
    by = {each.culture: each for each in found.cultures}
    assert by["tired"].high < min(by["a"].low, by["b"].low)
    assert by["tired"].own / by["a"].own == pytest.approx(0.67, abs=0.1)
    young, old = by["young"], by["a"]
    assert young.lots == 2
    assert abs(young.drawn - young.own) > abs(old.drawn - old.own)
    assert young.high / young.low > old.high / old.low
    assert 0.0 < found.differ < 1.0


@pytest.mark.parametrize(
    "lots",
    [
        [],
        of_culture("a", bearing_farm(9, 3)),  # nothing to compare with
        of_culture("", bearing_farm(9, 3)),  # of unknown cultures
        [*of_culture("a", bearing_farm(1, 3)), *of_culture("b", bearing_farm(1, 4))],
    ],
)
def test_where_there_is_nothing_to_compare(lots: list[Spell]) -> None:
    assert culture_yields("grey", FRUITING, lots, TODAY) is None
