"""What is weighed of a job is read in the unit the farm weighs in."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

import pytest

from farm.small_farm import BOOK
from pinset.farm.entries import Kind
from pinset.farm.job_store import JobEntry
from pinset.services.book_reader import Reader
from pinset.services.day.weights_said import counted
from pinset.services.jobs.records import JobKind, PlannedJob

DAY = date(2026, 3, 9)
PACK = PlannedJob(
    "pack:a", JobKind.PACK, "pack", DAY, 18, "kg", "kg to pack: 40 lb Blue oyster", "packing",
    grams=18_144,
)  # fmt: skip
MOVE = PlannedJob("move:a", JobKind.MOVE, "move", DAY, 12, "units", "blocks in", "growing")


def entry(count: int, kind: Kind = Kind.PACK, **details: Any) -> JobEntry:
    moment = datetime(2026, 3, 9, 9, 0, tzinfo=UTC)
    return JobEntry("J1", "", kind, count, moment, "", details)


def test_a_farm_in_pounds_reads_pounds_once() -> None:
    said = counted(PACK, "us")
    assert (said.count, said.unit) == (40, "lb")
    assert said.words == "40 lb to pack: 40 lb Blue oyster"


def test_a_metric_farm_reads_kilograms() -> None:
    said = counted(PACK, "metric", [entry(3, grams=3000)])
    assert (said.count, said.unit, said.what) == (18, "kg", PACK.what)
    assert (said.done_count, said.done_said) == (3, "3 kg")


@pytest.mark.parametrize("system", ["metric", "us"])
def test_units_stay_units(system: str) -> None:
    said = counted(MOVE, system, [entry(5, Kind.MOVE)])
    assert said.words == "12 blocks in"
    assert (said.unit, said.done_count, said.done_said) == ("units", 5, "5")


def test_what_was_weighed_is_said_as_it_was_weighed() -> None:
    said = counted(PACK, "us", [entry(3, grams=2998)])
    assert (said.done_count, said.done_said) == (7, "6.61 lb")


def test_something_stays_open_of_what_is_not_finished() -> None:
    said = counted(PACK, "us", [entry(17, grams=18_100)])
    assert said.done_count == said.count - 1


def test_what_was_put_off_is_not_done() -> None:
    said = counted(PACK, "us", [entry(18, Kind.PUT_OFF)])
    assert said.done_count == 0


def test_packed_without_a_weight_is_what_was_asked_for() -> None:
    assert counted(PACK, "us", [entry(18)]).done_said == "40 lb"


@pytest.mark.parametrize(
    ("units", "measure", "said"),
    [("us", "gram", "156 lb"), ("metric", "gram", "70.6 kg"), ("us", "unit", "70566 units")],
)
def test_what_is_only_expected_is_not_said_to_the_ounce(
    units: str, measure: str, said: str
) -> None:
    book = replace(BOOK, farm=replace(BOOK.farm, units=units))
    assert Reader(book, DAY).about(70_566.0, measure) == said
