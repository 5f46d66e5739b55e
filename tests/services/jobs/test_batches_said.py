"""Batches that are the same are counted together; a day that is near has no preposition."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from farm.small_farm import BOOK, TODAY
from pinset.chain.stages import Stage
from pinset.planning.plan import Start
from pinset.services.book_reader import Reader
from pinset.services.jobs.batches_said import batches_by_day, batches_in
from pinset.services.jobs.preparing import why_cook
from pinset.services.words import on_day

READER = Reader(BOOK, TODAY)


def start(count: float, ahead: int, stage: Stage = Stage.GRAIN) -> Start:
    day = TODAY + timedelta(days=ahead)
    return Start(day, "grey", stage.value, stage, count, (), count, day, (), "why")


def test_the_same_batches_in_one_cook_are_one() -> None:
    fed = [start(69, 1, Stage.BLOCK), start(17, 2, Stage.BLOCK), start(14, 1)]
    assert batches_in(fed, READER) == ["86 blocks (Grey oyster)", "14 grain jars (Grey oyster)"]


def test_days_are_named_one_after_another() -> None:
    fed = [start(14, 2), start(9, 2), start(14, 4)]
    assert batches_by_day(fed, READER) == ["23 grain jars of Grey oyster on Saturday, 14 on Monday"]


def test_tomorrow_has_no_preposition() -> None:
    assert why_cook([start(1, 1)], READER) == "Vessels for 1 grain jar of Grey oyster tomorrow."


@pytest.mark.parametrize(
    ("day", "said"),
    [
        (date(2026, 3, 11), "yesterday"),
        (date(2026, 3, 12), "today"),
        (date(2026, 3, 13), "tomorrow"),
        (date(2026, 3, 14), "on Saturday"),
        (date(2026, 4, 14), "on 14 April"),
    ],
)
def test_a_day_has_its_preposition(day: date, said: str) -> None:
    assert on_day(day, TODAY) == said
