"""A log of several cooks: nothing is judged until one is chosen, and then only that one counts."""

from __future__ import annotations

from datetime import datetime, timedelta

import numpy as np
import pytest
from numpy import float64
from numpy.typing import NDArray

from pinset.errors import InputError
from pinset.files.logger.corrections import said_by_hand
from pinset.science.heating.heating import Cylinder, Material, core_curve, modes_of
from pinset.science.judging.records import Rule
from pinset.services.cooks.judge.judged import JudgedCook
from pinset.services.cooks.judge.judging import judge_file

Values = NDArray[float64]

SECONDS = np.linspace(0.0, 21_600.0, 361)
BAG = modes_of(Cylinder(0.075, 0.2), Material(0.6, 2.0e6, 100.0))
FIRST = datetime(2026, 3, 14, 8, 0)  # noqa: DTZ001  (a logger's own clock)
RULE = Rule(f0=15.0)
GOOD, SHORT, BRIEF = 190.0, 60.0, 110.0


def rows(began: datetime, hold_min: float) -> list[str]:
    """Return what a logger writes of one cook."""
    corners = [0.0, 35.0, 35.0 + hold_min, 95.0 + hold_min, 400.0]
    chamber = np.interp(SECONDS / 60.0, corners, [20.0, 121.5, 121.5, 40.0, 25.0])
    inside = core_curve(BAG, SECONDS, chamber, 20.0)
    return [
        f"{began + timedelta(seconds=float(s)):%Y-%m-%d %H:%M:%S},{a:.2f},{b:.2f}"
        for s, a, b in zip(SECONDS, chamber, inside, strict=True)
    ]


def written(*holds: float) -> bytes:
    days = [rows(FIRST + timedelta(days=day), hold) for day, hold in enumerate(holds)]
    lines = ["time,chamber [°C],core [°C]", *(line for day in days for line in day)]
    return "\n".join(lines).encode()


def judged(data: bytes, **changes: str) -> JudgedCook:
    return judge_file(data, "cook.csv", RULE, changes=changes)[0]


def ids(found: JudgedCook) -> set[str]:
    return {each.id for each in found.findings}


def test_cooks_that_are_too_short_are_not_added_up() -> None:
    alone = judged(written(BRIEF))
    assert alone.verdict == "fail"
    core = next(each for each in alone.probes if each.role == "core")
    assert core.f0_min * 4 > 15.0
    assert judged(written(BRIEF, BRIEF, BRIEF, BRIEF)).verdict == "unjudged"


def test_a_good_cook_of_yesterday_passes_nothing_of_today_until_one_is_chosen() -> None:
    data = written(GOOD, SHORT)
    both = judged(data)
    assert both.verdict == "unjudged"
    assert "log.several-cooks" in ids(both)
    assert "holds 2 cooks (1: 2026-03-14 08:00 to 2026-03-14 14:00, 2: 2026-03-15" in both.sentence
    first, second = judged(data, run="1"), judged(data, run="2")
    assert (first.verdict, second.verdict) == ("pass", "fail")
    assert first.probes == judged(written(GOOD)).probes
    assert second.started == "2026-03-15T08:00:00"
    assert second.minutes == 360.0
    assert not {"log.several-cooks", "log.gap"} & ids(second)
    assert "log.run-chosen" in ids(second)


def test_the_choice_is_a_line_of_how_it_was_read() -> None:
    data = written(GOOD, SHORT)
    line = next(each for each in judged(data).layout if each.key == "run")
    assert (line.value, line.sure, line.choices) == ("", "unsure", ("1", "2", "all"))
    chosen, log = judge_file(data, "cook.csv", RULE, changes={"run": "2"})
    line = next(each for each in chosen.layout if each.key == "run")
    assert (line.value, line.sure) == ("2", "given")
    assert said_by_hand(log.layout) == {"run": "2"}
    assert "run" not in {each.key for each in judged(written(GOOD)).layout}


def test_what_is_said_to_be_one_cook_is_judged_as_one() -> None:
    found = judged(written(SHORT, GOOD), run="all")
    assert found.verdict == "pass"
    assert "log.runs-joined" in ids(found)


@pytest.mark.parametrize("text", ["3", "0", "-1", "two", "1.5", "", "٢"])
def test_a_cook_that_is_not_in_it_cannot_be_chosen(text: str) -> None:
    with pytest.raises(InputError, match="run"):
        judged(written(GOOD, SHORT), run=text)


def test_the_row_a_program_adds_when_the_logger_is_read_out_is_no_reading() -> None:
    data = written(GOOD) + b"\n2026-07-14 18:00:00,,\n"
    found = judged(data)
    assert found.verdict == "pass"
    assert "log.end-rows" in ids(found)
    assert found.minutes == 360.0
