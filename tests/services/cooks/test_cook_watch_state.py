"""How a cook stands while it goes on: the sentence, the moments, what is warned of."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pinset.errors import InputError
from pinset.science.heating.heated_unit import Conducting
from pinset.science.heating.heating import Material
from pinset.science.judging.cook_moments import reached_s
from pinset.science.judging.records import Rule
from pinset.services.cooks.ahead.planning import plan_cook
from pinset.services.cooks.loads import Filling, Heat, LoadPlan
from pinset.services.cooks.watch.records import CookNow, Stage, Unsure, WatchErrors, WatchReading
from pinset.services.cooks.watch.speech import Speech
from pinset.services.cooks.watch.state import together, watch_state

BEGAN = datetime(2026, 3, 12, 9, 30, tzinfo=UTC)
LOAD = LoadPlan(rating_bar=1.4, altitude_m=300.0)
JAR = replace(LOAD, mass_kg=0.2, diameter_cm=6.0, height_cm=10.0)
"""Small enough for a core that comes minutes behind its chamber."""
RULE = Rule(f0=15.0)
HERE = Speech("metric", "Europe/Berlin")
Points = list[tuple[float, float]]


def line(points: Points, minute: float) -> float:
    """Return a value on the straight lines between points."""
    for (begin, low), (end, high) in pairwise(points):
        if begin <= minute <= end:
            return low + (high - low) * (minute - begin) / (end - begin)
    return points[-1][1]


COOK: Points = [(0.0, 20.0), (30.0, 121.1), (2000.0, 121.1)]


def state(
    until: float,
    chamber: Points | None = None,
    *,
    core: Points | None = None,
    gauge: Points | None = None,
    step: float = 2.0,
    later_min: float = 0.0,
    load: LoadPlan = LOAD,
    rule: Rule = RULE,
    **more: object,
) -> CookNow:
    """Return a cook read every so many minutes along these lines."""
    readings = []
    for number in range(int(until / step) + 1):
        minute = number * step
        readings.append(
            WatchReading(
                BEGAN + timedelta(minutes=minute),
                None if chamber is None else line(chamber, minute),
                None if gauge is None else line(gauge, minute),
                None if core is None else line(core, minute),
            )
        )
    now = readings[-1].at + timedelta(minutes=later_min)
    return watch_state(load, rule, readings, now, speech=HERE, **more)  # type: ignore[arg-type]


def ids(found: CookNow) -> set[str]:
    return {each.id for each in found.findings}


def test_a_cook_that_holds_ends_when_its_plan_said() -> None:
    plan = plan_cook(LOAD, RULE)
    assert plan.ruling.hold_min is not None
    end = BEGAN + timedelta(minutes=30.0 + plan.ruling.hold_min)
    for until in (40.0, 100.0, 300.0):
        found = state(until, COOK)
        assert found.stage is Stage.HOLDING
        assert found.end_at is not None
        assert abs(found.end_at - end) < timedelta(minutes=1)
        assert found.sentence.startswith("Hold another ")
        assert found.sentence.endswith(" at 121.1 °C: until 16:31.")
        assert found.core_by == "reckoned"
        assert found.core_c is not None
        assert found.core_quick_c is not None
        assert found.core_c < found.core_quick_c
        assert found.left_quick_min is not None
        assert found.left_min is not None
        assert found.left_quick_min < found.left_min


def test_while_it_comes_up_it_says_from_when_to_hold() -> None:
    found = state(14.0, COOK)
    assert found.stage is Stage.COMING_UP
    assert found.left_min is None
    assert found.sentence.startswith("Coming up, 67.2 °C now. Hold 5 h 31 min from when it is at ")
    assert found.sentence.endswith("until 16:31, if that is at 11:00.")


def test_it_is_enough_since_a_moment_and_that_moment_stays() -> None:
    core: Points = [(0.0, 20.0), (60.0, 121.1), (500.0, 121.1)]
    first, later = (state(until, COOK, core=core, load=JAR) for until in (80.0, 200.0))
    for found in (first, later):
        assert found.stage is Stage.ENOUGH
        assert found.core_by == "measured"
        assert found.left_min == 0.0
        assert found.enough_since is not None
        assert "in the core" in found.sentence
    assert first.enough_since is not None
    assert later.enough_since is not None
    assert abs(first.enough_since - later.enough_since) < timedelta(seconds=5)
    assert first.enough_since.astimezone(UTC).strftime("%H:%M") in {"10:42", "10:43", "10:44"}


def test_after_a_cut_it_keeps_what_it_has_and_gets_a_new_hold() -> None:
    cut: Points = [(0.0, 20.0), (30.0, 121.1), (280.0, 121.1), (300.0, 80.0)]
    before, found = state(280.0, COOK), state(300.0, cut)
    assert found.stage is Stage.INTERRUPTED
    assert found.f0_min is not None
    assert before.f0_min is not None
    assert found.f0_min >= before.f0_min
    assert found.left_min is None
    assert found.again_min is not None
    assert before.left_min is not None
    assert found.again_min > 0.0
    assert "watch.fallen" in ids(found)
    assert "It keeps what it has: F0 " in found.sentence
    assert "Bring it back to 121.1 °C and hold " in found.sentence
    assert found.end_at is not None
    assert before.end_at is not None
    assert found.end_at > before.end_at


def test_readings_that_stopped_earn_nothing() -> None:
    fresh, stale = state(100.0, COOK), state(100.0, COOK, later_min=240.0)
    assert "watch.stopped" not in ids(fresh)
    assert "watch.stopped" in ids(stale)
    assert fresh.left_min is not None
    assert stale.left_min is not None
    assert stale.left_min == pytest.approx(fresh.left_min - 5.0, abs=0.01)
    [said] = [each for each in stale.findings if each.id == "watch.stopped"]
    assert said.sentence == "No reading for 4 h: the last is of 12:10."


def test_time_that_should_be_enough_is_not_called_enough_without_a_reading() -> None:
    end = state(300.0, COOK).end_at
    assert end is not None
    until = (end - BEGAN) / timedelta(minutes=1) - 3.0
    found = state(until, COOK, step=until / 100.0, later_min=4.0)
    assert found.stage is Stage.UNREAD
    assert "read it once more" in found.sentence
    assert found.enough_since is None


def test_no_warning_of_readings_once_it_is_over() -> None:
    gauge: Points = [(0.0, 0.0), (30.0, 1.39), (100.0, 1.39)]
    found = state(100.0, COOK, gauge=gauge, later_min=240.0, is_over=True)
    assert not ids(found) & {"watch.stopped", "watch.near-plate", "watch.fallen"}
    assert found.sentence == (
        "Ended before it was enough, by reckoning in the cautious case: F0 0.0 min in the core; "
        "F0 15 min asked for."
    )


def test_air_left_in_is_said_with_what_steam_should_be_here() -> None:
    held: Points = [(0.0, 20.0), (30.0, 114.9), (60.0, 114.9)]
    gauge: Points = [(0.0, 0.0), (30.0, 1.03), (60.0, 1.03)]
    found = state(60.0, held, gauge=gauge)
    [air] = [each for each in found.findings if each.id == "cook.air"]
    assert air.severity == "warning"
    assert air.sentence.startswith("At 1.03 bar gauge here steam should be 12")
    assert "the probe reads 114.9 °C: about 1" in air.sentence
    rising = state(28.0, held, gauge=[(0.0, 0.0), (30.0, 1.03)])
    assert [each.severity for each in rising.findings if each.id == "cook.air"] == ["note"]


def test_a_gauge_alone_is_said_to_be_taken_as_steam_only() -> None:
    found = state(60.0, gauge=[(0.0, 0.0), (30.0, 1.05), (60.0, 1.05)])
    assert found.chamber_by == "gauge"
    assert "watch.gauge-only" in ids(found)
    assert found.chamber_c == found.steam_c


@pytest.mark.parametrize(
    ("bar", "code", "severity"),
    [(1.2, "", ""), (1.35, "watch.near-plate", "warning"), (1.45, "watch.above-plate", "wrong")],
)
def test_pressure_at_the_plate_is_said_first(bar: float, code: str, severity: str) -> None:
    found = state(40.0, gauge=[(0.0, 0.0), (30.0, bar), (40.0, bar)])
    first = found.findings[0]
    if code:
        assert (first.id, first.severity) == (code, severity)
        assert "the plate's 1.4 bar" in first.sentence
    else:
        assert not any("plate" in each.id for each in found.findings)


def test_a_chamber_too_hot_for_its_plate_is_said_without_a_gauge() -> None:
    found = state(60.0, [(0.0, 20.0), (30.0, 128.0), (60.0, 128.0)])
    assert found.findings[0].id == "watch.above-plate"
    assert "above the air outside" in found.findings[0].sentence


def test_pressure_in_an_open_steamer_is_wrong() -> None:
    load = replace(LOAD, heat=Heat.OPEN_STEAM, rating_bar=0.0)
    rule = Rule(hold_c=70.0, hold_minutes=120.0)
    found = state(60.0, [(0.0, 20.0), (60.0, 99.0)], gauge=[(0.0, 0.0), (60.0, 0.2)],
                  load=load, rule=rule)  # fmt: skip
    assert found.findings[0].id == "watch.pressure-in-open-vessel"
    assert "sealed-vessel" in found.cautions


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


def test_air_that_comes_in_while_it_cools_is_no_warning() -> None:
    cook: Points = [(0.0, 20.0), (30.0, 121.1), (90.0, 121.1), (100.0, 90.0)]
    core: Points = [(0.0, 20.0), (60.0, 121.1), (100.0, 121.1)]
    gauge: Points = [(0.0, 0.0), (30.0, 1.09), (90.0, 1.09), (100.0, 0.0)]
    found = state(100.0, cook, core=core, gauge=gauge, load=JAR)
    assert found.stage is Stage.ENOUGH
    assert "cook.air" not in ids(found)


def test_liquids_may_be_opened_below_80_degrees() -> None:
    jar = LoadPlan(rating_bar=1.4, filling=Filling.AGAR, moisture=0.97, mass_kg=0.5,
                   diameter_cm=8.0, height_cm=10.0)  # fmt: skip
    found = state(60.0, COOK, load=jar)
    assert found.open_at is not None
    assert found.end_at is not None
    assert found.inoculate_at is not None
    assert found.end_at < found.open_at < found.inoculate_at
    assert state(60.0, COOK).open_at is None


def test_a_core_that_has_cooled_may_be_inoculated_now() -> None:
    cook: Points = [(0.0, 20.0), (30.0, 121.1), (100.0, 121.1), (200.0, 25.0), (600.0, 25.0)]
    core: Points = [(0.0, 20.0), (60.0, 121.1), (100.0, 121.1), (300.0, 28.0), (600.0, 28.0)]
    found = state(400.0, cook, core=core, load=JAR)
    assert found.stage is Stage.ENOUGH
    assert found.inoculate_at == found.last_at


def test_fahrenheit_farms_read_fahrenheit() -> None:
    readings = [WatchReading(BEGAN + timedelta(minutes=m), 121.1) for m in range(0, 60, 2)]
    found = watch_state(LOAD, RULE, readings, readings[-1].at, speech=Speech("us", "UTC"))
    assert "at 250 °F: until" in found.sentence


def test_before_the_first_reading_the_plan_is_shown() -> None:
    found = watch_state(LOAD, RULE, [], BEGAN)
    assert found.stage is Stage.WAITING
    assert found.sentence.startswith("No reading yet. Planned: Hold 5 h")
    assert "pressure" in found.cautions


def test_readings_of_one_moment_are_put_together() -> None:
    both = together([WatchReading(BEGAN, chamber_c=100.0), WatchReading(BEGAN, gauge_bar=0.5)])
    assert both == [WatchReading(BEGAN, 100.0, 0.5)]


def test_a_rule_that_no_chamber_of_this_load_reaches_is_refused() -> None:
    with pytest.raises(InputError, match="chamber"):
        watch_state(LOAD, Rule(hold_c=130.0, hold_minutes=10.0), [], BEGAN)


def test_above_the_plate_heat_goes_off_and_no_hold_is_offered() -> None:
    load = replace(LOAD, rating_bar=1.5)
    gauge: Points = [(0.0, 0.0), (30.0, 1.9), (60.0, 1.9)]
    found = state(60.0, gauge=gauge, load=load, errors=WatchErrors(gauge_kpa=2.0))
    assert found.stage is Stage.TOO_MUCH
    assert found.sentence == (
        "Heat off now: the gauge shows 1.9 bar, and the plate allows 1.5 bar."
    )
    offered = (found.left_min, found.left_quick_min, found.again_min, found.again_quick_min)
    assert offered == (None,) * 4
    assert (found.end_at, found.open_at, found.inoculate_at) == (None, None, None)
    assert found.findings[0].id == "watch.above-plate"
    assert "pressure" in found.cautions


def test_above_the_plate_within_the_gauges_error_asks_for_less_heat() -> None:
    load = replace(LOAD, rating_bar=1.1)
    gauge: Points = [(0.0, 0.0), (30.0, 1.11), (60.0, 1.11)]
    found = state(60.0, gauge=gauge, load=load, errors=WatchErrors(gauge_kpa=2.0))
    assert found.stage is Stage.HOLDING
    [said] = [each for each in found.findings if each.id == "watch.near-plate"]
    assert said.hint == "Turn the heat down now, until it is below."
    assert state(60.0, gauge=gauge, load=load).stage is Stage.TOO_MUCH


def test_pressure_in_an_open_steamer_is_the_headline() -> None:
    load = replace(LOAD, heat=Heat.OPEN_STEAM, rating_bar=0.0)
    rule = Rule(hold_c=70.0, hold_minutes=120.0)
    found = state(60.0, [(0.0, 20.0), (60.0, 99.0)], gauge=[(0.0, 0.0), (60.0, 0.2)],
                  load=load, rule=rule)  # fmt: skip
    assert found.sentence.startswith("Heat off now: the gauge shows 0.2")


def test_once_it_is_enough_heat_off_is_still_said_first() -> None:
    core: Points = [(0.0, 20.0), (60.0, 121.1), (500.0, 121.1)]
    gauge: Points = [(0.0, 0.0), (100.0, 1.09), (120.0, 1.8)]
    found = state(120.0, COOK, core=core, gauge=gauge, load=JAR)
    assert found.sentence.startswith("Heat off now: ")
    assert " The core has enough since " in found.sentence
    over = state(120.0, COOK, core=core, gauge=gauge, load=JAR, is_over=True)
    assert over.sentence.startswith("Enough since ")


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


@given(st.floats(40.0, 110.0), st.floats(0.3, 7.0))
@settings(max_examples=25, deadline=None)
def test_enough_is_said_in_whole_minutes_never_before_the_verdict(hot: float, step: float) -> None:
    core: Points = [(0.0, 20.0), (hot, 121.1), (500.0, 121.1)]
    found = state(hot + 40.0, COOK, core=core, step=step, load=JAR)
    assert found.enough_since is not None
    assert (found.enough_since.second, found.enough_since.microsecond) == (0, 0)
    seconds = np.arange(int((hot + 40.0) / step) + 1) * step * 60.0
    read = np.array([line(core, each / 60.0) for each in seconds])
    judged = reached_s(seconds.astype(np.float64), read, RULE)
    assert judged is not None
    late = (found.enough_since - BEGAN).total_seconds() - judged
    assert -1e-3 <= late < 60.0


def test_a_gauge_that_leaps_still_counts_as_pressure() -> None:
    above: Points = [(0.0, 0.0), (30.0, 1.05), (58.0, 1.05), (60.0, 1.9)]
    found = state(60.0, COOK, gauge=above)
    assert found.stage is Stage.TOO_MUCH
    assert "watch.leap" not in ids(found), "beside too much pressure nothing belittles the gauge"
    held: Points = [(0.0, 0.0), (30.0, 0.2), (56.0, 0.2), (58.0, 1.2), (60.0, 0.2)]
    below = state(60.0, COOK, gauge=held)
    [said] = [each for each in below.findings if each.id == "watch.leap"]
    assert said.sentence.endswith("is not taken for the chamber's steam; as pressure it counts.")


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


def test_a_hold_says_that_it_goes_by_the_bare_readings() -> None:
    hold = Rule(hold_c=90.0, hold_minutes=60.0)
    core: Points = [(0.0, 20.0), (60.0, 95.0), (400.0, 95.0)]
    found = state(80.0, COOK, core=core, rule=hold)
    assert "watch.bare-hold" in {each.id for each in found.findings}
    over = state(200.0, COOK, core=core, rule=hold)
    assert over.stage is Stage.ENOUGH
    assert "watch.bare-hold" not in {each.id for each in over.findings}


QUICK = replace(LOAD, altitude_m=0.0)
TOO_QUICK: Points = [(0.0, 20.0), (10.0, 22.0), (50.0, 121.0), (2000.0, 121.0)]


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
