"""What is left of a day, and of each steriliser in it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time

import pytest

from pinset.chain.register import CookKind, Farm, FarmBook, Steriliser, Worker
from pinset.planning.problem import Problem
from pinset.planning.resources import CookOption, Resources, SteriliserDays
from pinset.services.day.hours_left import hours_left, laid_from, only_what_is_left
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.loads.loaded import Loaded

TODAY = date(2026, 3, 12)
KINDS = (CookKind("grain", 5, 60, 90, 150), CookKind("agar", 2.5, 30, 30, 60))
BOOK = FarmBook(
    Farm("Test", 400, "Europe/Vienna"),
    sterilisers=(Steriliser("kettle", "Kettle", "bay", KINDS, 9.5, 2, 1.4),),
    workers=(Worker("a", "Ada", (8.0,) * 7),),
)
PROBLEM = Problem(
    TODAY, 2, 2, (),
    resources=Resources(
        sterilisers=(
            SteriliserDays(
                "kettle", (CookOption("grain", 5, 150), CookOption("agar", 2.5, 60)),
                (9.5, 9.5), (2.0, 2.0),
            ),
        )
    ),
)  # fmt: skip


@pytest.mark.parametrize(
    ("moment", "hour"),
    [("04:00", None), ("07:30", None), ("07:31", "07:35"), ("12:20", "12:20"), ("23:58", "23:59")],
)
def test_hours_are_laid_from_the_next_five_minutes_once_work_has_begun(
    moment: str, hour: str | None
) -> None:
    now = datetime.combine(TODAY, time.fromisoformat(moment), UTC)
    assert laid_from(now, BOOK) == (time.fromisoformat(hour) if hour else None)


def loaded(kind: str, at: str, *, whole: bool = True) -> Loaded:
    job = PlannedJob(
        "cook:kettle", JobKind.COOK, "load", TODAY, 30, "units", "vessels", "steriliser",
        steriliser="kettle", cook_kind=kind, fixed_at="10:30",
    )  # fmt: skip
    moment = datetime.combine(TODAY, time.fromisoformat(at), UTC)
    return Loaded(job, moment, 30, is_finished=whole, feeds=())


def today_of(since: str | None, *loads: Loaded) -> tuple[float, float]:
    hour = time.fromisoformat(since) if since else None
    problem = only_what_is_left(PROBLEM, hours_left(BOOK, TODAY, hour, loads))
    [row] = problem.resources.sterilisers
    assert (row.hours[1], row.count[1]) == (9.5, 2.0), "tomorrow is whole"
    return row.hours[0], row.count[0]


def test_before_the_loading_hour_the_whole_day_is_left() -> None:
    assert today_of(None) == today_of("10:30") == (9.5, 2.0)


def test_later_there_is_less_and_once_all_have_gone_home_nothing() -> None:
    assert today_of("12:30") == (7.5, 2.0)  # it may be used until 20:00
    assert today_of("15:30") == (0.0, 0.0)


def test_what_was_loaded_takes_its_hours_and_its_cook() -> None:
    assert today_of("12:00", loaded("grain", "10:45")) == (4.25, 1.0)  # free at 15:45
    assert today_of("12:00", loaded("agar", "10:30")) == (7.0, 1.0)  # free at 13:00
    assert today_of(None, loaded("agar", "20:00")) == (7.0, 1.0), "as planned: no hour is known"


def test_another_day_s_load_is_of_no_concern() -> None:
    yesterday = replace(loaded("grain", "10:45"), at=datetime(2026, 3, 11, 10, 45, tzinfo=UTC))
    assert today_of("10:00", yesterday) == (9.5, 2.0)


def test_a_steriliser_that_is_shut_cooks_no_more_today() -> None:
    problem = only_what_is_left(PROBLEM, hours_left(BOOK, TODAY, time(11), ()), {"kettle"})
    [row] = problem.resources.sterilisers
    assert (row.hours, row.count) == ((0.0, 9.5), (0.0, 2.0))
