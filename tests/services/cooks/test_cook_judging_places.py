"""A probe beside the units by its heading is judged as none of their cores."""

from __future__ import annotations

import numpy as np
import pytest

from pinset.science.judging.records import Rule
from pinset.services.cooks.judge.judged import JudgedCook
from services.cooks.test_cook_judging_doubts import CHAMBER, CORE, SECONDS, file, judged

MINUTES = SECONDS / 60.0


def of(head: str, chamber: str = "chamber C", **said: str) -> JudgedCook:
    return judged(file(MINUTES, [CORE, CHAMBER], f"min,{head},{chamber}"), **said)


@pytest.mark.parametrize(
    "head",
    ["Between jars C", "Between bags C", "Bag surface C", "Air in bag C", "Jar lid outside C",
     "Above bags", "zw. Beuteln [°C]", "Beuteloberfläche", "next to bag 2 C", "jar wall C"],
)  # fmt: skip
def test_a_heading_beside_the_units_passes_nothing_until_somebody_says_otherwise(head: str) -> None:
    assert of("Bag 2 C").verdict == "pass"
    found = of(head)
    assert found.verdict == "unjudged", found.sentence
    assert [each.role for each in found.probes] == ["other", "chamber"]
    assert f"{head} stood beside the units" in found.sentence
    assert "say that its column is a core" in found.sentence
    [finding] = [each for each in found.findings if each.id == "log.beside-the-units"]
    assert "column.2.role=core" in finding.say
    said = of(head, column_2_role="core")
    assert said.verdict == "pass"
    assert "is what somebody said" in said.sentence
    assert "log.beside-the-units" not in {each.id for each in said.findings}


@pytest.mark.parametrize("head", ["Outer bag", "Bag 2 not shaken", "Bag with collar", "Jar 2 lid"])
def test_a_unit_slower_than_a_core_is_not_left_out_by_its_heading(head: str) -> None:
    late = np.interp(MINUTES - 25.0, MINUTES, CORE)
    found = judged(file(MINUTES, [CORE, late, CHAMBER], f"min,Bag 1 C,{head} C,chamber C"))
    assert found.verdict != "pass", found.sentence
    assert [each.role for each in found.probes].count("core") == 2
    said = judged(
        file(MINUTES, [CORE, late, CHAMBER], f"min,Bag 1 C,{head} C,chamber C"),
        column_3_role="other",
    )
    assert said.verdict == "pass"


def test_where_nothing_else_was_read_the_sentence_names_the_probe() -> None:
    found = judged(file(MINUTES, [CORE, CORE], "min,Bag surface C,setpoint"), column_2_role="other")
    assert "The chamber earned" not in found.sentence


def test_beside_a_core_that_was_read_it_changes_nothing() -> None:
    data = file(MINUTES, [CORE, CHAMBER, CHAMBER], "min,Bag core C,Between bags C,Chamber C")
    found = judged(data)
    assert found.verdict == "pass"
    assert "beside the units" not in found.sentence


def test_water_in_a_jar_is_asked_about() -> None:
    found = of("Water in jar C")
    assert found.verdict == "unjudged"
    assert "Water in jar C" in found.sentence
    assert of("Water in jar C", column_2_role="core").verdict == "pass"


@pytest.mark.parametrize("head", ["Water C", "Hot water C", "Wasser [°C]", "Water bath C"])
def test_water_round_the_units_is_the_chamber(head: str) -> None:
    hold = Rule(hold_c=65.0, hold_minutes=60.0)
    core, water = (20.0 + 0.6 * (each - 20.0) for each in (CORE, CHAMBER))
    data = file(MINUTES, [core, water], f"min,Straw middle C,{head}")
    found = judged(data, hold)
    assert [each.role for each in found.probes] == ["core", "chamber"]
    assert found.verdict == "pass"
    assert "cook.no-chamber" not in {each.id for each in found.findings}


def test_water_beside_a_chamber_is_no_core() -> None:
    data = file(MINUTES, [CORE, CHAMBER], "min,Water C,Chamber C")
    assert [each.role for each in judged(data).probes] == ["other", "chamber"]


def test_a_middle_among_shelves_is_asked_about() -> None:
    data = file(MINUTES, [CORE, CHAMBER, CHAMBER], "min,Middle C,Top C,Bottom C")
    assert judged(data).verdict == "unjudged"
    assert of("Middle C").verdict == "pass"


@pytest.mark.parametrize("head", ["Luft Mitte", "center air", "Wasser Mitte [°C]"])
def test_air_or_water_in_the_middle_is_no_core(head: str) -> None:
    found = of(head)
    assert found.verdict == "unjudged"
    assert [each.role for each in found.probes] == ["other", "chamber"]


@pytest.mark.parametrize(
    "head", ["middle shelf", "center floor", "oven center", "Tür Mitte", "load end", "jar glass",
             "bag corner"]
)  # fmt: skip
def test_what_may_be_a_place_of_the_chamber_is_asked_about(head: str) -> None:
    found = of(head)
    assert found.verdict == "unjudged"
    assert "does not say where these probes stood" in found.sentence
    assert of(head, column_2_role="core").verdict == "pass"


@pytest.mark.parametrize("head", ["Logger unit", "Unit temp", "unit internal", "Logger temp"])
def test_the_loggers_own_temperature_fails_no_cook(head: str) -> None:
    room = np.full_like(CORE, 22.0)
    found = judged(file(MINUTES, [CORE, CHAMBER, room], f"min,Bag 2 C,Chamber C,{head}"))
    assert found.verdict == "pass", found.sentence
    assert [each.role for each in found.probes] == ["core", "chamber", "other"]
    [finding] = [each for each in found.findings if each.id == "log.of-the-logger"]
    assert "column.4.role=core" in finding.say
    assert "may be of the logger itself" in of(head).sentence


def test_a_probe_that_stays_cold_is_asked_about_in_words() -> None:
    room = np.full_like(CORE, 22.0)
    found = judged(file(MINUTES, [CORE, CHAMBER, room], "min,Bag 2 C,Chamber C,T3"))
    assert found.verdict == "unjudged"
    assert "T3 never comes half of the way up" in found.sentence
    assert "inf" not in found.sentence
