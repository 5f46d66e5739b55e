"""What is weighed of a job is read in the unit the farm weighs in."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

import pytest

from farm.small_farm import BOOK
from pinset.farm.entries import Kind
from pinset.farm.job_store import JobEntry
from pinset.services.answers.parts_by_weight import counted_part
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


def small(kind: JobKind, grams: int, what: str) -> PlannedJob:
    return replace(PACK, kind=kind, count=1, grams=grams, what=what)


@pytest.mark.parametrize("kind", [JobKind.PACK, JobKind.DELIVER, JobKind.GIVE, JobKind.WASTE])
@pytest.mark.parametrize(
    ("system", "grams", "said"),
    [
        ("metric", 448, "448 g Grey oyster"),
        ("us", 255, "9 oz Grey oyster"),  # 28.35 g an ounce
        ("metric", 1000, "1 kg Grey oyster"),
        ("us", 450, "1 lb Grey oyster"),  # 15.9 oz read as a whole pound
    ],
)
def test_less_than_one_of_the_larger_unit_is_read_in_the_smaller(
    kind: JobKind, system: str, grams: int, said: str
) -> None:
    found = counted(small(kind, grams, "kg Grey oyster"), system)
    assert found.words == said
    assert found.unit == said.split()[1]


def test_little_that_is_only_expected_is_not_said_to_the_gram() -> None:
    assert counted(small(JobKind.PICK, 448, "kg or so to pick"), "metric").count == 450
    assert counted(small(JobKind.PICK, 997, "kg or so to pick"), "metric").words.startswith("1 kg")


def test_of_little_a_part_leaves_the_rest_open() -> None:
    said = counted(small(JobKind.PACK, 448, "kg to pack"), "metric", [entry(0, grams=200)])
    assert (said.count, said.unit, said.done_count) == (448, "g", 200)


@pytest.mark.parametrize("system", ["metric", "us"])
def test_nothing_stays_nothing(system: str) -> None:
    nothing = replace(PACK, count=0, grams=0, what="kg to pack: nothing is there")
    assert counted(nothing, system).count == 0


@pytest.mark.parametrize(
    ("system", "grams", "parts", "told"),
    [
        ("metric", 1200, (400,), (1200, "g", 400)),
        ("metric", 1200, (), (1, "kg", 0)),
        ("us", 500, (200,), (18, "oz", 7)),  # 17.6 oz and 7.05 oz, at 28.35 g an ounce
        ("metric", 5000, (400, 400, 400, 400), (5, "kg", 2)),
        ("metric", 5000, (300,), (5, "kg", 1)),
        ("metric", 5000, (4000, 900), (5, "kg", 4)),
    ],
)
def test_small_parts_are_told_by_their_sum(
    system: str, grams: int, parts: tuple[int, ...], told: tuple[int, str, int]
) -> None:
    job = replace(PACK, count=max(1, round(grams / 1000)), grams=grams)
    entries: list[JobEntry] = []
    for part in parts:
        told_kg = counted_part(job, entries, max(1, round(part / 1000)), part)
        entries.append(entry(told_kg, grams=part))
    said = counted(job, system, entries)
    assert (said.count, said.unit, said.done_count) == told
