"""Loads take of each mix what is begun of it; what cannot be ready goes into a later load."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta

import pytest

from pinset.chain.register import FarmBook, Preparation, RoomKind, Route, Variety, Worker
from pinset.planning.plan import PlannedCook, Start
from pinset.services.book_reader import Reader
from pinset.services.jobs.of_cooks import loads_of
from pinset.services.jobs.preparing import preparation_jobs
from pinset.services.loads.in_reach import InReach
from pinset.services.loads.what_waits import Mix, Waiting, mix_of
from services.jobs.test_jobs_of_cooks import BOOK as COOKS_BOOK
from services.jobs.test_jobs_of_cooks import GRAIN, MONDAY, cook

TUESDAY, WEDNESDAY = MONDAY + timedelta(days=1), MONDAY + timedelta(days=2)
TASKS = (
    Preparation("soak", 48.0, 0.2, 5.0, RoomKind.PREPARATION),
    Preparation("fill", 27.0, 1.0, 5.0, RoomKind.PREPARATION),
    Preparation("cook", 24.0, 0.0, 0.0, RoomKind.STERILISER),
)
OATS, RYE = (replace(GRAIN, mix=mix, preparations=TASKS) for mix in ("oats", "rye"))
BOOK = replace(
    COOKS_BOOK,
    routes=(Route("o", (OATS,)), Route("r", (RYE,))),
    varieties=tuple(
        Variety(code, code, "invented", route) for code, route in (("oat", "o"), ("rye", "r"))
    ),
    workers=(Worker("w", "W", (8.0,) * 7),),
)


def begun(*soaked: tuple[Mix, date, int]) -> Waiting:
    waiting = Waiting()
    for mix, day, units in soaked:
        waiting.add(mix, "soak", day, units)
    return waiting


def start(variety: str, count: int) -> Start:
    day = MONDAY + timedelta(days=4)
    return Start(day, variety, "grain", GRAIN.stage, count, (), count, day, (), "why")


def held(
    waiting: Waiting, *starts: Start, days: tuple[date, ...], book: FarmBook = BOOK
) -> list[Mapping[str, int]]:
    """Return how many jars of each variety each load holds."""
    cooks: list[PlannedCook] = [cook(day) for day in days]
    loads = loads_of(
        cooks, starts, Reader(book, MONDAY), in_reach=InReach(book, MONDAY, 0.0, waiting)
    )
    return [{each.variety: round(each.count) for each in load.starts} for load in loads]


def test_a_batch_is_split_so_that_what_is_ready_is_cooked() -> None:
    """25 of 30 jars of oats are soaked for today: five are soaked for the cook of Wednesday."""
    waiting = begun((mix_of(OATS), MONDAY, 25))
    assert held(waiting, start("oat", 30), days=(MONDAY, WEDNESDAY)) == [{"oat": 25}, {"oat": 5}]


def test_what_is_soaked_of_one_mix_lets_no_other_into_its_load() -> None:
    waiting = begun((mix_of(OATS), MONDAY, 25))
    found = held(waiting, start("rye", 20), start("oat", 20), days=(MONDAY, WEDNESDAY))
    assert found == [{"oat": 20}, {"rye": 20}]


def test_one_soak_does_not_serve_two_loads() -> None:
    """Ten jars soaked for today keep until tomorrow: only once are they cooked."""
    waiting = begun((mix_of(OATS), MONDAY, 10))
    waiting.add(mix_of(OATS), "fill", MONDAY, 4)
    assert held(waiting, start("oat", 30), days=(MONDAY, TUESDAY)) == [{"oat": 10}, {"oat": 20}]


def test_what_nothing_can_make_ready_is_not_laid() -> None:
    assert held(begun(), start("oat", 30), days=(MONDAY,)) == []


@pytest.mark.parametrize(("hours", "too_soon"), [(0.0, [True, False]), (16.0, [True, True])])
def test_how_soon_a_load_can_be_follows_the_clock(hours: float, too_soon: list[bool]) -> None:
    """21 h of soaking from 07:30 leave time to fill before 10:30; after work it soaks tomorrow."""
    reach = InReach(BOOK, MONDAY, hours)
    assert [reach.is_too_soon(mix_of(OATS), day) for day in (MONDAY, TUESDAY)] == too_soon
    assert not reach.is_too_soon(mix_of(OATS), WEDNESDAY)


@pytest.mark.parametrize(("age", "units"), [(0, 9), (1, 9), (2, 0), (3, 0)])
def test_grain_past_its_keeping_is_counted_into_no_later_cook(age: int, units: int) -> None:
    """What is wet keeps for a day; common practice, no source."""
    mix = mix_of(RYE)
    waiting = begun((mix, MONDAY - timedelta(days=age), 9))
    assert waiting.take(mix, "soak", MONDAY, 9) == units


def test_what_is_laid_is_in_reach_when_its_day_comes() -> None:
    """Soaked 25 h, boiled from 08:30 for 110 min and filled, it misses a load at 10:30.

    So it is soaked two days before; laid on the day before, it would be put off every morning.
    """
    tasks = (
        Preparation("soak", 52.0, 0.0, 10.0, RoomKind.PREPARATION),
        Preparation("boil", 27.0, 0.0, 110.0, RoomKind.PREPARATION),
        Preparation("fill", 26.0, 0.0, 30.0, RoomKind.PREPARATION),
        Preparation("cook", 24.0, 0.0, 0.0, RoomKind.STERILISER),
    )
    book = replace(BOOK, routes=(Route("o", (replace(OATS, preparations=tasks),)),))
    friday = MONDAY + timedelta(days=4)
    jobs = preparation_jobs([start("oat", 20)], friday, "10:30", Reader(book, MONDAY))
    [soak] = [job for job in jobs if job.task == "soak"]
    assert not InReach(book, soak.day).is_too_soon(mix_of(OATS), friday)
    assert InReach(book, soak.day + timedelta(days=1)).is_too_soon(mix_of(OATS), friday)
