"""A cook while it goes on: what it earned stays, what is missing is reckoned from where it is."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pinset.errors import InputError
from pinset.science.heating.heated_unit import Conducting
from pinset.science.heating.heating import Cylinder, Material
from pinset.science.heating.holding import ChamberPlan, hold_at, hold_for, under
from pinset.science.judging.judging import judge
from pinset.science.judging.records import Probe, Role, Rule, Verdict
from pinset.science.lethality.lethality import f_of_log
from pinset.science.steam.gauge import atmosphere
from pinset.science.watching.going_on import WatchedLoad
from pinset.science.watching.watching import Watching, watch

BAG = Cylinder(0.075, 0.2)
HEAT = 2.0e6
CASES = (("cautious", 0.3), ("middle", 0.6), ("quick", 1.0))


def bag(conductivity: float) -> Conducting:
    return Conducting(BAG, Material(conductivity, HEAT, 500.0))


LOAD = WatchedLoad(
    cases=tuple((name, bag(conductivity)) for name, conductivity in CASES),
    start_c=20.0,
    wanted_c=121.1,
    come_up_s=1800.0,
    atmosphere_kpa=101.325,
)
PLAN = ChamberPlan(20.0, 121.1, ((30.0, 121.1),))
F0 = Rule(f0=15.0)
HOLD = Rule(hold_c=115.0, hold_minutes=30.0)
BOTH = Rule(f0=15.0, hold_c=118.0, hold_minutes=40.0)
NAN = float("nan")
LIKELY_MIN = 4.0  # by which the likeliest end may be off
LATEST_SHARE = 0.5  # of what is left, by which the latest may lie behind the true end


def seen(
    minutes: np.ndarray,
    chamber_c: np.ndarray,
    rule: Rule = F0,
    *,
    core_c: np.ndarray | None = None,
    kpa: np.ndarray | None = None,
    load: WatchedLoad = LOAD,
) -> Watching:
    """Return a cook that is watched by these readings."""
    nothing = np.full(len(minutes), NAN)
    return watch(
        60.0 * minutes,
        chamber_c,
        nothing if kpa is None else kpa,
        nothing if core_c is None else core_c,
        load,
        rule,
    )


def planned(rule: Rule, conductivity: float) -> float:
    """Return the minutes from the start to the end of the hold as a plan has it."""
    unit = bag(conductivity)
    holds = []
    if rule.f0 is not None:
        holds.append(hold_for(unit, PLAN, rule.f0, count_cooling=False).hold_s)
    if rule.hold_c is not None and rule.hold_minutes is not None:
        holds.append(hold_at(unit, PLAN, rule.hold_c, rule.hold_minutes).hold_s)
    return 30.0 + max(holds) / 60.0


def true_core(minutes: np.ndarray, conductivity: float, hold_min: float = 900.0) -> np.ndarray:
    held = under(bag(conductivity), PLAN, 60.0 * hold_min)
    return np.interp(60.0 * minutes, held.seconds, held.core_c)


@pytest.mark.parametrize("rule", [F0, HOLD, BOTH])
@pytest.mark.parametrize("until", [31.0, 44.5, 90.0, 170.0])
def test_a_planned_cook_ends_as_planned(rule: Rule, until: float) -> None:
    minutes = np.arange(0.0, until + 0.1, 0.5)
    found = seen(minutes, np.interp(minutes, [0.0, 30.0], [20.0, 121.1]), rule)
    for (name, conductivity), core in zip(CASES, found.cores, strict=True):
        end = planned(rule, conductivity)
        assert core.name == name
        if core.earned.reached_s is not None:
            assert core.earned.reached_s / 60.0 == pytest.approx(end, abs=1.0)
        else:
            assert core.rest_s is not None
            assert until + core.rest_s / 60.0 == pytest.approx(end, abs=1.0)


@pytest.mark.parametrize("rule", [F0, HOLD, BOTH])
@pytest.mark.parametrize(("until", "conductivity"), [(95.0, 0.6), (120.0, 0.45), (200.0, 0.3)])
def test_a_measured_core_tells_how_fast_it_heats(
    rule: Rule, until: float, conductivity: float
) -> None:
    minutes = np.arange(0.0, until + 0.1, 1.0)
    chamber = np.interp(minutes, [0.0, 30.0], [20.0, 121.1])
    found = seen(minutes, chamber, rule, core_c=true_core(minutes, conductivity))
    [core] = found.cores
    assert found.is_measured
    assert core.rest_s is not None
    assert core.likely_rest_s is not None
    end = planned(rule, conductivity)
    assert until + core.likely_rest_s / 60.0 == pytest.approx(end, abs=LIKELY_MIN)
    assert -1.0 < until + core.rest_s / 60.0 - end < LATEST_SHARE * (end - until) + LIKELY_MIN


@pytest.mark.parametrize("until", [2.0, 10.0, 29.0])
def test_while_it_comes_up_the_hold_is_said_from_when_it_is_hot(until: float) -> None:
    minutes = np.arange(0.0, until + 0.1, 0.5)
    found = seen(minutes, np.interp(minutes, [0.0, 30.0], [20.0, 121.1]))
    core = found.cores[0]
    assert core.again_s is not None
    assert until + core.heat_up_s / 60.0 == pytest.approx(30.0, abs=0.01)
    assert core.again_s / 60.0 == pytest.approx(planned(F0, 0.3) - 30.0, abs=1.0)


legs = st.lists(st.tuples(st.floats(20.0, 60.0), st.floats(15.0, 125.0)), min_size=2, max_size=8)


@given(legs)
@settings(max_examples=15, deadline=None)
def test_what_was_earned_never_shrinks(steps: list[tuple[float, float]]) -> None:
    """No leg is so steep that a reading on it leaps; those that leap are withdrawn."""
    ends = np.cumsum([lasts for lasts, _ in steps])
    minutes = np.arange(ends[0], ends[-1], 1.0)
    chamber = np.interp(minutes, ends, [celsius for _, celsius in steps])
    for is_measured in (False, True):
        before = 0.0
        for count in range(1, len(minutes) + 1, 61 if is_measured else 13):
            core_c = chamber[:count] - 3.0 if is_measured else None
            found = seen(minutes[:count], chamber[:count], core_c=core_c)
            assert found.leaps == ()
            assert found.hot_core is None
            now = found.cores[0].earned.f0
            assert now >= before - 1e-9
            if not is_measured or found.is_measured:
                before = now


@given(
    st.floats(35.0, 340.0),
    st.floats(2.0, 90.0),
    st.floats(30.0, 115.0),
    st.sampled_from([F0, HOLD]),
)
@settings(max_examples=60, deadline=None)
def test_an_interruption_never_shortens_the_time(
    at: float, lasts: float, down_to: float, rule: Rule
) -> None:
    minutes = np.arange(0.0, at + lasts + 12.0, 1.0)
    smooth = np.interp(minutes, [0.0, 30.0], [20.0, 121.1])
    dip = np.interp(
        minutes,
        [0.0, 30.0, at, at + lasts / 2, at + lasts, at + lasts + 5.0],
        [20.0, 121.1, 121.1, down_to, down_to, 121.1],
    )
    for whole, broken in zip(seen(minutes, smooth, rule).cores, seen(minutes, dip, rule).cores,
                             strict=True):  # fmt: skip
        assert broken.earned.f0 <= whole.earned.f0 + 1e-9
        if broken.earned.reached_s is not None:
            assert whole.earned.reached_s is not None
            assert broken.earned.reached_s >= whole.earned.reached_s - 1e-6
            continue
        assert broken.rest_s is not None
        assert broken.earned.f0 >= 0.0
        if whole.earned.reached_s is None:
            assert whole.rest_s is not None
            assert broken.rest_s >= whole.rest_s - 1e-6


def test_a_cook_that_was_interrupted_keeps_what_it_earned_and_gets_a_new_hold() -> None:
    minutes = np.arange(0.0, 401.0, 1.0)
    chamber = np.interp(minutes, [0.0, 30.0, 260.0, 270.0, 400.0], [20.0, 121.1, 121.1, 95.0, 90.0])
    before, after = (seen(minutes[:n], chamber[:n]).cores[0] for n in (261, 401))
    assert after.earned.f0 > before.earned.f0 > 0.1
    assert after.earned.reached_s is None
    assert after.rest_s is None, "at 90 degC F0 15 does not come within two days"
    assert after.again_s is not None
    assert 0.0 < after.again_s < planned(F0, 0.3) * 60.0


@given(
    st.floats(40.0, 400.0), st.floats(0.3, 1.0), st.sampled_from([F0, HOLD, BOTH]), st.floats(1, 6)
)
@settings(max_examples=40, deadline=None)
def test_the_verdict_afterwards_agrees(
    until: float, conductivity: float, rule: Rule, step: float
) -> None:
    minutes = np.arange(0.0, until, step)
    chamber = np.interp(minutes, [0.0, 30.0], [20.0, 121.1])
    core_c = true_core(minutes, conductivity)
    core = seen(minutes, chamber, rule, core_c=core_c).cores[0]
    probes = [Probe("core", Role.CORE, core_c), Probe("chamber", Role.CHAMBER, chamber)]
    judged = judge(60.0 * minutes, probes, rule)
    assert (core.earned.reached_s is not None) is (judged.verdict is Verdict.PASS)


def test_a_gap_passes_nothing_here_nor_afterwards() -> None:
    minutes = np.concatenate((np.arange(0.0, 100.0, 1.0), np.arange(160.0, 172.0, 1.0)))
    core_c = 121.1 - 101.0 * np.exp(-minutes / 30.0)
    found = seen(minutes, np.full(len(minutes), 121.1), core_c=core_c)
    core = found.cores[0]
    earned = 10.0 ** ((core_c - 121.1) / 10.0)  # F0 a minute, by the trapezium between readings
    steps = (earned[1:] + earned[:-1]) / 2.0 * np.diff(minutes)
    counted = float(steps[np.diff(minutes) < 2.0].sum())
    assert core.earned.f0 > 50.0
    assert core.earned.reached_s is not None, "some minutes before and eleven after the gap"
    assert core.earned.f0_counted == pytest.approx(counted, abs=0.5)
    assert 15.0 < counted < 20.0
    shorter = seen(minutes[:105], np.full(105, 121.1), core_c=core_c[:105])
    judged = judge(60.0 * minutes[:105], [Probe("core", Role.CORE, core_c[:105])], F0)
    assert judged.verdict is Verdict.UNJUDGED
    assert shorter.cores[0].earned.reached_s is None
    assert shorter.gap_s == pytest.approx(3660.0)


def test_in_a_gap_the_chamber_is_taken_as_cold_as_its_colder_end() -> None:
    minutes = np.array([0.0, 10.0, 20.0, 30.0, 90.0, 100.0])
    found = seen(minutes, np.array([20.0, 50.0, 90.0, 121.0, 100.0, 121.0]))
    assert found.chamber is not None
    between = (found.chamber.seconds > 1800.0) & (found.chamber.seconds < 5400.0)
    assert set(found.chamber.celsius[between]) == {100.0}
    assert found.chamber.is_blind.sum() == 60


def test_a_gauge_alone_stands_for_saturated_steam_and_says_so() -> None:
    minutes = np.arange(0.0, 31.0, 5.0)
    kpa = np.full(len(minutes), 100.0)
    found = seen(minutes, np.full(len(minutes), NAN), kpa=kpa)
    assert found.chamber is not None
    assert found.chamber.is_by_gauge
    # IAPWS-IF97 (2007 revision), Table 36: 0.1 MPa, 372.755918611 K
    assert found.chamber.now_c == pytest.approx(99.6059, abs=0.001)
    assert found.steam is None


def test_a_gauge_does_not_speak_for_a_probe_that_was_read_just_before() -> None:
    found = seen(
        np.array([0.0, 5.0, 10.0]),
        np.array([110.0, NAN, NAN]),
        kpa=np.array([204.75, 204.75, 204.75]),
    )
    assert found.chamber is not None
    assert found.chamber.now_c == 110.0
    assert not found.chamber.was_by_gauge


def test_air_left_in_shows_at_once() -> None:
    # The iapws package 1.5: steam of 114.9 degC has 168.63 kPa, which is 88 % of 192 kPa.
    found = seen(
        np.array([40.0]), np.array([114.9]), kpa=np.array([192.0]),
    )  # fmt: skip
    assert found.steam is not None
    assert [each.id for each in found.steam.findings] == ["cook.air"]
    assert found.steam.air == pytest.approx(0.12, abs=0.01)


def test_air_of_an_hour_ago_is_not_said_of_now() -> None:
    minutes = np.array([40.0, 100.0, 110.0])
    found = seen(minutes, np.array([114.9, 119.0, 119.0]), kpa=np.array([192.0, NAN, NAN]))
    assert found.steam is None


def test_superheat_shows_and_counts_as_the_steam_it_can_be_at_most() -> None:
    found = seen(np.array([40.0, 45.0]), np.array([106.0, 106.0]), kpa=np.array([100.0, 100.0]))
    assert found.steam is not None
    assert [each.id for each in found.steam.findings] == ["cook.superheated"]
    assert found.chamber is not None
    assert found.chamber.now_c == pytest.approx(99.6059, abs=0.001)


def test_a_core_without_a_chamber_goes_on_as_it_is() -> None:
    minutes = np.arange(0.0, 6.0, 1.0)
    found = seen(minutes, np.full(6, NAN), core_c=np.full(6, 121.1))
    [core] = found.cores
    assert core.earned.f0 == pytest.approx(5.0)
    assert core.rest_s == pytest.approx(600.0)
    assert core.earned.f0 == pytest.approx(f_of_log(60.0 * minutes, np.full(6, 121.1)))


def test_one_reading_is_a_beginning() -> None:
    found = seen(np.array([0.0]), np.array([25.0]))
    assert [core.earned.f0 for core in found.cores] == [0.0, 0.0, 0.0]
    assert [core.now_c for core in found.cores] == [20.0, 20.0, 20.0]
    waits = [core.again_s for core in found.cores]
    assert all(wait is not None for wait in waits)
    assert all(slow > quick for slow, quick in pairwise(w for w in waits if w is not None))


def test_a_cook_by_gauge_only_at_altitude_is_cooler() -> None:
    low, high = (
        seen(
            np.array([0.0, 10.0]),
            np.full(2, NAN),
            kpa=np.full(2, 103.4 + float(atmosphere(metres))),
        )
        for metres in (0.0, 2000.0)
    )
    assert low.chamber is not None
    assert high.chamber is not None
    # 15 psi: 121.1 degC at sea level, 117.4 degC at 2,000 m (IAPWS-IF97, ISO 2533)
    assert low.chamber.now_c == pytest.approx(121.0, abs=0.15)
    assert high.chamber.now_c == pytest.approx(117.4, abs=0.15)


@pytest.mark.parametrize(
    ("minutes", "words"), [([], "one or more times"), ([5.0, 5.0], "later than the one before")]
)
def test_what_is_no_log_is_refused(minutes: list[float], words: str) -> None:
    with pytest.raises(InputError, match=words):
        seen(np.array(minutes), np.full(len(minutes), 100.0))


@pytest.mark.parametrize(("step", "is_sparse"), [(5.0, False), (10.0, False), (15.0, True)])
def test_readings_too_far_apart_count_for_nothing_as_when_the_cook_is_judged(
    step: float, *, is_sparse: bool
) -> None:
    minutes = np.arange(0.0, 331.0, step)
    chamber = np.interp(minutes, [0.0, 30.0, 900.0], [20.0, 121.1, 121.1])
    found = seen(minutes, chamber, F0, core_c=true_core(minutes, 0.6))
    assert (found.sparse_s > 0.0) is is_sparse
    assert (found.cores[0].earned.reached_s is None) is is_sparse
    assert (found.cores[0].earned.f0_counted == 0.0) is is_sparse
