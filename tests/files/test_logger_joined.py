"""Two loggers or two units in one file: what is left out of it passes nothing, a copy may."""

from __future__ import annotations

from datetime import datetime, timedelta

import numpy as np
import pytest
from numpy import float64
from numpy.typing import NDArray

from pinset.science.heating.heating import Cylinder, Material, core_curve, modes_of
from pinset.science.judging.records import Rule
from pinset.services.cooks.judge.judged import JudgedCook
from pinset.services.cooks.judge.judging import judge_file

Values = NDArray[float64]

SECONDS = np.linspace(0.0, 18_000.0, 301)
SIZE = Cylinder(0.075, 0.2)
CHAMBER = np.interp(
    SECONDS / 60.0, [0.0, 35.0, 215.0, 275.0, 300.0], [19.0, 121.5, 121.5, 40.0, 32.0]
)
QUICK, SLOW = (
    core_curve(modes_of(SIZE, Material(k, 2.0e6, 100.0)), SECONDS, CHAMBER, 19.0)
    for k in (0.6, 0.42)
)
BEGAN = datetime(2026, 3, 2, 10, 30)  # noqa: DTZ001  (a logger's own clock)
HEAD = "time,chamber °C,core °C\n"


def rows(core: Values, form: str = "%Y-%m-%d %H:%M:%S", late_s: float = 0.0) -> list[str]:
    return [
        f"{BEGAN + timedelta(seconds=float(t) + late_s):{form}},{hot:.1f},{inside:.1f}\n"
        for t, hot, inside in zip(SECONDS, CHAMBER, core, strict=True)
    ]


def judged(text: str, **said: str) -> JudgedCook:
    return judge_file(text.encode(), "cook.csv", Rule(f0=15.0), changes=said)[0]


def by_turns(one: list[str], other: list[str]) -> str:
    return HEAD + "".join(a + b for a, b in zip(one, other, strict=True))


def test_each_by_itself() -> None:
    assert judged(HEAD + "".join(rows(QUICK))).verdict == "pass"
    assert judged(HEAD + "".join(rows(SLOW))).verdict == "fail"


@pytest.mark.parametrize("again", ["", HEAD])
@pytest.mark.parametrize(("first", "second"), [(QUICK, SLOW), (SLOW, QUICK)])
def test_one_after_the_other_passes_and_fails_nothing(
    first: Values, second: Values, again: str
) -> None:
    found = judged(HEAD + "".join(rows(first)) + again + "".join(rows(second)))
    assert found.verdict == "unjudged", found.sentence
    assert "Two logs stand in this file" in found.sentence
    assert "log.joined" in {each.id for each in found.findings}


@pytest.mark.parametrize("form", ["%Y-%m-%d %H:%M:%S", "%Y-%m-%d %H:%M"])
@pytest.mark.parametrize("late_s", [0.0, -5.0, 25.0])
def test_by_turns_passes_and_fails_nothing(form: str, late_s: float) -> None:
    found = judged(by_turns(rows(QUICK, form), rows(SLOW, form, late_s)))
    assert found.verdict == "unjudged", found.sentence


def test_by_turns_is_no_core_whatever_somebody_says() -> None:
    text = by_turns(rows(QUICK), rows(SLOW, late_s=20.0))
    found = judged(text, **{"column.3.role": "core"})
    assert found.verdict == "unjudged"
    assert "to and fro" in found.sentence


@pytest.mark.parametrize("again", ["", HEAD])
def test_a_copy_behind_loses_nothing(again: str) -> None:
    found = judged(HEAD + "".join(rows(QUICK)) + again + "".join(rows(QUICK)))
    assert found.verdict == "pass", found.sentence


@pytest.mark.parametrize("form", ["%Y-%m-%d %H:%M:%S", "%Y-%m-%d %H:%M"])
def test_every_row_twice_loses_nothing(form: str) -> None:
    assert judged(by_turns(rows(QUICK, form), rows(QUICK, form))).verdict == "pass"


@pytest.mark.parametrize("minutes", [2, 8])
def test_a_clock_set_back_a_little_while_it_heats_is_no_other_log(minutes: int) -> None:
    late = rows(QUICK, late_s=-60.0 * minutes)
    found = judged(HEAD + "".join([*rows(QUICK)[:60], *late[60:]]))
    assert "log.joined" not in {each.id for each in found.findings}
