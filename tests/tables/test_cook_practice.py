"""Presets of cooks: the packaged table carries tests/reference/heat/practice.csv faithfully."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest

from pinset.errors import InputError
from pinset.tables.cook_practice import (
    CookKind,
    cook_practice,
    cook_preset,
    cook_presets,
    lethality_rules,
)
from pinset.tables.loader import Quality, Value, table

REFERENCE = Path(__file__).parents[1] / "reference" / "heat" / "practice.csv"
TABLE = table("cook_practice.csv")

CARRIED = {
    "PC01": ("grain-quart-jars", "hold", ""),
    "PC02": ("grain-pint-jars", "hold", ""),
    "PC03": ("sawdust-bags", "hold", ""),
    "PC04": ("pressure-steam", "most_minutes", ""),
    "PC05": ("rule.every-point-15", "f0", ""),
    "PC06": ("sawdust-open-steam", "hold", "stamets-1993"),
    "PC07": ("sawdust-open-steam", "hold", "common-practice"),
    "PC08": ("pressure-steam", "most_bags_deep", ""),
    "PC09": ("agar-bottles", "hold", ""),
    "PC10": ("straw-hot-water", "hold", ""),
    "PC11": ("straw-steam", "hold", ""),
    "PC12": ("straw-lime", "hold", ""),
    "PC13": ("room-post-crop", "hold", ""),
    "PC14": ("room-cook-out", "hold", ""),
    "PC15": ("sawdust-steam-house", "hold", ""),
    "PC16": ("pressure-steam", "vent", ""),
    "PC17": ("rule.moist-heat-8", "f0", ""),
    "PC18": ("rule.botulinum-3", "f0", ""),
    "PC27": ("pressure-steam", "within_5_6_k", ""),
}
NOT_OF_COOKS = {f"PC{number}" for number in range(19, 27)}
"""Sizes, densities and surface coefficients: of vessels and materials, not of cooks."""

with REFERENCE.open(newline="", encoding="utf-8") as _file:
    ROWS = {row["id"]: row for row in csv.DictReader(_file)}


def ends(row: Value) -> list[float]:
    return [row.value] if row.low is None or row.high is None else [row.low, row.high]


def test_every_row_about_cooks_is_carried() -> None:
    assert {*CARRIED, *NOT_OF_COOKS} == set(ROWS)


@pytest.mark.parametrize("name", sorted(CARRIED))
def test_numbers_are_carried_as_they_were_found(name: str) -> None:
    said, row = ROWS[name], TABLE.one(*CARRIED[name])
    assert ends(row) == [float(each) for each in re.findall(r"\d+(?:\.\d+)?", said["expected"])]
    unit = said["unit"].split()[0]
    assert row.unit == ("units" if unit == "bags" else unit)


@pytest.mark.parametrize("name", sorted(CARRIED))
def test_practice_is_flagged_as_practice(name: str) -> None:
    said, row = ROWS[name], TABLE.one(*CARRIED[name])
    if said["source"].startswith("common practice") or "web site" in said["source"]:
        assert row.quality is Quality.COMMON_PRACTICE
    elif said["provenance"] == "memory":
        assert row.quality is Quality.MEMORY
    else:
        assert row.quality is Quality.READ


@pytest.mark.parametrize("name", ["PC10", "PC11", "PC13", "PC14", "PC09", "PC06"])
def test_temperatures_are_those_of_the_row(name: str) -> None:
    temperature = cook_preset(CARRIED[name][0]).temperature
    assert temperature is not None
    found = re.search(r"(?:(\d+)-)?(\d+) degC", ROWS[name]["inputs"])
    assert found
    assert ends(temperature) == [float(each) for each in found.groups() if each]


@pytest.mark.parametrize("name", ["PC01", "PC02", "PC03"])
def test_pressures_are_those_of_the_row(name: str) -> None:
    preset = cook_preset(CARRIED[name][0])
    assert ROWS[name]["inputs"].startswith("15 psi")
    assert preset.gauge_kpa == pytest.approx(103.42, abs=0.01)


def test_what_is_quoted_most_is_taken_first() -> None:
    assert "90 min most often" in ROWS["PC01"]["note"]
    assert cook_preset("grain-quart-jars").hold_minutes == 90.0
    assert "2.5 h most often" in ROWS["PC03"]["note"]
    assert cook_preset("sawdust-bags").hold_minutes == 150.0


@pytest.mark.parametrize("key", sorted(cook_presets()))
def test_a_preset_is_whole_and_says_how_it_is_known(key: str) -> None:
    preset = cook_preset(key)
    low, high = preset.hold_band_minutes
    assert 0.0 < low <= preset.hold_minutes <= high <= 24 * 60.0
    assert "practice" in preset.flag
    assert (preset.gauge is None) or preset.kind is CookKind.PRESSURE_STEAM
    assert preset.is_thermal == (preset.gauge is not None or preset.temperature is not None)
    if preset.kind in {CookKind.OPEN_STEAM, CookKind.HOT_WATER}:
        assert preset.temperature is not None
        assert preset.temperature.value <= 100.0


def test_two_sources_of_one_cook_both_stand() -> None:
    preset = cook_preset("sawdust-open-steam")
    assert preset.hold_minutes == 720.0
    assert preset.hold_band_minutes == (720.0, 1080.0)
    assert preset.flag == "practice, read in Stamets, P. 1993, p. 172"
    assert [row.quality for row in preset.others] == [Quality.COMMON_PRACTICE]


def test_rules_that_a_farm_may_take() -> None:
    rules = lethality_rules()
    assert {key: rule.f0_minutes for key, rule in rules.items()} == {
        "every-point-15": 15.0,
        "moist-heat-8": 8.0,
        "botulinum-3": 3.0,
    }
    assert all(rule.flag for rule in rules.values())
    assert "does not govern substrate" in rules["moist-heat-8"].row.note


def test_lime_is_no_heat() -> None:
    assert not cook_preset("straw-lime").is_thermal


def test_other_values_and_unknown_ones() -> None:
    assert cook_practice("pressure-steam", "vent").value == 10.0
    with pytest.raises(InputError, match="vent"):
        cook_practice("pressure-steam", "colour")
    with pytest.raises(InputError, match="sawdust-bags"):
        cook_preset("dragons")
