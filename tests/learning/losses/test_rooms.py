"""Charts of rooms: what is usual, alarms with their number, new rooms, gaps, few counts."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from pinset.chain.plain import from_plain, to_plain
from pinset.learning.charts.trends import Direction
from pinset.learning.losses.rooms import (
    FALSE_A_YEAR,
    ON_TRAPS,
    RoomChart,
    RoomCount,
    RoomCounts,
    room_charts,
)

START = datetime(2026, 1, 5, 8, tzinfo=UTC)
SIGNS = 6


def weekly(
    found: list[int], *, room: str = "one", sign: str = ON_TRAPS, of: float = 28.0, week: int = 0
) -> RoomCounts:
    counts = tuple(
        RoomCount(START + timedelta(weeks=week + at), each, of) for at, each in enumerate(found)
    )
    return RoomCounts(room, sign, counts)


def charts(*rooms: RoomCounts, weeks: float = 30.0) -> tuple[RoomChart, ...]:
    return room_charts(rooms, START + timedelta(weeks=weeks), SIGNS)


QUIET = [14, 9, 17, 12, 20, 8, 15, 13, 11, 18, 10, 16]


def test_a_quiet_room() -> None:
    [chart] = charts(weekly(QUIET), weeks=11)
    assert chart.alarm is None
    assert chart.usual is not None
    assert chart.usual.low < np.mean(QUIET) / 28.0 < chart.usual.high
    assert chart.usual.counts == len(QUIET)
    assert chart.a_year == pytest.approx(365.0 / 7.0)
    assert chart.between == pytest.approx(365.0 / 7.0 / FALSE_A_YEAR)
    assert [point.value for point in chart.points] == [each / 28.0 for each in QUIET]
    assert not any(point.is_raised for point in chart.points)


def test_an_outbreak_says_since_when_and_against_what() -> None:
    [chart] = charts(weekly([*QUIET, 90, 110, 95]), weeks=14)
    alarm = chart.alarm
    assert alarm is not None
    assert alarm.since == START + timedelta(weeks=12)
    assert alarm.at <= START + timedelta(weeks=13)
    assert (alarm.counts, alarm.found, alarm.of) == (3, 295, 84.0)
    assert 0.35 < alarm.usual < 0.65
    assert alarm.goes_on
    assert [point.is_raised for point in chart.points] == [False] * 12 + [True] * 3
    again = from_plain(RoomChart, to_plain(chart))
    assert again == chart


def test_rooms_and_signs_share_the_false_alarms() -> None:
    rooms = [weekly(QUIET, room=name) for name in ("one", "two", "three")]
    signs = [weekly([1] * 12, room=name, sign="blotch", of=100.0) for name in ("one", "two")]
    told = charts(*rooms, *signs)
    a_year = 365.0 / 7.0
    for chart in told:
        charts_alike = 2 * SIGNS if chart.sign else 3
        assert chart.between == pytest.approx(charts_alike * a_year / FALSE_A_YEAR)


def test_a_disease_that_was_never_seen_before() -> None:
    [chart] = charts(weekly([0] * 20 + [6, 11], sign="blotch", of=100.0), weeks=21)
    assert chart.alarm is not None
    assert chart.alarm.since == START + timedelta(weeks=20)
    assert chart.alarm.usual < 0.005
    assert chart.points[-1].value == pytest.approx(0.11)


def test_a_new_room_knows_nothing_by_itself() -> None:
    [chart] = charts(weekly([300]), weeks=1)
    assert chart.usual is None
    assert chart.trend is None
    assert chart.alarm is None


def test_a_new_room_begins_with_what_others_had_shown() -> None:
    old = weekly(QUIET)
    new = weekly([12, 9, 15, 11, 14], room="two", week=12)
    beside, alone = charts(old, new)[1], charts(new)[0]
    assert beside.usual is not None
    assert alone.usual is not None
    assert beside.usual.high / beside.usual.low < alone.usual.high / alone.usual.low
    later = weekly([12, 9, 15, 11, 14], room="two")  # it began before the other had shown anything
    [own, _] = charts(later, weekly([900] * 12))
    assert own.usual is not None
    assert own.usual.high < 2.0


def test_alarms_of_long_ago_are_not_told() -> None:
    counts = weekly([*QUIET, 90, 110, 95, *QUIET, *QUIET, *QUIET])
    [chart] = charts(counts, weeks=24)
    assert chart.alarm is not None
    assert not chart.alarm.goes_on
    [later] = charts(counts, weeks=48)
    assert later.alarm is None
    assert later.points[0].at >= START + timedelta(weeks=48) - timedelta(days=182)


def test_the_trend_is_of_the_last_weeks() -> None:
    rising = [10] * 20 + [10, 14, 20, 28, 40, 56, 78, 110]
    [chart] = charts(weekly(rising), weeks=27)
    assert chart.trend is not None
    assert chart.trend.direction is Direction.RISING
    assert chart.trend.counts == 8  # of 56 days
    assert chart.trend_found == sum(rising[-8:])


def test_nothing_counted_is_no_chart() -> None:
    assert charts() == ()
    assert charts(RoomCounts("one", ON_TRAPS, (), left_out=3)) == ()


def test_a_quiet_farm_of_four_rooms_has_fewer_alarms_than_said() -> None:
    rng = np.random.Generator(np.random.PCG64(77))
    farms, alarms = 2, 0
    for _ in range(farms):
        rooms = [
            weekly([int(each) for each in rng.negative_binomial(2.0, 0.1, 52)], room=name)
            for name in ("one", "two", "three", "four")
        ]
        told = room_charts(rooms, START + timedelta(weeks=52), SIGNS)
        alarms += sum(chart.alarm is not None for chart in told)  # those of half a year
    assert alarms <= FALSE_A_YEAR / 2.0 * farms
