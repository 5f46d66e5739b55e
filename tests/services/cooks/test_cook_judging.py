"""A logger's file judged: what is right passes, what is doubtful passes nothing, all is plain."""

from __future__ import annotations

import json
from collections.abc import Callable

import numpy as np
import pytest

from files.logger_files import cook as invented_cook
from pinset.chain.plain import to_plain
from pinset.errors import InputError
from pinset.science.judging.records import Rule
from pinset.services.cooks.judge.judged import Instrument, JudgedCook
from pinset.services.cooks.judge.judging import judge_file

COOK = invented_cook(361)
RULE = Rule(f0=15.0)
Lines = list[list[str]]


def table(heads: str = "min,chamber [°C],core [°C]", *, gauge: bool = False) -> Lines:
    columns = [COOK.seconds / 60.0, COOK.chamber_c, COOK.core_c]
    if gauge:
        columns.append(COOK.gauge_kpa)
    return [heads.split(","), *([f"{v:.2f}" for v in row] for row in zip(*columns, strict=True))]


def written(lines: Lines) -> bytes:
    return "\n".join(",".join(line) for line in lines).encode()


def judged(lines: Lines, rule: Rule | None = RULE, **more: object) -> JudgedCook:
    return judge_file(written(lines), "cook.csv", rule, **more)[0]  # type: ignore[arg-type]


def ids(cook: JudgedCook) -> set[str]:
    return {each.id for each in cook.findings}


def test_long_cook_passes_and_says_by_how_much() -> None:
    found = judged(table())
    assert found.verdict == "pass"
    core = next(each for each in found.probes if each.role == "core")
    rate = 10.0 ** ((COOK.core_c - 121.1) / 10.0)
    assert core.f0_min == pytest.approx(np.trapezoid(rate, COOK.seconds / 60.0), rel=0.001)
    assert core.f0_low < core.f0_min < core.f0_high
    assert found.slowest == core.name
    assert found.rule == "F0 15 min"


def test_a_load_filled_in_warm_is_said_of_the_file() -> None:
    lines = table()
    for line in lines[1:]:
        line[2] = f"{float(line[2]) + 3.5 * (float(line[2]) < 80.0):.2f}"
    found = judged(lines)
    [high] = [each for each in found.findings if each.id == "cook.reads-high"]
    assert high.say == ("filled=warmer",)
    warm = judged(lines, changes={"filled": "warmer"})
    assert warm.verdict == "pass"
    assert warm.sentence.endswith("filled in warmer than the room is what somebody said.")
    [line] = [each for each in warm.layout if each.key == "filled"]
    assert (line.value, line.sure, line.choices) == ("warmer", "given", ("room", "warmer"))
    with pytest.raises(InputError, match="filled"):
        judged(lines, changes={"filled": "hot"})


def test_record_is_plain_through_and_through() -> None:
    plain = to_plain(judged(table()), every_field=True)
    assert json.loads(json.dumps(plain)) == plain
    assert {"probes", "verdict", "findings"} <= set(plain)
    assert {"name", "role", "f0_min", "f0_above_110_min", "max_c"} <= set(plain["probes"][0])


def test_no_rule_passes_and_fails_nothing() -> None:
    assert judged(table(), None).verdict == "unjudged"


def test_a_core_alone_is_enough_and_a_chamber_alone_is_not() -> None:
    core = [[line[0], line[2]] for line in table()]
    chamber = [[line[0], line[1]] for line in table()]
    assert judged(core).verdict == "pass"
    alone = judged(chamber)
    assert alone.verdict == "unjudged"
    assert "cook.no-core" in ids(alone)


def test_the_steam_is_checked_with_the_farms_altitude() -> None:
    lines = table("min,chamber [°C],core [°C],pressure [kPa gauge]", gauge=True)
    at_sea = judged(lines)
    assert at_sea.steam is not None
    assert at_sea.steam.is_steam
    high_up = judged(lines, altitude_m=2500.0)
    assert high_up.steam is not None
    assert not high_up.steam.is_steam
    assert "cook.superheated" in ids(high_up)


def as_fahrenheit(text: str) -> str:
    return f"{float(text) * 9 / 5 + 32:.2f}"


def in_fahrenheit_named_celsius(lines: Lines) -> Lines:
    return [lines[0], *([m, as_fahrenheit(a), as_fahrenheit(b)] for m, a, b in lines[1:])]


def swapped(lines: Lines) -> Lines:
    return [lines[0], *([m, b, a] for m, a, b in lines[1:])]


def stuck(lines: Lines) -> Lines:
    return [lines[0], *([m, a, "121.00"] for m, a, _ in lines[1:])]


def unplugged(lines: Lines) -> Lines:
    return [*lines[:150], *([m, a, "850.00"] for m, a, _ in lines[150:])]


def with_gap(lines: Lines) -> Lines:
    return [*lines[:120], *lines[280:]]


def backwards(lines: Lines) -> Lines:
    return [lines[0], *lines[180:], *lines[1:180]]


@pytest.mark.parametrize(
    ("spoil", "finding"),
    [
        (in_fahrenheit_named_celsius, "log.fahrenheit-as-celsius"),
        (swapped, "log.swapped"),
        (stuck, "log.stuck"),
        (unplugged, "log.unplugged"),
    ],
)
def test_what_is_doubtful_passes_nothing(spoil: Callable[[Lines], Lines], finding: str) -> None:
    found = judged(spoil(table()))
    assert finding in ids(found)
    assert found.verdict != "pass", found.sentence


def test_what_was_not_seen_passes_nothing() -> None:
    found = judged(with_gap(table()), Rule(f0=80.0))
    (gap,) = [each for each in found.findings if each.id in {"cook.gap", "log.gap"}]
    assert "161 min without a reading while it was hot, from 1:58 to 4:39 h" in gap.sentence
    core = next(each for each in found.probes if each.role == "core")
    known = np.r_[0:119, 279:361]
    rate = 10.0 ** ((COOK.core_c[known] - 121.1) / 10.0)
    steps = np.diff(COOK.seconds[known]) / 60.0
    earned = float(np.sum(((rate[1:] + rate[:-1]) / 2 * steps)[steps < 5.0]))
    assert core.f0_min == pytest.approx(earned, rel=0.01), "what the gap hides is not counted"
    assert found.verdict == "unjudged"
    assert "while readings were missing" in found.sentence
    assert judged(with_gap(table())).verdict == "pass"


def test_readings_that_go_back_in_time_earn_nothing() -> None:
    found, whole = judged(backwards(table())), judged(table())
    assert "log.time-back" in ids(found)
    assert found.readings == 182  # the second half; what stands after it goes back
    assert found.probes[1].f0_min < whole.probes[1].f0_min


def test_a_doubt_settled_by_hand_counts_no_more() -> None:
    lines = in_fahrenheit_named_celsius(table())
    said = {"column.2.unit": "°F", "column.3.unit": "°F"}
    assert judged(lines, changes=said).verdict == "pass"
    roles = {"column.2.role": "core", "column.3.role": "chamber"}
    assert judged(swapped(table()), changes=roles).verdict == "pass"


def test_a_log_of_one_reading_is_unjudged_with_a_reason() -> None:
    found = judged(table()[:2])
    assert found.verdict == "unjudged"
    assert "log.one-reading" in ids(found)
    assert found.probes == ()


@pytest.mark.parametrize("data", [b"", b"\n\n", b"no table at all", b"\x00" * 40])
def test_a_file_without_a_log_is_refused_in_a_sentence(data: bytes) -> None:
    with pytest.raises(InputError, match="accepted is"):
        judge_file(data, "cook.csv", RULE)


def test_an_absurd_altitude_is_refused() -> None:
    with pytest.raises(InputError, match="altitude"):
        judged(table(), altitude_m=120_000.0)


def test_an_instrument_gives_its_error_and_its_complaint() -> None:
    core = Instrument("core [°C]", 0.2, "ice point, 2 March", "Calibration is overdue since May.")
    found = judged(table(), instruments=[core])
    probe = next(each for each in found.probes if each.role == "core")
    assert probe.error_k == 0.2
    assert probe.error_note == "ice point, 2 March"
    assert "cook.calibration-overdue" in ids(found)
    assert "core [°C]" not in {e.record for e in found.findings if e.id == "cook.uncalibrated"}


def test_times_going_back_are_a_doubt_about_every_core() -> None:
    lines = table()
    lines[100:] = [[f"{float(m) % 90:.2f}", a, b] for m, a, b in lines[100:]]
    found = judged(lines)
    assert "log.time-order" in ids(found)
    assert found.verdict == "unjudged", found.sentence
    assert "go back in time" in found.sentence
