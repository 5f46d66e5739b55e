"""Lines of a log: from when on it was enough, what was held, and logs that are hard to draw."""

from __future__ import annotations

import time
from collections.abc import Mapping
from datetime import UTC, datetime

import numpy as np
import pytest
from numpy import float64, int64
from numpy.typing import NDArray

from files.logger_files import cook as invented
from pinset.files.logger.records import (
    Basis,
    ColumnLayout,
    ColumnRole,
    CookLog,
    LogColumn,
    LogLayout,
    Use,
)
from pinset.science.judging.cook_rules import read_rule
from pinset.services.cooks.heat_lines import HeatLines, lines_of_log
from pinset.services.cooks.judge.judging import judge_log

Values = NDArray[float64]
COOK = invented(361)
ROLES = {"chamber": ColumnRole.CHAMBER, "gauge": ColumnRole.PRESSURE}


def log(seconds: Values, columns: Mapping[str, Values]) -> CookLog:
    """Return a log as it is read; what is called chamber or gauge is that, the rest are cores."""
    read = tuple(
        LogColumn(
            index=index,
            name=name,
            use=Use.PRESSURE if name == "gauge" else Use.TEMPERATURE,
            role=ROLES.get(name, ColumnRole.CORE),
            unit="kPa" if name == "gauge" else "C",
            basis=Basis.GAUGE if name == "gauge" else None,
            values=values,
        )
        for index, (name, values) in enumerate(columns.items(), start=1)
    )
    layout = LogLayout(columns=tuple(ColumnLayout(each.index, each.name) for each in read))
    rows = np.arange(len(seconds), dtype=int64)
    return CookLog("invented.csv", layout, seconds, rows, datetime(2026, 3, 2, 9, tzinfo=UTC), read)


def lines(read: CookLog, rule: str = "f0=15") -> HeatLines:
    return lines_of_log(read, judge_log(read, read_rule(rule), digest="0" * 64))


GAPPED = np.where((COOK.seconds >= 12_000.0) & (COOK.seconds < 16_800.0), np.nan, COOK.slow_core_c)
WHOLE = {"chamber": COOK.chamber_c, "slow": COOK.slow_core_c, "quick": COOK.core_c}


def test_enough_waits_for_the_slowest_core() -> None:
    both = lines(log(COOK.seconds, WHOLE))
    quick = lines(log(COOK.seconds, {"quick": COOK.core_c}))
    assert both.enough_min is not None
    assert quick.enough_min is not None
    assert both.enough_min > quick.enough_min
    assert [line.name for line in both.lines if line.is_ruling] == ["slow"]


def test_a_hold_is_enough_so_long_after_the_core_came_there() -> None:
    found = lines(log(COOK.seconds, {"quick": COOK.core_c}), "hold=115/20")
    assert found.held_min is not None
    crossing = float(np.interp(115.0, COOK.core_c[:200], COOK.seconds[:200])) / 60.0
    assert found.held_min[0] == pytest.approx(crossing, abs=1.0)
    assert found.enough_min == pytest.approx(found.held_min[0] + 20.0)


def test_nothing_was_enough_unless_the_cook_passed() -> None:
    assert lines(log(COOK.seconds, WHOLE), "f0=5000").enough_min is None
    unclear = lines(log(COOK.seconds, {**WHOLE, "slow": GAPPED}), "f0=70")
    assert unclear.enough_min is None
    assert len(unclear.killing) == 2, "no speed of killing is drawn where nothing was read"


def test_what_a_gap_may_have_earned_makes_nothing_enough() -> None:
    """The same cook, which needs more time after the gap to be enough for sure."""
    whole = lines(log(COOK.seconds, WHOLE), "f0=30").enough_min
    gapped = lines(log(COOK.seconds, {**WHOLE, "slow": GAPPED}), "f0=30").enough_min
    assert whole is not None
    assert 200.0 < whole < 280.0, "while nothing was read"
    assert gapped is not None
    assert gapped > 280.0


def test_earned_ends_where_the_verdict_does() -> None:
    read = log(COOK.seconds, WHOLE)
    judged = judge_log(read, None, digest="0" * 64)
    slow = next(each for each in judged.probes if each.name == "slow")
    assert lines_of_log(read, judged).earned[-1][-1][1] == pytest.approx(slow.f0_min)


def test_steam_follows_the_gauge_with_its_gaps() -> None:
    gauge = COOK.gauge_kpa.copy()
    gauge[100:120] = np.nan
    found = lines(log(COOK.seconds, {**WHOLE, "gauge": gauge}))
    steam = next(line for line in found.lines if line.role == "steam")
    assert len(steam.pieces) == 2
    assert steam.pieces[0][0][1] == pytest.approx(99.97, abs=0.05), "boiling at 101.325 kPa, IAPWS"


def test_one_probe_with_two_readings() -> None:
    sparse = np.full(361, np.nan)
    sparse[[20, 300]] = 80.0, 120.0
    found = lines(log(COOK.seconds, {"core": sparse}))
    assert [line.pieces for line in found.lines] == [(((20.0, 80.0),), ((300.0, 120.0),))]
    assert found.enough_min is None


def test_one_reading_in_all_is_drawn_and_not_judged() -> None:
    sparse = np.full(361, np.nan)
    sparse[20] = 80.0
    found = lines(log(COOK.seconds, {"core": sparse}))
    assert len(found.lines) == 1
    assert found.killing == ()


def test_a_million_readings_of_eight_probes_for_a_fortnight() -> None:
    seconds = np.arange(1_000_000) * 1.2096  # 14 days
    noise = np.random.default_rng(11)
    columns = {
        f"core {number}": 60.0 + noise.normal(0.0, 0.2, len(seconds)) for number in range(1, 9)
    }
    read = log(seconds, columns)
    judged = judge_log(read, None, digest="0" * 64)
    began = time.perf_counter()
    found = lines_of_log(read, judged)
    assert time.perf_counter() - began < 5.0
    assert len(found.lines) == 8
    assert sum(len(piece) for line in found.lines for piece in line.pieces) <= 8 * 300
