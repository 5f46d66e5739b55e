"""What is said of readings of a watched cook that are doubtful, too few or far apart."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from pinset.science.heating.heated_unit import Conducting
from pinset.science.heating.heating import Material
from pinset.services.cooks.watch.records import Stage, Unsure, WatchErrors, WatchReading
from pinset.services.cooks.watch.state import watch_state
from services.cooks.watched_lines import (
    BEGAN,
    COOK,
    HERE,
    JAR,
    LOAD,
    RULE,
    Points,
    ids,
    line,
    state,
)

QUICK = replace(LOAD, altitude_m=0.0)
TOO_QUICK: Points = [(0.0, 20.0), (10.0, 22.0), (50.0, 121.0), (2000.0, 121.0)]


def test_a_probe_that_may_read_too_high_is_said() -> None:
    core: Points = [(0.0, 20.0), (60.0, 121.1), (74.0, 121.1)]
    found = state(74.0, COOK, core=core, load=JAR, errors=WatchErrors(core_k=2.0))
    assert found.stage is Stage.ENOUGH
    assert "cook.within-error" in ids(found)
    assert found.f0_low_min is not None
    assert found.f0_low_min < 15.0


@pytest.mark.parametrize(
    ("chamber", "core", "what"),
    [
        ([(0.0, -5.0), (30.0, 121.1), (2000.0, 121.1)], None, "chamber"),
        (
            [(0.0, 20.0), (38.0, 118.0), (40.0, -5.0), (42.0, 118.0), (2000.0, 121.1)],
            None,
            "chamber",
        ),
        (COOK, [(0.0, -2.0), (60.0, 30.0), (200.0, 121.0), (2000.0, 121.1)], "core"),
    ],
)
@pytest.mark.parametrize("until", [0.0, 40.0, 60.0])
def test_a_reading_below_freezing_stops_no_watch(
    chamber: Points, core: Points | None, what: str, until: float
) -> None:
    found = state(until, chamber, core=core)
    cold = [each for each in found.findings if each.id == "watch.freezing"]
    is_read = what == "core" or chamber[0][1] < 0 or until >= 40
    assert [each.record for each in cold] == ([what] if is_read else [])
    assert all("thaw a frozen load first" in each.hint for each in cold)


def test_a_core_that_is_read_no_more_is_said() -> None:
    core: Points = [(0.0, 20.0), (60.0, 100.0)]
    readings = [
        WatchReading(
            BEGAN + timedelta(minutes=minute),
            line(COOK, minute),
            None,
            line(core, minute) if minute <= 60 else None,
        )
        for minute in range(0, 91, 2)
    ]
    found = watch_state(LOAD, RULE, readings, readings[-1].at, speech=HERE)
    [said] = [each for each in found.findings if each.id == "watch.core-stopped"]
    assert said.sentence == "The core was not read for 30 min; it was at 100 °C then."
    earlier = watch_state(LOAD, RULE, readings[:32], readings[31].at, speech=HERE)
    assert "watch.core-stopped" not in ids(earlier)


def test_one_reading_of_a_core_ends_no_cook_and_is_said() -> None:
    core: Points = [(0.0, 20.0), (58.0, 80.0), (60.0, 159.0), (62.0, 82.0), (200.0, 90.0)]
    last, later = (state(until, COOK, core=core) for until in (60.0, 62.0))
    for found in (last, later):
        assert found.stage is Stage.HOLDING
        assert found.enough_since is None
        [said] = [each for each in found.findings if each.id == "watch.leap"]
        assert said.sentence == (
            "One reading of the core, 159 °C at 11:30, leaps away from the others and counts for "
            "nothing."
        )
        assert said.hint.startswith("Read it again") is (found is last)
    assert last.core_c == pytest.approx(80.0)


def test_a_core_hotter_than_its_chamber_ends_no_cook() -> None:
    core: Points = [(0.0, 20.0), (60.0, 128.1), (500.0, 128.1)]
    found = state(200.0, COOK, core=core)
    assert found.stage is Stage.DOUBTED
    assert found.enough_since is None
    assert found.left_min is None
    assert found.sentence.startswith("The core reads 128")
    [said] = [each for each in found.findings if each.id == "watch.hot-core"]
    assert "up to 7.0 K more than its chamber ever did" in said.sentence
    calm = state(200.0, COOK, core=[(0.0, 20.0), (60.0, 121.9), (500.0, 121.9)], load=JAR)
    assert calm.stage is Stage.ENOUGH
    assert "watch.hot-core" not in ids(calm)


def test_several_leaps_are_said_in_one_sentence() -> None:
    core = [20.0 + minute / 2.0 for minute in range(100)]
    core[40], core[70] = 150.0, 140.0
    readings = [
        WatchReading(BEGAN + timedelta(minutes=minute), line(COOK, minute), None, core[minute])
        for minute in range(100)
    ]
    found = watch_state(LOAD, RULE, readings, readings[-1].at, speech=HERE)
    [said] = [each for each in found.findings if each.id == "watch.leap"]
    assert said.sentence == (
        "Each of 2 readings of the core (the last, 140 °C at 11:40) leaps away and counts for "
        "nothing."
    )


def test_a_core_of_whose_chamber_nothing_is_read_promises_no_end() -> None:
    found = state(10.0, core=[(0.0, 115.0), (10.0, 116.0)])
    assert found.unsure is Unsure.ALONE
    assert found.end_at is None
    assert found.latest_at is not None
    assert "nothing was read of its chamber" in found.sentence
    assert " at the most" in found.sentence


def test_a_core_read_a_single_time_promises_no_end_and_starts_as_cold_as_it_was() -> None:
    minutes = range(0, 60, 2)
    rows = [WatchReading(BEGAN + timedelta(minutes=m), line(COOK, float(m))) for m in minutes]
    rows[0] = replace(rows[0], core_c=4.0)
    now = BEGAN + timedelta(minutes=58)
    once = watch_state(LOAD, RULE, rows, now, speech=HERE)
    never = watch_state(LOAD, RULE, [replace(rows[0], core_c=None), *rows[1:]], now, speech=HERE)
    assert once.unsure is Unsure.ONCE
    assert once.end_at is None
    assert once.inoculate_at is None
    assert "read a single time, at 4 °C, so it is reckoned; read it again" in once.sentence
    assert once.latest_at is not None
    assert never.end_at is not None
    assert once.latest_at > never.end_at, "the load is colder than was planned"


def test_a_core_quicker_than_its_load_can_be_makes_no_cook_enough() -> None:
    for until in (65.0, 120.0, 200.0):
        found = state(until, COOK, core=TOO_QUICK, step=5.0, load=QUICK)
        bare = state(until, COOK, step=5.0, load=QUICK)
        [said] = [each for each in found.findings if each.id == "watch.quick-core"]
        assert "It counts for nothing" in said.sentence
        assert found.enough_since is None
        assert found.core_by == "reckoned"
        assert found.stage is Stage.HOLDING
        assert found.end_at == bare.end_at


@pytest.mark.parametrize("conductivity", [0.15, 0.3, 0.6, 1.0])
@pytest.mark.parametrize("step", [1.0, 5.0, 10.0])
def test_a_core_as_quick_as_its_load_may_be_counts(conductivity: float, step: float) -> None:
    unit = Conducting(QUICK.shape, Material(conductivity, 2.2e6, 500.0))
    minutes = np.arange(0.0, 700.0)
    chamber = np.array([line(COOK, each) for each in minutes])
    core = list(zip(minutes, unit.core(60.0 * minutes, chamber, 20.0), strict=True))
    for until in (30.0, 60.0, 120.0, 400.0, 600.0):
        found = state(until, COOK, core=core, step=step, load=QUICK)
        assert "watch.quick-core" not in ids(found)
        assert found.core_by == "measured"


@pytest.mark.parametrize("step", [10.0, 15.0])
def test_between_readings_far_apart_the_colder_one_counts(step: float) -> None:
    cuts: Points = [(0.0, 20.0), (30.0, 121.1)]
    for begin in range(60, 400, 60):
        cuts += [(begin, 121.1), (begin + 1, 60.0), (begin + 29, 60.0), (begin + 30, 121.1)]
    cuts.append((2000.0, 121.1))
    close, far = (state(900.0, cuts, step=each) for each in (1.0, step))
    assert close.enough_since is not None
    assert far.enough_since is not None
    assert far.enough_since >= close.enough_since


@pytest.mark.parametrize("step", [10.0, 15.0])
def test_read_now_and_then_a_cook_takes_hardly_longer(step: float) -> None:
    close, far = (state(600.0, COOK, step=each) for each in (1.0, step))
    assert close.enough_since is not None
    assert far.enough_since is not None
    later = far.enough_since - close.enough_since
    assert timedelta(0) <= later <= timedelta(minutes=2 * step)


def test_a_core_that_stands_still_in_a_hot_chamber_counts_for_nothing() -> None:
    core: Points = [(0.0, 20.0), (20.0, 20.0), (80.0, 85.0), (170.0, 85.0)]
    chamber: Points = [(0.0, 20.0), (30.0, 121.1), (170.0, 121.1)]
    before = state(80.0, chamber, core=core)
    found = state(170.0, chamber, core=core)
    assert "watch.stuck-core" not in ids(before)
    [stuck] = [each for each in found.findings if each.id == "watch.stuck-core"]
    assert stuck.sentence.startswith("The core stands at 85.0 °C for 90 min while the chamber is")
    assert "stuck or not in the load" in stuck.sentence
    assert found.core_by == "reckoned"


def test_enough_by_a_core_that_begins_above_the_chamber_is_said_with_its_doubt() -> None:
    chamber: Points = [(0.0, 20.0), (10.0, 20.0), (40.0, 121.1), (200.0, 121.1)]
    core: Points = [(0.0, 25.0), (25.0, 25.0), (110.0, 115.0), (160.0, 120.0), (400.0, 121.0)]
    found = state(150.0, chamber, core=core)
    assert ", if its probe does not read too high: F0 17." in found.sentence
    [high] = [each for each in found.findings if each.id == "watch.reads-high"]
    assert "begins 5.0 K above every other probe while all are at rest" in high.sentence
    later = state(200.0, chamber, core=core)
    assert "watch.reads-high" not in ids(later), "lowered by so much it has enough too"
    even: Points = [(0.0, 20.0), *core[1:]]
    assert "watch.reads-high" not in ids(state(150.0, chamber, core=[(0.0, 20.0), *even[2:]]))


def test_enough_in_a_chamber_above_its_steam_is_said_with_its_doubt() -> None:
    chamber: Points = [(0.0, 20.0), (30.0, 125.0), (200.0, 125.0)]
    gauge: Points = [(0.0, 0.0), (30.0, 1.05), (200.0, 1.05)]
    core: Points = [(0.0, 20.0), (20.0, 20.0), (110.0, 118.0), (200.0, 123.5)]
    found = state(150.0, chamber, gauge=gauge, core=core)
    [high] = [each for each in found.findings if each.id == "watch.reads-high"]
    assert "above the steam of its gauge through the hold" in high.sentence
    assert "watch.reads-high" not in ids(state(200.0, chamber, gauge=gauge, core=core))
