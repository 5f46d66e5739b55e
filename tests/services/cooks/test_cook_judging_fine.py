"""A probe in doubt that was fine: a person says why, and the reason stands in the verdict."""

from __future__ import annotations

import numpy as np
import pytest
from numpy import float64
from numpy.typing import NDArray

from files.logger_files import cook as invented
from pinset.errors import InputError
from pinset.science.judging.records import Rule
from pinset.services.cooks.judge.judged import JudgedCook
from pinset.services.cooks.judge.judging import judge_file

COOK = invented(361)
REASON = "compared in melting ice on the same day"
FINE = {"column.3.fine": REASON}
Values = NDArray[float64]


def judged(core: Values, changes: dict[str, str] | None = None) -> JudgedCook:
    rows = zip(COOK.seconds / 60.0, COOK.chamber_c, core, strict=True)
    lines = ["min,chamber [°C],core [°C]", *(f"{m:.0f},{a:.2f},{b:.2f}" for m, a, b in rows)]
    return judge_file("\n".join(lines).encode(), "cook.csv", Rule(f0=15.0), changes=changes)[0]


def stopped() -> Values:
    core = COOK.core_c.copy()
    core[305:] = core[305]
    return core


def leapt() -> Values:
    core = COOK.core_c.copy()
    return np.where(core > 80.0, np.maximum(core, COOK.chamber_c), core)


@pytest.mark.parametrize(
    ("core", "found"), [(stopped(), "log.stuck"), (leapt(), "cook.core-in-doubt")]
)
def test_what_no_role_settles_a_reason_does(core: Values, found: str) -> None:
    said_core = {"column.3.role": "core"}
    doubted = judged(core, said_core)
    assert doubted.verdict == "unjudged", doubted.sentence
    [finding] = [each for each in doubted.findings if each.id == found]
    assert finding.say == ("column.3.fine=REASON",)
    assert "say why you know" in finding.hint
    assert "column.3.fine" in {line.key for line in doubted.layout}
    settled = judged(core, said_core | FINE)
    assert settled.verdict == "pass", settled.sentence
    assert f"somebody said (“{REASON}”), although " in settled.sentence
    [line] = [line for line in settled.layout if line.key == "column.3.fine"]
    assert (line.value, line.sure) == (REASON, "given")


@pytest.mark.parametrize("reason", ["REASON", "yes", "   ", "12345678", "x" * 201])
def test_a_reason_is_a_sentence(reason: str) -> None:
    with pytest.raises(InputError, match=r"column\.3\.fine"):
        judged(COOK.core_c, {"column.3.fine": reason})


def test_of_a_probe_that_is_not_in_doubt_nobody_asks() -> None:
    found = judged(COOK.core_c)
    assert found.verdict == "pass"
    assert "column.3.fine" not in {line.key for line in found.layout}
    assert "somebody said" not in judged(COOK.core_c, FINE).sentence


def test_a_reason_does_not_make_readings_of_no_cook_count() -> None:
    core = np.where(COOK.chamber_c > 118.0, 150.0, COOK.core_c)
    assert judged(core, {"column.3.role": "core", "column.3.unit": "C"} | FINE).verdict != "pass"


def test_a_reason_does_not_say_that_a_probe_stood_in_a_unit() -> None:
    core = COOK.chamber_c - 0.3
    assert judged(core, FINE).verdict == "unjudged"
