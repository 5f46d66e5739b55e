"""A core quicker than its cook's loads can be is in doubt; they may explain a guessed one."""

from __future__ import annotations

import secrets
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from django.test import Client

from pinset.files.logger.records import ColumnRole
from pinset.science.heating.heating import Cylinder, Material, core_curve, modes_of
from pinset.science.heating.loads import Filling
from pinset.services.cooks.judge.judged import JudgedCook
from pinset.services.cooks.judge.judging import judge_file
from pinset.services.cooks.judge.keeping import judge_for, keep_verdict
from pinset.services.cooks.judge.pace import _told
from pinset.services.cooks.loads import Heat, LoadPlan
from pinset.services.cooks.usual import usual_loads
from web.cooked import COOK, cooked
from web.shed import Shed
from web.test_heat_learn import CHAMBER, MINUTES, OTHER, keep, log_of

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def folder(settings: object, tmp_path: Path) -> None:
    settings.FARM_FOLDER = str(tmp_path)  # type: ignore[attr-defined]


def log(radius: float, heads: str = "min,chamber [°C],core [°C]") -> bytes:
    """A core in the middle of a thinner cylinder of wet grain, as a probe too shallow reads."""
    body = modes_of(Cylinder(radius, 3.0 * radius), Material(0.5, 2.4e6, 150.0))
    core = core_curve(body, 60.0 * MINUTES, CHAMBER, 20.0)
    rows = zip(MINUTES, CHAMBER, core, strict=True)
    return "\n".join([heads, *(f"{m:.0f},{a:.2f},{b:.2f}" for m, a, b in rows)]).encode()


def verdict(cook: str, data: bytes, **said: str) -> JudgedCook:
    changes = {key.replace("_", "."): value for key, value in said.items()}
    return judge_for(cook, data, "kettle.csv", "f0=15", changes)[0]


def test_what_no_jar_can_be_is_in_doubt_until_somebody_says_so(shed: Shed) -> None:
    cooked(shed.day, COOK)
    assert verdict(COOK, log(0.05)).verdict == "pass"
    found = verdict(COOK, log(0.015))
    assert found.verdict == "unjudged", found.sentence
    assert "would have to conduct" in found.sentence
    assert found.findings[0].id == "cook.too-quick"
    assert found.findings[0].say == ("column.3.role=core",)
    said = verdict(COOK, log(0.015), column_3_role="core")
    assert said.verdict == "pass"
    assert "is what somebody said, although it comes" in said.sentence


def test_twice_as_quick_as_what_was_learnt_is_in_doubt(worker: Client, shed: Shed) -> None:
    cooked(shed.day, COOK)
    judged = verdict(COOK, log_of(0.12))
    keep_verdict(secrets.token_hex(16), "ada", COOK, judged, log_of(0.12), "kettle.csv")
    usual = next(each.typed for each in usual_loads() if each.cook_kind == "grain")
    assert keep(worker, mass=usual["mass"], moisture=usual["moisture"]).status_code == 200
    cooked(shed.day, OTHER)
    assert verdict(OTHER, log_of(0.12, seed=2)).verdict == "pass"
    found = verdict(OTHER, log(0.026))
    assert found.verdict == "unjudged", found.sentence
    assert f"min by the log of cook {COOK}" in found.sentence


def test_a_guessed_core_passes_by_the_load_that_explains_it_and_says_so(shed: Shed) -> None:
    cooked(shed.day, COOK)
    unnamed = "min,T1 [°C],T2 [°C]"
    found = verdict(COOK, log(0.05, unnamed))
    assert found.verdict == "pass", found.sentence
    assert "is a guess, since it comes as late as a unit of" in found.sentence
    assert verdict(COOK, log(0.015, unnamed)).verdict == "unjudged"


def test_water_in_a_jar_is_explained_by_a_liquid_only(shed: Shed) -> None:
    cooked(shed.day, COOK)
    assert verdict(COOK, log(0.05, "min,chamber [°C],Water in jar [°C]")).verdict == "unjudged"
    said = judge_file(log(0.05, "min,chamber [°C],Water in jar [°C]"), "jar.csv")[1]
    [core], [chamber] = said.of_role(ColumnRole.CORE), said.of_role(ColumnRole.CHAMBER)
    broth = LoadPlan(
        Heat.OPEN_STEAM, Filling.AGAR, mass_kg=0.9, moisture=0.98, diameter_cm=10.0, height_cm=12.0
    )
    grain = replace(broth, filling=Filling.GRAIN, mass_kg=0.7, moisture=0.5)
    told = _told(said, core, chamber, [(broth, None)])
    assert told is not None
    assert told.explains
    of_grain = _told(said, core, chamber, [(grain, None)])
    assert of_grain is not None
    assert not of_grain.explains
    unnamed = _told(said, replace(core, name="T2"), chamber, [(grain, None)])
    assert unnamed is not None
    assert unnamed.explains


def test_no_load_explains_a_heading_of_a_place(shed: Shed) -> None:
    cooked(shed.day, COOK)
    for head in ("middle shelf", "center floor", "load end"):
        found = verdict(COOK, log(0.05, f"min,chamber [°C],{head} [°C]"))
        assert found.verdict == "unjudged", found.sentence
        assert (
            verdict(COOK, log(0.05, f"min,chamber [°C],{head} [°C]"), column_3_role="core").verdict
            == "pass"
        )


def test_in_a_chamber_hot_when_first_read_the_pace_is_told_or_said_not_to_be(shed: Shed) -> None:
    cooked(shed.day, COOK)

    def read_hot(tau_min: float, start_c: float) -> JudgedCook:
        core = 121.2 - (121.2 - start_c) * np.exp(-MINUTES / tau_min)
        rows = [
            f"{m:.0f},{121.2 + 0.1 * (m % 3):.2f},{b:.2f}"
            for m, b in zip(MINUTES, core, strict=True)
        ]
        return verdict(COOK, "\n".join(["min,chamber [°C],core [°C]", *rows]).encode())

    quick = read_hot(4.0, 40.0)
    assert quick.verdict == "unjudged", quick.sentence
    assert quick.findings[0].id == "cook.too-quick"
    assert "cook.pace-untold" not in {each.id for each in read_hot(40.0, 40.0).findings}
    [untold] = [each for each in read_hot(40.0, 100.0).findings if each.id == "cook.pace-untold"]
    assert "121 °C already when it was first read" in untold.sentence
