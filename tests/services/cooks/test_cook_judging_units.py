"""A log in °F under a heading of °C passes no pasteurisation; the unit said by hand settles it."""

from __future__ import annotations

import numpy as np
import pytest
from numpy import float64
from numpy.typing import NDArray

from files.logger_files import cook as invented
from files.logger_files import fahrenheit
from pinset.science.judging.cook_rules import read_rule
from pinset.services.cooks.judge.judged import JudgedCook
from pinset.services.cooks.judge.judging import judge_file

COOK = invented(541)  # nine hours
HEADS = "min,Water °C,Straw core °C"
STRAW = "hold=60C/60"
CELSIUS = {"column.2.unit": "C", "column.3.unit": "C"}
Values = NDArray[float64]


def between(values: Values, cold_c: float, hot_c: float) -> Values:
    """Return a curve from 21 to 121.3 °C with another start and another top."""
    return cold_c + (values - 21.0) / (121.3 - 21.0) * (hot_c - cold_c)


def log_of(water: Values, core: Values, heads: str = HEADS) -> bytes:
    rows = zip(COOK.seconds / 60.0, water, core, strict=True)
    return "\n".join([heads, *(f"{m:.0f},{a:.1f},{b:.1f}" for m, a, b in rows)]).encode()


def pasteurised(cold_c: float, hot_c: float) -> tuple[Values, Values]:
    return between(COOK.chamber_c, cold_c, hot_c), between(COOK.core_c, cold_c, hot_c)


def judged(data: bytes, rule: str = STRAW, **more: object) -> JudgedCook:
    return judge_file(data, "straw.csv", read_rule(rule), **more)[0]  # type: ignore[arg-type]


def ids(cook: JudgedCook) -> set[str]:
    return {each.id for each in cook.findings}


def in_fahrenheit(cold_c: float, hot_c: float, heads: str = HEADS) -> bytes:
    water, core = pasteurised(cold_c, hot_c)
    return log_of(fahrenheit(water), fahrenheit(core), heads)


@pytest.mark.parametrize("altitude_m", [0.0, 2600.0])
@pytest.mark.parametrize("hot_c", [48.0, 55.0, 58.0])
@pytest.mark.parametrize("cold_c", [4.0, 16.0])
def test_a_short_pasteurisation_in_fahrenheit_named_celsius_is_asked_about(
    cold_c: float, hot_c: float, altitude_m: float
) -> None:
    data = in_fahrenheit(cold_c, hot_c)
    found = judged(data, altitude_m=altitude_m)
    assert found.verdict == "unjudged", found.sentence
    [asked] = [each for each in found.findings if each.id == "cook.unit-asked"]
    assert asked.say == ("column.2.unit=C", "column.3.unit=C")
    said = judged(data, altitude_m=altitude_m, changes=dict.fromkeys(CELSIUS, "F"))
    assert said.verdict == "fail", said.sentence
    assert "cook.unit-asked" not in ids(said)


def test_a_unit_said_by_hand_settles_it() -> None:
    found = judged(in_fahrenheit(16.0, 58.0), changes=CELSIUS)
    assert found.verdict == "pass", found.sentence
    assert "cook.unit-asked" not in ids(found)


def test_a_unit_said_of_one_column_only_settles_that_one() -> None:
    data = in_fahrenheit(16.0, 58.0)
    assert judged(data, changes={"column.2.unit": "C"}).verdict == "unjudged"


def test_a_log_that_never_got_warm_in_fahrenheit_is_asked_about() -> None:
    found = judged(in_fahrenheit(17.0, 21.0))
    assert found.verdict == "unjudged", found.sentence
    assert "cook.unit-asked" in ids(found)


@pytest.mark.parametrize("heads", [HEADS, "min,Water,Straw core °C", "min,Water °C,Straw core"])
def test_columns_of_one_sheet_are_read_in_one_unit(heads: str) -> None:
    """The water is beyond any steam in °C, its core is not."""
    water, core = pasteurised(16.0, 65.0)[0], pasteurised(16.0, 57.0)[1]
    found = judged(log_of(fahrenheit(water), fahrenheit(core), heads))
    hottest = [each.max_c for each in found.probes]
    assert hottest == pytest.approx([float(np.max(water)), float(np.max(core))], abs=0.1)
    assert found.verdict == "unjudged", found.sentence
    said = {each.record: each.sentence for each in found.findings if "fahrenheit" in each.id}
    assert any("Straw core" in each for each in [*said, *said.values()])
    by_hand = {"column.2.unit": "F", "column.3.unit": "F"}
    assert judged(log_of(fahrenheit(water), fahrenheit(core), heads), changes=by_hand).verdict == (
        "fail"
    )


def test_a_unit_said_of_the_water_counts_for_the_core_of_its_sheet() -> None:
    found = judged(in_fahrenheit(16.0, 58.0), changes={"column.2.unit": "F"})
    core = next(each for each in found.probes if each.role == "core")
    assert core.max_c < 60.0
    assert found.verdict == "unjudged", found.sentence


def test_a_core_that_would_be_frost_in_fahrenheit_stays_in_celsius() -> None:
    water = fahrenheit(pasteurised(16.0, 68.0)[0])
    core = pasteurised(16.0, 66.0)[1]
    found = judged(log_of(water, core))
    assert next(each.max_c for each in found.probes if each.name == "Straw core °C") > 60.0


def test_heads_that_name_both_units_are_kept() -> None:
    water, core = pasteurised(16.0, 68.0)
    found = judged(log_of(fahrenheit(water), core, "min,Water °F,Straw core °C"))
    assert found.verdict == "pass", found.sentence


@pytest.mark.parametrize("cold_c", [2.0, 16.0, 38.0])
@pytest.mark.parametrize("hot_c", [64.0, 80.0, 97.0, 99.9])
def test_a_sound_pasteurisation_is_not_asked_about(cold_c: float, hot_c: float) -> None:
    found = judged(log_of(*pasteurised(cold_c, hot_c)))
    assert found.verdict == "pass", found.sentence
    assert "cook.unit-asked" not in ids(found)


@pytest.mark.parametrize("rule", ["f0=15", "f0=15,hold=95/30", "hold=115/15"])
def test_a_cook_under_pressure_is_not_asked_about(rule: str) -> None:
    found = judged(log_of(COOK.chamber_c, COOK.core_c), rule)
    assert found.verdict == "pass", found.sentence


def test_a_gauge_that_shows_the_pressure_of_the_steam_speaks_for_celsius() -> None:
    rows = zip(COOK.seconds / 60.0, COOK.chamber_c, COOK.core_c, COOK.gauge_kpa, strict=True)
    lines = ["min,chamber [°C],core [°C],gauge [kPa]"]
    lines += [f"{m:.0f},{a:.1f},{b:.1f},{p:.1f}" for m, a, b, p in rows]
    found = judged("\n".join(lines).encode(), "hold=95/30")
    assert found.verdict == "pass", found.sentence


def test_a_hot_start_at_what_pasteurises_in_fahrenheit_is_doubted_for_f0_too() -> None:
    found = judged(in_fahrenheit(16.0, 58.0), "f0=15")
    assert found.verdict == "unjudged", found.sentence
    assert "log.maybe-fahrenheit" in ids(found)


def test_an_open_steamer_is_not_so_hot() -> None:
    data = in_fahrenheit(4.0, 56.0)
    assert judged(data, "f0=15", is_open=True).verdict == "unjudged"
    assert judged(log_of(COOK.chamber_c, COOK.core_c), "f0=15", is_open=True).verdict == "pass"
