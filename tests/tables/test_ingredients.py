"""The ingredients make sense within their groups, and say how they are known."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from pinset.errors import InputError
from pinset.tables.ingredients import (
    Group,
    Published,
    ingredient,
    ingredients,
    known_from,
    mix_value,
)
from pinset.tables.loader import Quality, sources, table

PLANTS = [each for each in ingredients().values() if each.group is not Group.MINERAL]


def test_every_row_belongs_to_a_named_ingredient_or_is_about_mixes() -> None:
    others = {
        row.key
        for row in table("ingredients.csv").rows
        if row.name.startswith("aim_") or row.name == "moisture_gain"
    }
    assert {row.key for row in table("ingredients.csv").rows} == {*ingredients(), *others}


@pytest.mark.parametrize("plant", PLANTS, ids=lambda each: each.key)
def test_carbon_is_that_of_plant_matter_by_mass_balance(plant: Published) -> None:
    # Carbon of plants is 35 to 58 % of dry mass; a table that says otherwise mixed up its samples.
    assert 0.35 <= plant.carbon.value <= 0.58
    assert plant.carbon.value + plant.ash.value <= 1.0


def test_nitrogen_is_a_range_wherever_something_grew() -> None:
    for each in PLANTS:
        if each.key != "sugar":
            assert each.nitrogen.low is not None
            assert each.nitrogen.low < each.nitrogen.high


def test_groups_are_told_apart_by_their_nitrogen() -> None:
    of = {group: [e.nitrogen.value for e in PLANTS if e.group is group] for group in Group}
    dry_bases = [
        e.nitrogen.value for e in PLANTS if e.group is Group.BASE and e.key != "coffee-grounds"
    ]
    assert max(dry_bases) < 0.01 < min(of[Group.GRAIN])
    assert min(of[Group.SUPPLEMENT]) > 0.015


def test_straw_is_never_as_heavy_as_a_slip_of_units_makes_it() -> None:
    # A public table prints pounds per cubic yard as kg/m3: 58 to 357.
    for key in ("wheat-straw", "oat-straw", "rice-straw"):
        assert ingredient(key).bulk.value < 200


def test_nothing_is_called_read_that_was_remembered() -> None:
    for row in table("ingredients.csv").rows:
        if row.quality is Quality.READ:
            assert sources()[row.source].is_publication
            assert sources()[row.source].seen != "from memory"
    assert ingredient("wheat-bran").nitrogen.quality is Quality.MEMORY
    assert "from memory" in known_from(ingredient("wheat-bran").nitrogen)
    assert known_from(mix_value("wood-lovers", "aim_nitrogen")).startswith("Common practice")


def test_sugar_by_its_formula() -> None:
    # C12H22O11; atomic masses of IUPAC 2021, abridged: C 12.011, H 1.008, O 15.999.
    mass = 12 * 12.011 + 22 * 1.008 + 11 * 15.999
    assert ingredient("sugar").carbon.value == pytest.approx(12 * 12.011 / mass, abs=5e-4)


def test_an_ingredient_nobody_knows() -> None:
    with pytest.raises(InputError, match="hardwood-sawdust"):
        ingredient("moon-dust")


def test_the_names_are_each_once() -> None:
    path = Path(__file__).parents[2] / "src" / "pinset" / "tables" / "ingredient_names.csv"
    names = [row["name"] for row in csv.DictReader(path.read_text().splitlines())]
    assert len(names) == len(set(names))
