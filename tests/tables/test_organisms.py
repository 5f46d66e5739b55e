"""Organisms: the packaged table carries tests/reference/heat/organisms.csv faithfully."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import numpy as np
import pytest

from pinset.errors import InputError
from pinset.tables.loader import Quality, Value, sources, table
from pinset.tables.organisms import (
    Organism,
    Outcome,
    Treatment,
    endurances,
    organism,
    organisms,
)

REFERENCE = Path(__file__).parents[1] / "reference" / "heat" / "organisms.csv"
TABLE = table("organisms.csv")

STEARO = "geobacillus-stearothermophilus"
CARRIED = {
    "OR01": [(f"{STEARO}.121-c", "d")],
    "OR02": [(STEARO, "z")],
    "OR03": [("bacillus-subtilis-168.98-c", "d")],
    "OR04": [("bacillus-subtilis-168.105-c", "d")],
    "OR05": [("bacillus-subtilis-168.111-c", "d")],
    "OR06": [("bacillus-subtilis-a163.115-c", "d")],
    "OR07": [("bacillus-subtilis-a163.120-c", "d")],
    "OR08": [("bacillus-sporothermodurans-ic4.121-c", "d")],
    "OR09": [("bacillus-sporothermodurans-ic4.126-c", "d")],
    "OR10": [("bacillus-sporothermodurans-ic4.131-c", "d")],
    "OR11": [("bacillus-cereus.120-c", "log10_d"), ("bacillus-cereus", "z")],
    "OR12": [("bacillus-cereus-resistant.120-c", "log10_d"), ("bacillus-cereus-resistant", "z")],
    "OR13": [("clostridium-botulinum.120-c", "log10_d"), ("clostridium-botulinum", "z")],
    "OR14": [("clostridium-perfringens.120-c", "log10_d"), ("clostridium-perfringens", "z")],
    "OR15": [("listeria-monocytogenes.70-c", "log10_d"), ("listeria-monocytogenes", "z")],
    "OR16": [("salmonella.70-c", "log10_d"), ("salmonella", "z")],
    "OR17": [("escherichia-coli.70-c", "log10_d"), ("escherichia-coli", "z")],
    "OR18": [("bacillus-cereus-atcc-4342", "z")],
    "OR19": [("bacillus-cereus-atcc-7004", "z")],
    "OR20": [("bacillus-cereus-atcc-9818", "z")],
    "OR21": [("aspergillus-flavus.45-c", "d")],
    "OR22": [("aspergillus-flavus.50-c", "d")],
    "OR23": [("aspergillus-flavus.55-c", "d")],
    "OR24": [("aspergillus-flavus.60-c", "d")],
    "OR25": [("penicillium-roqueforti.55-c-aw-0.99", "d")],
    "OR26": [("penicillium-roqueforti.55-c-aw-0.88", "d")],
    "OR27": [("eurotium-chevalieri.82-c", "f"), ("eurotium-chevalieri", "z")],
    "OR28": [("neosartorya-fischeri.80-c-apple", "d")],
    "OR29": [("neosartorya-fischeri.80-c-grape", "d")],
    "OR30": [("neosartorya-fischeri.80-c-phosphate", "d")],
    "OR31": [("heat-resistant-moulds.85-c", "d")],
    "OR36": [("sawdust-bacteria.103-c", "d"), ("sawdust-yeasts.103-c", "d")],
    "OR37": [("sawdust-bacteria.101-c", "d"), ("sawdust-yeasts.101-c", "d")],
    "OR38": [("sawdust-bacteria.99.4-c", "d"), ("sawdust-yeasts.99.4-c", "d")],
}
"""Rows of numbers by their reference."""

SAID = {
    "OR32": ["survive 60 min at 60", "not 10 min at 70 degC"],
    "OR33": ["survive 60 min at 70", "not 10 min at 80 degC"],
    "OR34": ["survive 60 min at 80", "not 10 min at 90 degC"],
    "OR35": ["survive >= 10 min at 90 degC"],
    "OR39": ["6 h at 60 degC taken as adequate", "after 20 h at 60 degC"],
    "OR40": ["survive"],
}
"""Rows of words, each with what it says."""

ENDURED = {
    "OR32": [("soil-fungi-60.60-c", "survives"), ("soil-fungi-60.70-c", "does_not_survive")],
    "OR33": [("soil-fungi-70.70-c", "survives"), ("soil-fungi-70.80-c", "does_not_survive")],
    "OR34": [("soil-fungi-80.80-c", "survives"), ("soil-fungi-80.90-c", "does_not_survive")],
    "OR35": [("soil-fungi-90.90-c", "survives")],
    "OR39": [("trichoderma.60-c", "taken_as_enough"), ("trichoderma.60-c", "survives")],
    "OR40": [("neurospora.60-c", "survives")],
}


def reference() -> dict[str, dict[str, str]]:
    with REFERENCE.open(newline="", encoding="utf-8") as file:
        return {row["id"]: row for row in csv.DictReader(file)}


ROWS = reference()


def ends(row: Value) -> list[float]:
    return [row.value] if row.low is None or row.high is None else [row.low, row.high]


def numbers(text: str) -> list[float]:
    """Return numbers of ``1-2``, ``14 to >161`` or ``-1.38``: a dash after a digit is no sign."""
    return [float(each) for each in re.findall(r"(?<!\d)-?\d+(?:\.\d+)?", text)]


def of_the_same_source(row: Value, said: dict[str, str]) -> bool:
    if said["provenance"] == "memory":
        return row.quality is Quality.MEMORY
    source = sources()[row.source]
    first = re.split(r"[ ,]", source.authors.removeprefix("van "))[0]
    return row.quality is Quality.READ and (
        first in said["source"] or source.title in said["source"]
    )


@pytest.mark.parametrize("name", sorted(CARRIED))
def test_numbers_are_carried_as_they_were_found(name: str) -> None:
    said = ROWS[name]
    rows = [TABLE.one(*each) for each in CARRIED[name]]
    found = [end for row in rows for end in ends(row)]
    if name == "OR02":
        assert found == numbers(said["note"])
        found = [row.value for row in rows]
    assert found == numbers(said["expected"])
    units = said["unit"].split("; ")
    assert [row.unit for row in rows] == (units if len(units) == len(rows) else units * len(rows))
    assert all(of_the_same_source(row, said) for row in rows)


@pytest.mark.parametrize("name", sorted(CARRIED))
def test_the_temperature_stands_beside_a_d(name: str) -> None:
    for key, what in CARRIED[name]:
        if what != "z":
            celsius = TABLE.one(key, "temperature_c").value
            assert re.search(rf"(?<![\d.]){celsius:g} degC", ROWS[name]["inputs"])


@pytest.mark.parametrize("name", sorted(ENDURED))
def test_what_outlives_a_treatment_is_carried(name: str) -> None:
    found = {(each.row.key, each.row.name): each for each in endurances()}
    for each, said in zip(ENDURED[name], SAID[name], strict=True):
        endured = found[each]
        text = ROWS[name]["expected"]
        assert said in text
        place = said if numbers(said) else ROWS[name]["inputs"]
        amount, celsius = numbers(place)
        assert endured.temperature_c == celsius
        assert endured.minutes == amount * (60.0 if " h at" in place else 1.0)
        assert endured.outcome is Outcome(each[1])
        assert of_the_same_source(endured.row, ROWS[name])


def test_no_row_is_left_out_and_none_is_added_but_what_notes_say() -> None:
    assert {*CARRIED, *ENDURED} == set(ROWS)
    carried = {each for listed in (CARRIED, ENDURED) for rows in listed.values() for each in rows}
    noted = {("sawdust-bacteria", "z"): 13.3, ("sawdust-yeasts", "z"): 10.2}
    for row in TABLE.rows:
        each = (row.key, row.name)
        if row.name == "temperature_c" or each in carried:
            continue
        if each in noted:
            assert f"{noted[each]:g}" in ROWS["OR36"]["note"]
            assert row.value == noted[each]
        elif each == ("heat-resistant-moulds", "z"):
            assert "most z between 3 and 10 K" in ROWS["OR31"]["note"]
            assert ends(row) == [3.0, 10.0]
        else:
            assert row.name == "z"
            assert row.quality is Quality.COMPUTED


@pytest.mark.parametrize(
    "key", ["bacillus-subtilis-168", "bacillus-subtilis-a163", "bacillus-sporothermodurans-ic4"]
)
def test_a_computed_z_is_the_slope_of_its_d(key: str) -> None:
    points = [row for row in TABLE.rows if row.key.startswith(f"{key}.") and row.name == "d"]
    celsius = [TABLE.one(row.key, "temperature_c").value for row in points]
    slope = np.polyfit(celsius, np.log10([row.value for row in points]), 1)[0]
    assert TABLE.one(key, "z").value == pytest.approx(-1.0 / slope, abs=0.05)


def test_z_of_conidia_spans_what_their_d_imply() -> None:
    low, high = ends(TABLE.one("aspergillus-flavus", "z"))
    assert "z of about 3.5-5 K" in ROWS["OR24"]["note"]
    assert (low, high) == (3.5, 5.0)


@pytest.mark.parametrize("each", organisms().values(), ids=lambda each: each.key)
def test_an_organism_is_whole_and_sensible(each: Organism) -> None:
    assert 0.0 < each.d_minutes_low <= each.d_minutes == each.d_minutes_high
    if each.z is not None:
        assert each.z_low is not None
        assert each.z_high is not None
        assert 3.0 <= each.z_low <= each.z <= each.z_high <= 17.0
    assert each.quality in {row.quality for row in each.rows}
    assert each.is_target_of_sterilising == (each.temperature_c >= 95.0)
    if each.form == "spores":
        assert each.treatment is Treatment.STERILISING
    assert 50.0 < each.temperature_c < 135.0


def test_the_quality_is_that_of_the_less_sure_number() -> None:
    assert organism(STEARO).quality is Quality.MEMORY  # D read, z remembered
    assert organism("bacillus-subtilis-168").quality is Quality.COMPUTED  # z is our slope
    assert organism("bacillus-cereus").quality is Quality.READ


def test_figures_of_the_reference_notes() -> None:
    assert organism("bacillus-cereus").d_minutes == pytest.approx(0.0417, rel=1e-3)
    assert organism("bacillus-cereus-resistant").d_minutes == pytest.approx(3.39, rel=1e-3)
    flavus = organism("aspergillus-flavus")
    assert (60.0 * flavus.d_minutes_low, 60.0 * flavus.d_minutes) == pytest.approx((8.0, 59.0))


def test_where_no_z_is_published_the_owner_has_to_give_it() -> None:
    without = {each.key for each in organisms().values() if each.z is None}
    assert without == {"penicillium-roqueforti", "neosartorya-fischeri"}


def test_trichoderma_and_neurospora_have_no_d() -> None:
    assert not {"trichoderma", "neurospora"} & set(organisms())
    assert {"trichoderma", "neurospora"} <= {each.key for each in endurances()}


def test_an_unknown_organism_names_those_there_are() -> None:
    with pytest.raises(InputError, match=STEARO):
        organism("dragons")
