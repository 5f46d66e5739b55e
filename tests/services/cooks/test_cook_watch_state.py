"""How a cook stands while it goes on: the sentence and the moments."""

from __future__ import annotations

from datetime import UTC, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pinset.errors import InputError
from pinset.science.judging.cook_moments import reached_s
from pinset.science.judging.records import Rule
from pinset.services.cooks.ahead.planning import plan_cook
from pinset.services.cooks.loads import Filling, LoadPlan
from pinset.services.cooks.watch.records import Stage, WatchReading
from pinset.services.cooks.watch.speech import Speech
from pinset.services.cooks.watch.state import together, watch_state
from services.cooks.watched_lines import (
    BEGAN,
    COOK,
    JAR,
    LOAD,
    RULE,
    Points,
    ids,
    line,
    state,
)


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


def test_a_hold_says_that_it_goes_by_the_bare_readings() -> None:
    hold = Rule(hold_c=90.0, hold_minutes=60.0)
    core: Points = [(0.0, 20.0), (60.0, 95.0), (400.0, 118.0)]
    found = state(80.0, COOK, core=core, rule=hold)
    assert "watch.bare-hold" in {each.id for each in found.findings}
    over = state(200.0, COOK, core=core, rule=hold)
    assert over.stage is Stage.ENOUGH
    assert "watch.bare-hold" not in {each.id for each in over.findings}
