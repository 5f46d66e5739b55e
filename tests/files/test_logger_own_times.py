"""Exports of one row a change: each probe with its own times, and no silence turned into heat."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from itertools import pairwise

import numpy as np
import pytest
from numpy import float64
from numpy.typing import NDArray

from pinset.files.logger.reader import read_log
from pinset.files.logger.records import ColumnRole
from pinset.science.heating.heating import Cylinder, Material, core_curve, modes_of
from pinset.science.judging.records import Rule
from pinset.science.lethality.lethality import f_of_log
from pinset.services.cooks.judge.judged import JudgedCook
from pinset.services.cooks.judge.judging import judge_file

Values = NDArray[float64]
Row = tuple[float, str, str]

START = datetime(2026, 5, 4, 9, 2, 11, tzinfo=UTC)
SECONDS = 60.0 * np.arange(330)
BAG = modes_of(Cylinder(0.075, 0.2), Material(0.6, 2.0e6, 100.0))
NAMES = ("sensor.kettle_chamber", "sensor.bag_core")


def curves(hold_min: float) -> tuple[Values, Values]:
    """Return a chamber that holds so long, and the core of a bag in it."""
    corners = [0.0, 35.0, 35.0 + hold_min, 75.0 + hold_min, 400.0]
    chamber = np.interp(SECONDS / 60.0, corners, [20.0, 121.5, 121.5, 60.0, 30.0])
    return chamber, core_curve(BAG, SECONDS, chamber, 20.0)


def on_change(
    hold_min: float, names: tuple[str, str] = NAMES, step_k: float = 0.5, late_s: float = 11.7
) -> list[Row]:
    """Return the rows of a hub that asks each probe once a minute and writes what has changed."""
    rows: list[Row] = []
    for name, curve, late in zip(names, curves(hold_min), (0.0, late_s), strict=True):
        last = None
        for t, value in zip(SECONDS, np.round(curve / step_k) * step_k, strict=True):
            if value != last:
                rows.append((float(t) + late, name, f"{value:.1f}"))
                last = value
    return sorted(rows)


def written(rows: list[Row], head: str = "entity_id,state,last_changed") -> bytes:
    lines = [
        f"{name},{state},{(START + timedelta(seconds=t)).isoformat(timespec='milliseconds')}"
        for t, name, state in rows
    ]
    return "\n".join([head, *lines, ""]).encode()


def judged(data: bytes, **said: str) -> JudgedCook:
    changes = {f"column.{key[1:]}.role": value for key, value in said.items()}
    return judge_file(data, "export.csv", Rule(f0=15.0), changes=changes)[0]


def ids(found: JudgedCook) -> set[str]:
    return {each.id for each in found.findings}


@pytest.mark.parametrize(
    "names",
    [
        NAMES,
        ("kettle/chamber", "bag/core"),
        ("T1: chamber", "T2: core"),
        ("chamber probe no. 1", "core bag 2.3 kg"),
    ],
)
@pytest.mark.parametrize("step_k", [0.1, 0.5])
def test_a_short_cook_stays_short_whatever_its_probes_are_called(
    names: tuple[str, str], step_k: float
) -> None:
    hold_min = 130.0
    truth = f_of_log(SECONDS, curves(hold_min)[1])
    assert 5.0 < truth < 13.0
    found = judged(written(on_change(hold_min, names, step_k)))
    assert found.verdict == "fail", found.sentence
    assert found.slowest == names[1]
    core = next(each for each in found.probes if each.name == names[1])
    assert core.f0_low < truth < core.f0_high
    assert [each.role for each in found.probes] == ["chamber", "core"]
    assert "log.missing" not in ids(found)
    assert "log.spike" not in ids(found)


def test_a_long_cook_passes_by_the_same_export() -> None:
    truth = f_of_log(SECONDS, curves(160.0)[1])
    found = judged(written(on_change(160.0)))
    assert found.verdict == "pass", found.sentence
    assert found.probes[1].f0_min == pytest.approx(truth, rel=0.06)


def test_readings_stand_at_the_times_at_which_each_was_made() -> None:
    rows = on_change(200.0)
    log = read_log(written(rows), "export.csv")
    np.testing.assert_allclose(log.seconds, [t for t, _, _ in rows], atol=0.001)
    [core] = log.of_role(ColumnRole.CORE)
    own = [at for at, row in enumerate(rows) if row[1] == NAMES[1]]
    np.testing.assert_allclose(core.values[own], [float(rows[at][2]) for at in own])


def test_one_probes_readings_below_the_others_are_the_same_log() -> None:
    rows = on_change(200.0)
    log = read_log(written(rows), "export.csv")
    by_probe = read_log(written(sorted(rows, key=lambda row: (row[1], row[0]))), "export.csv")
    np.testing.assert_allclose(by_probe.seconds, log.seconds)
    [core], [again] = log.of_role(ColumnRole.CORE), by_probe.of_role(ColumnRole.CORE)
    np.testing.assert_allclose(again.values, core.values)


def is_hot(row: Row, least_c: float) -> bool:
    return row[1] == NAMES[1] and float(row[2]) >= least_c


@pytest.mark.parametrize("state", ["unavailable", "unknown", ""])
def test_a_probe_that_stops_while_hot_earns_nothing_afterwards(state: str) -> None:
    rows = on_change(200.0)
    stops = next(at for at, row in enumerate(rows) if is_hot(row, 112.0))
    until = rows[stops][0]
    left = [row for row in rows if row[1] == NAMES[0] or row[0] <= until]
    if state:
        left = sorted([*left, (until + 60.0, NAMES[1], state)])
    found = judged(written(left))
    assert found.verdict == "unjudged", found.sentence
    core = next(each for each in found.probes if each.name == NAMES[1])
    first = int(until // 60) + 1
    assert core.f0_min <= f_of_log(SECONDS[: first + 1], curves(200.0)[1][: first + 1]) + 0.1


@pytest.mark.parametrize("silent_min", [35.0, 90.0])
def test_a_probe_that_comes_back_as_hot_was_not_hot_in_between(silent_min: float) -> None:
    """A flat top: before and after the silence it reads the same to a step."""
    rows = [row for row in on_change(200.0) if row[1] == NAMES[0]]
    top = [(float(t), NAMES[1], f"{20 + t / 90:.1f}") for t in SECONDS[:140]]
    back = top[-1][0] + 60.0 * silent_min
    level = float(top[-1][2])
    after = [(back + 60.0 * n, NAMES[1], f"{level - 0.1 * (n % 2):.1f}") for n in range(1, 40)]
    found = judged(written(sorted([*rows, *top, *after])), c3="core")
    core = next(each for each in found.probes if each.name == NAMES[1])
    seen = f_of_log([t for t, _, _ in top], [float(v) for _, _, v in top])
    seen += f_of_log([t for t, _, _ in after], [float(v) for _, _, v in after])
    assert core.f0_min == pytest.approx(seen, rel=0.02)
    assert "cook.gap" in ids(found)


def test_a_word_for_no_reading_ends_what_is_held() -> None:
    rows = on_change(200.0)
    own = [row for row in rows if row[1] == NAMES[1]]
    silences = [(b[0] - a[0], a, b) for a, b in pairwise(own) if is_hot(a, 105)]
    longest, before, after = max(silences)
    assert 300.0 < longest < 1800.0
    whole = judged(written(rows))
    assert "log.held" in ids(whole)
    gone = sorted([*rows, (before[0] + 90.0, NAMES[1], "unavailable")])
    found = judged(written(gone))
    core, all_of_it = found.probes[1], whole.probes[1]
    lost = f_of_log([before[0], after[0]], [float(before[2]), float(after[2])])
    assert all_of_it.f0_min - core.f0_min > 0.8 * lost
    assert "log.unplugged" in ids(found)


def test_an_even_log_with_a_hole_is_not_held_across_it() -> None:
    """Written every minute to a hundredth: hardly a reading repeats, yet a hole is a hole."""
    chamber, core = curves(200.0)
    rng = np.random.default_rng(4)
    rows: list[Row] = []
    for name, curve, late in zip(NAMES, (chamber, core), (0.0, 20.0), strict=True):
        noisy = curve + rng.normal(0.0, 0.15, len(curve))
        rows += [
            (float(t) + late, name, f"{value:.2f}")
            for t, value in zip(SECONDS, noisy, strict=True)
            if name == NAMES[0] or not 10800.0 < t < 12000.0
        ]
    found = judged(written(sorted(rows)))
    assert "log.held" not in ids(found)
    assert "cook.gap" in ids(found)


def test_names_of_few_readings_are_left_out_and_said() -> None:
    rows = sorted([*on_change(130.0), (65.0, "sensor.porch", "11.5")])
    found = judged(written(rows))
    assert found.verdict == "fail"
    [said] = [each for each in found.findings if each.id == "log.too-few-of-a-name"]
    assert "sensor.porch" in said.sentence


def test_a_core_that_leaps_often_passes_nothing_whatever_is_said() -> None:
    chamber, core = curves(200.0)
    core = core.copy()
    core[60:190:20] += 14.0
    rows = zip(SECONDS / 60.0, chamber, core, strict=True)
    data = "\n".join(["min,a,b", *(f"{m:g},{a:.1f},{b:.1f}" for m, a, b in rows)]).encode()
    found = judged(data, c3="core")
    assert found.verdict == "unjudged"
    [said] = [each for each in found.findings if each.id == "log.many-spikes"]
    assert "7 of its 330 readings" in said.sentence
    assert "leaps away and back" in found.sentence
    core[100:190:20] -= 14.0
    rows = zip(SECONDS / 60.0, chamber, core, strict=True)
    data = "\n".join(["min,a,b", *(f"{m:g},{a:.1f},{b:.1f}" for m, a, b in rows)]).encode()
    assert judged(data, c3="core").verdict == "pass"


@pytest.mark.parametrize("hold_min", [130.0, 200.0])
def test_two_probes_in_one_column_are_said_to_be_two(hold_min: float) -> None:
    """The names were dropped from the export, or stand under a head that says nothing."""
    rows = on_change(hold_min)
    bare = [f"{(START + timedelta(seconds=t)).isoformat()},{state}" for t, _, state in rows]
    data = "\n".join(["last_changed,core", *bare]).encode()
    found = judged(data, c2="core")
    assert found.verdict == "unjudged", found.sentence
    assert "log.merged" in ids(found)
    named = [
        f"{(START + timedelta(seconds=t)).isoformat()},{name},{state}" for t, name, state in rows
    ]
    data = "\n".join(["last_changed,whose,core", *named]).encode()
    found = judged(data, c3="core")
    assert found.verdict == "unjudged", found.sentence
    assert "log.names-mixed" in ids(found)


def test_a_chamber_under_a_thermostat_is_one_probe() -> None:
    chamber, core = curves(200.0)
    swinging = chamber + 3.0 * np.sin(SECONDS / 120.0)
    rows = zip(SECONDS / 60.0, swinging, core, strict=True)
    data = "\n".join(["min,chamber,core", *(f"{m:g},{a:.1f},{b:.1f}" for m, a, b in rows)]).encode()
    assert "log.merged" not in ids(judged(data))
