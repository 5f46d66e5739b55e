"""What is said of the weeks of a stage."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from pinset.chain.stages import Stage
from pinset.learning.losses.weeks import StageWeeks, Week
from pinset.services.losses.week_lines import weeks_line

NOW = datetime(2026, 3, 12, 9, tzinfo=UTC)


def week(ago: int, *, raised: bool = False) -> Week:
    at = NOW - timedelta(weeks=ago + 1)
    return Week(at, 6, 120.0, 12 if raised else 4, 0.1 if raised else 0.03, 0.08, raised)


def test_only_the_last_half_year_is_drawn() -> None:
    line = weeks_line(
        StageWeeks(Stage.GRAIN, 0.031, 1.0, tuple(week(n) for n in (50, 40, 25, 2))), "UTC", NOW
    )
    assert [each.at for each in line.points] == [week(25).at, week(2).at]
    assert line.sentence == (
        "Usually 3.1 % of a week's units are lost; no week of the last half year stands out."
    )


def test_weeks_that_stand_out_are_named() -> None:
    one = weeks_line(
        StageWeeks(Stage.GRAIN, 0.03, 1.6, (week(3), week(2, raised=True))), "Europe/Vienna", NOW
    )
    assert "weeks differ 1.6 times as much as by chance alone" in one.sentence
    assert one.sentence.endswith("the week from 19 February on stands out.")
    many = weeks_line(
        StageWeeks(Stage.GRAIN, 0.03, 1.0, tuple(week(n, raised=True) for n in (6, 5, 4, 3, 2, 1))),
        "UTC",
        NOW,
    )
    assert many.sentence.endswith(
        "the weeks from 5 February, 12 February, 19 February and 26 February, and 2 before, on "
        "stand out."
    )


def test_nothing_known_of_weeks_is_said() -> None:
    line = weeks_line(StageWeeks(Stage.TUBE, None, None, (week(1),)), "UTC", NOW)
    assert line.sentence.startswith("Too few weeks")
