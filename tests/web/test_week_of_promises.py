from __future__ import annotations

from datetime import timedelta

from pinset.web.views.promises import week_of
from web.fixtures import TODAY, promises


def test_a_week_says_in_one_line_how_it_stands() -> None:
    (monday, rows), *_ = promises().weeks
    week = week_of(monday, rows, TODAY)
    assert week.words == "1 of 3 as promised, 1 part kept, 1 missed"
    assert week.is_bad


def test_this_week_and_the_next_are_unfolded() -> None:
    monday = TODAY - timedelta(days=TODAY.weekday())
    weeks = [week_of(monday + timedelta(weeks=i), (), TODAY) for i in (-1, 0, 1, 2)]
    assert [week.is_open for week in weeks] == [False, True, True, False]
    assert not weeks[0].is_bad
