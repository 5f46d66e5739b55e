"""Alarms on drawn farms: rare on quiet ones, soon on those where something rose."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np

from learning.losses.drawn_farm import EXPECTED, SHOWING, START, Drawn, drawn_farm
from pinset.chain.histories import Shared
from pinset.learning.losses.alarms import FALSE_A_YEAR, Alarm, alarms
from pinset.learning.losses.alarms_going import STAGE
from pinset.learning.losses.told import told


def seeded(seed: int) -> np.random.Generator:
    return np.random.Generator(np.random.PCG64(seed))


def raised_alarms(farm: Drawn, day: float = 170.0) -> tuple[Alarm, ...]:
    data = told(farm.lots, SHOWING, EXPECTED)
    return alarms(data, EXPECTED, START + timedelta(days=day))


def test_quiet_farms_alarm_as_seldom_as_is_said() -> None:
    farms, found = 8, 0
    for seed in range(farms):
        found += len(raised_alarms(drawn_farm(seeded(200 + seed), quiet_sd=0.1)))
    a_year = found / farms * 365.0 / 150.0
    assert a_year <= 2.0 * FALSE_A_YEAR


def test_a_bad_session_alarms_once_its_lots_are_known() -> None:
    level = "session-120"
    farm = drawn_farm(seeded(21), raised=(Shared.SESSION, level), by=2.4)
    mine = [each for each in raised_alarms(farm) if level in levels(each)]
    [alarm] = mine
    assert alarm.chance is not None
    assert alarm.found > 3.0 * alarm.expected
    assert alarm.at <= START + timedelta(days=121.0 + 8.0)
    assert alarm.lots <= 8
    assert set(alarm.names) <= {lot.lot for lot in farm.lots}


def test_a_line_that_goes_bad_is_told_by_its_sum() -> None:
    farm = drawn_farm(seeded(22), raised=(Shared.LINE, "line-2"), by=1.2)
    found = raised_alarms(farm)
    assert any(each.level == "line-2" and each.chance is None for each in found)
    for each in found:
        assert 0.0 < each.a_year <= FALSE_A_YEAR / 2.0 + 1e-9
        assert each.found > each.expected


def test_alarms_of_long_ago_are_not_told() -> None:
    farm = drawn_farm(seeded(21), raised=(Shared.SESSION, "session-20"), by=2.4)
    assert any("session-20" in levels(each) for each in raised_alarms(farm))
    assert not any("session-20" in levels(each) for each in raised_alarms(farm, 400.0))


def test_few_lots_are_held_against_their_route() -> None:
    assert raised_alarms(drawn_farm(seeded(23), lots=0)) == ()
    assert raised_alarms(drawn_farm(seeded(23), lots=6)) == ()
    farm = drawn_farm(seeded(23), lots=6, raised=(Shared.SESSION, "session-1"), by=3.0)
    assert {"session-1"} & {level for each in raised_alarms(farm) for level in levels(each)}


def levels(alarm: Alarm) -> set[str]:
    return {alarm.level, *(level for _, level in alarm.alike)}


def test_one_outbreak_is_told_once() -> None:
    """A session that lost most of it is no alarm of its stage, shelf, line or person as well."""
    farm = drawn_farm(seeded(26), raised=(Shared.SESSION, "session-100"), by=3.5)
    mine = [each for each in raised_alarms(farm) if "session-100" in levels(each)]
    [alarm] = mine
    own = {lot.lot for lot in farm.lots if lot.shared[Shared.SESSION] == "session-100"}
    for each in raised_alarms(farm):
        if each is not alarm and each.chance is None:
            assert not own & set(each.names)
    assert STAGE not in set(Shared)


def test_two_outbreaks_do_not_hide_each_other() -> None:
    first = drawn_farm(seeded(27), raised=(Shared.SESSION, "session-100"), by=3.0)
    second = drawn_farm(seeded(27), raised=(Shared.SESSION, "session-130"), by=3.0)
    lots = [
        two if two.shared[Shared.SESSION] == "session-130" else one
        for one, two in zip(first.lots, second.lots, strict=True)
    ]
    found = raised_alarms(Drawn(tuple(lots), first.bad, first.shown))
    named = {level for each in found for level in levels(each)}
    assert {"session-100", "session-130"} <= named


def test_a_rise_in_the_first_weeks_is_told_against_the_route_and_once() -> None:
    farm = drawn_farm(seeded(28), lots=100)
    lots = tuple(
        replace(lot, seen=tuple(replace(s, found=min(s.units, 5 * s.found)) for s in lot.seen))
        for lot in farm.lots
    )
    found = raised_alarms(Drawn(lots, farm.bad, farm.shown), 60.0)
    [stage] = [each for each in found if "grain" in levels(each)]
    assert stage.found > 2.0 * stage.expected
    charts = [(each.factor, each.level) for each in found]
    assert len(charts) == len(set(charts)), "a rise that stays is one alarm"


def test_people_are_told_last() -> None:
    """Whoever leads nobody reads of no person: what stands beside one must be told by itself."""
    farm = drawn_farm(seeded(29), raised=(Shared.LINE, "line-2"), by=1.5)
    lots = tuple(
        replace(
            lot,
            shared={
                **lot.shared,
                Shared.PERSON: "ada" if lot.shared[Shared.LINE] == "line-2" else "ben",
            },
        )
        for lot in farm.lots
    )
    found = raised_alarms(Drawn(lots, farm.bad, farm.shown))
    assert not any(each.factor == Shared.PERSON.value for each in found)
    assert any((Shared.PERSON.value, "ada") in each.alike for each in found)
