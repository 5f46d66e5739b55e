from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from pinset.services.views import PromiseWeek
from pinset.web.views.promises import week_of
from web.fixtures import TODAY, promises


def row(state: str) -> PromiseWeek:
    (_, rows), *_ = promises().weeks
    return replace(rows[0], state=state, chance=None)


def test_a_week_says_in_one_line_how_it_stands() -> None:
    (monday, rows), *_ = promises().weeks
    week = week_of(monday, rows, TODAY)
    assert week.words == "1 of 3 as promised, 1 part kept, 1 missed"
    assert week.is_bad


def test_what_was_kept_late_is_counted_apart_and_mended_by_no_season() -> None:
    week = week_of(TODAY, (row("kept"), row("kept late"), row("on course")), TODAY)
    assert week.words == "2 of 3 as promised, 1 kept late"
    assert week.is_rest


def test_this_week_and_the_next_are_unfolded() -> None:
    monday = TODAY - timedelta(days=TODAY.weekday())
    weeks = [week_of(monday + timedelta(weeks=i), (), TODAY) for i in (-1, 0, 1, 2)]
    assert [week.is_open for week in weeks] == [False, True, True, False]
    assert not weeks[0].is_bad


def test_once_something_was_missed_only_the_rest_has_a_chance() -> None:
    monday = TODAY - timedelta(days=TODAY.weekday())
    missed, ahead = row("missed"), replace(row("on course"), chance=0.97)
    week = week_of(monday, (missed, ahead), TODAY, 0.97)
    assert (week.is_rest, week.chance) == (True, 0.97)
    assert not week_of(monday, (row("kept"), ahead), TODAY, 0.97).is_rest
    assert week_of(monday, (missed, row("kept")), TODAY, 1.0).chance is None, "nothing is to come"
