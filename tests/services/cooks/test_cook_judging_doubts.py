"""What is doubtful in a file passes nothing: roles, times, readings few or thrown out."""

from __future__ import annotations

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
BAG = modes_of(Cylinder(0.075, 0.2), Material(0.6, 2.0e6, 100.0))
RULE = Rule(f0=15.0)
CHAMBER = np.interp(
    SECONDS / 60.0, [0.0, 35.0, 215.0, 275.0, 300.0], [19.0, 121.5, 121.5, 40.0, 32.0]
)
CORE = core_curve(BAG, SECONDS, CHAMBER, 19.0)


def file(times: Values, columns: list[Values], heads: str, places: int = 2) -> bytes:
    rows = zip(times, *columns, strict=True)
    lines = [heads, *(f"{t:g},{','.join(f'{v:.{places}f}' for v in rest)}" for t, *rest in rows)]
    return "\n".join(lines).encode()


def judged(data: bytes, rule: Rule = RULE, **changes: str) -> JudgedCook:
    said = {
        key.replace("_", ".", 2) if key.startswith("column") else key: changes[key]
        for key in changes
    }
    return judge_file(data, "cook.csv", rule, changes=said)[0]


def ids(found: JudgedCook) -> set[str]:
    return {each.id for each in found.findings}


@pytest.mark.parametrize("heads", ["min,CH1,CH2", "min,Probe 1 (C),Probe 2 (C)", "min,top,bottom"])
@pytest.mark.parametrize("late_min", [4.0, 10.0])
def test_a_probe_a_little_later_is_no_core_until_somebody_says_so(
    heads: str, late_min: float
) -> None:
    later = np.interp(SECONDS - 60.0 * late_min, SECONDS, CHAMBER) + 0.1 * np.sin(SECONDS)
    data = file(SECONDS / 60.0, [CHAMBER, later], heads)
    found = judged(data)
    assert found.verdict == "unjudged", found.sentence
    assert "may be a second probe in the chamber" in found.sentence
    assert judged(data, column_3_role="core").verdict == "pass"
    assert judged(data, column_3_role="chamber").verdict == "unjudged"


@pytest.mark.parametrize("heads", ["min,CH1,CH2", "min,Probe 1 (C),Probe 2 (C)"])
def test_a_probe_much_later_is_taken_for_a_core_and_passes_when_somebody_says_so(
    heads: str,
) -> None:
    data = file(SECONDS / 60.0, [CHAMBER, CORE], heads)
    found = judged(data)
    assert found.verdict == "unjudged"
    assert "may be a drain" in found.sentence
    assert [each.role for each in found.probes] == ["chamber", "core"]
    said = judged(data, column_3_role="core")
    assert said.verdict == "pass"
    assert "stood in a unit is what somebody said" in said.sentence


@pytest.mark.parametrize("late_min", [16.0, 25.0])
def test_a_drain_or_a_place_between_bags_passes_nothing(late_min: float) -> None:
    drain = np.interp(SECONDS - 60.0 * late_min, SECONDS, CHAMBER)
    found = judged(file(SECONDS / 60.0, [CHAMBER, drain], "min,T1,T2"))
    assert found.verdict == "unjudged", found.sentence
    assert any("column.3.role=core" in each.say for each in found.findings)


def test_a_core_alone_passes_and_says_what_could_not_be_looked_for() -> None:
    found = judged(file(SECONDS / 60.0, [CORE], "min,core [°C]"))
    assert found.verdict == "pass"
    assert "No probe was read in the chamber" in found.sentence
    assert {each.severity for each in found.findings if each.id == "cook.no-chamber"} == {"warning"}


@pytest.mark.parametrize("head", ["time", "millis", "uptime"])
def test_milliseconds_earn_no_more_than_minutes(head: str) -> None:
    in_minutes = judged(file(SECONDS / 60.0, [CHAMBER, CORE], "min,chamber [°C],core [°C]"))
    data = file(np.round(SECONDS) * 1000.0, [CHAMBER, CORE], f"{head},chamber [°C],core [°C]")
    data = data.replace(b"e+06", b"e6")
    found = judged(data)
    assert found.probes[1].f0_min == pytest.approx(in_minutes.probes[1].f0_min, rel=1e-3)


def test_a_log_longer_than_any_cook_passes_nothing() -> None:
    found = judged(file(SECONDS / 60.0, [CHAMBER, CORE], "h,chamber [°C],core [°C]"))
    assert judged(file(SECONDS, [CHAMBER, CORE], "d,chamber [°C],core [°C]")).verdict == "unjudged"
    assert found.verdict == "unjudged"


def test_a_count_that_may_be_two_things_passes_nothing_until_it_is_said() -> None:
    """Every 4 s for 20 min, or every 4 min for 20 h."""
    data = file(np.linspace(0.0, 1200.0, 301), [CHAMBER, CORE], "time,chamber [°C],core [°C]")
    found = judged(data)
    assert found.verdict == "unjudged", found.sentence
    assert "Nothing says what the times count" in found.sentence
    assert judged(data, time_unit="min").verdict == "pass"


@pytest.mark.parametrize(
    ("every", "verdict"), [(5, "pass"), (10, "pass"), (15, "unjudged"), (25, "unjudged")]
)
def test_readings_far_apart_and_the_verdict_agree(every: int, verdict: str) -> None:
    columns = [CHAMBER[::every], CORE[::every]]
    found = judged(file(SECONDS[::every] / 60.0, columns, "min,chamber [°C],core [°C]"))
    assert found.verdict == verdict, found.sentence
    said = [each.sentence for each in found.findings if each.id == "log.coarse"]
    assert any("passes nothing" in each for each in said) is (verdict == "unjudged")


def test_between_readings_ten_minutes_apart_only_the_lower_counts() -> None:
    every = 10
    data = file(
        SECONDS[::every] / 60.0, [CHAMBER[::every], CORE[::every]], "min,chamber [°C],core [°C]"
    )
    shown = judged(data).probes[1].f0_min
    rate = 10.0 ** ((CORE[::every] - 121.1) / 10.0)
    lower = float(np.sum(np.minimum(rate[1:], rate[:-1]))) * every
    assert shown == pytest.approx(lower, rel=1e-3)
    f0 = float(np.trapezoid(rate)) * every
    assert lower < 0.95 * f0
    assert judged(data, Rule(f0=lower * 0.99)).verdict == "pass"
    between = judged(data, Rule(f0=(lower + f0) / 2))
    assert between.verdict == "unjudged"
    assert "readings were far apart" in between.sentence
    assert judged(data, Rule(f0=f0 * 1.1)).verdict == "fail"


def test_one_wild_reading_among_few_earns_nothing() -> None:
    wild = CORE[::10].copy()
    wild = np.minimum(wild, 85.0)
    wild[12] = 159.0
    data = file(SECONDS[::10] / 60.0, [CHAMBER[::10], wild], "min,chamber [°C],core [°C]")
    assert judged(data).verdict != "pass"


def test_tenths_of_a_degree_pass_nothing() -> None:
    data = file(SECONDS / 60.0, [10.0 * CHAMBER, 10.0 * CORE], "min,chamber,core", places=0)
    found = judged(data)
    assert found.verdict == "unjudged", found.sentence


def test_a_core_of_which_most_is_thrown_away_passes_nothing() -> None:
    open_circuit = np.where(SECONDS % 240.0 == 0.0, CORE, 850.0)
    data = file(SECONDS / 60.0, [CHAMBER, open_circuit], "min,chamber [°C],core [°C]")
    found = judged(data, Rule(f0=1.0))
    assert found.verdict == "unjudged"
    assert "readings are none and were left out" in found.sentence
    seldom = np.where(np.arange(len(CORE)) % 4 == 3, 850.0, CORE)
    data = file(SECONDS / 60.0, [CHAMBER, seldom], "min,chamber [°C],core [°C]")
    assert judged(data).verdict == "pass"


@pytest.mark.parametrize("unit", ["", " [°C]"])
def test_a_log_with_the_newest_reading_first_is_judged_the_same(unit: str) -> None:
    data = file(SECONDS / 60.0, [CHAMBER, CORE], f"min,chamber{unit},core{unit}")
    head, *rows = data.decode().split("\n")
    found = judged("\n".join([head, *reversed(rows)]).encode())
    assert found.verdict == "pass", found.sentence
    assert "log.newest-first" in ids(found)
    assert found.probes == judged(data).probes


@pytest.mark.parametrize("head", ["", "x", "count"])
@pytest.mark.parametrize("begins", [0, 1])
def test_a_bare_count_of_readings_every_half_minute_passes_nothing_until_it_is_said(
    begins: int, head: str
) -> None:
    """Read as minutes, a cook would last twice as long and earn twice as much."""
    every = np.arange(0.0, 18_001.0, 30.0)
    columns = [np.interp(every, SECONDS, each) for each in (CHAMBER, CORE)]
    count = np.arange(begins, begins + len(every), dtype=float)
    heads = f"{head},chamber [°C],core [°C]"
    data = file(count, columns, heads)
    found = judged(data)
    assert found.verdict == "unjudged", found.sentence
    assert "how far apart" in found.sentence
    assert judged(data, time_unit="min").verdict == "pass"
    by_step = judged(data, step_s="30")
    assert by_step.verdict == "pass"
    true = judged(file(every / 60.0, columns, "min,chamber [°C],core [°C]"))
    assert by_step.probes[1].f0_min == pytest.approx(true.probes[1].f0_min, rel=1e-6)
    above = judged(b"Interval: 30 s\n" + data)
    assert above.verdict == "pass"
    assert above.probes[1].f0_min == pytest.approx(true.probes[1].f0_min, rel=1e-6)


@pytest.mark.parametrize("head", ["min", "time", "minutes", "Zeit", "time [min]"])
def test_a_count_of_minutes_that_says_it_is_a_time_passes(head: str) -> None:
    data = file(SECONDS / 60.0, [CHAMBER, CORE], f"{head},chamber [°C],core [°C]")
    assert judged(data).verdict == "pass"


@pytest.mark.parametrize("late_min", [0.5, 2.0, 5.0])
def test_the_hint_for_a_small_tube_says_how_it_is_called_a_core(late_min: float) -> None:
    tube = np.interp(SECONDS - 60.0 * late_min, SECONDS, CHAMBER)
    heads = "min,chamber [°C],core [°C]" if late_min < 3.0 else "min,CH1,CH2"
    data = file(SECONDS / 60.0, [CHAMBER, tube], heads)
    found = judged(data)
    assert found.verdict == "unjudged"
    assert any("column.3.role=core" in each.say for each in found.findings)
    assert judged(data, column_3_role="core").verdict == "pass"


def test_of_a_probe_that_slipped_out_no_word_is_asked_for() -> None:
    slips = np.where(SECONDS > 4000.0, CHAMBER, CORE)
    found = judged(file(SECONDS / 60.0, [CHAMBER, slips], "min,chamber [°C],core [°C]"))
    assert "slipped out" in found.sentence
    assert not any("column.3.role=core" in each.say for each in found.findings)


def test_seconds_named_minutes_are_suspected_once_and_pass_nothing() -> None:
    found = judged(file(SECONDS, [CHAMBER, CORE], "time (min),chamber [°C],core [°C]"))
    assert found.verdict == "unjudged"
    assert [each.say for each in found.findings if each.id == "log.time-unit-suspected"] == [
        ("time_unit=s",)
    ]
    assert "cook.gap" not in ids(found)
    data = file(SECONDS, [CHAMBER, CORE], "time (min),chamber [°C],core [°C]")
    assert judged(data, time_unit="s").verdict == "pass"


@pytest.mark.parametrize("head", ["spare [°C]", "CH3"])
def test_a_spare_channel_that_is_open_throughout_is_no_core(head: str) -> None:
    rows = zip(SECONDS / 60.0, CHAMBER, CORE, strict=True)
    lines = [f"min,chamber [°C],core [°C],{head}"]
    lines += [f"{m:.0f},{a:.2f},{b:.2f},{'OL' if m % 2 else '1372.0'}" for m, a, b in rows]
    found = judged("\n".join(lines).encode())
    assert found.verdict == "pass", found.sentence
    assert "spare core" not in " ".join(each.sentence for each in found.findings)
    assert "log.role-guessed" not in ids(found)
