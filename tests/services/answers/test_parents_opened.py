"""Parents of a transfer in parts: as many as all its units take, whole ones, in order."""

from __future__ import annotations

from dataclasses import replace

import pytest

from farm.small_farm import TODAY
from pinset.services.building.parents_opened import Before, parents_opened
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob


def transfer(count: int, *lots: tuple[str, int]) -> PlannedJob:
    return PlannedJob(
        "t", JobKind.TRANSFER, "transfer", TODAY, count, "units", "bags", "laboratory",
        lots=tuple(LotAmount(code, units) for code, units in lots),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("parts", "opened"),
    [
        ([18], [3]),
        ([6, 12], [1, 2]),
        ([12, 12], [2, 2]),  # four of six units each, though three were planned
        ([24], [4]),
        ([7, 11], [2, 1]),
        ([4, 2, 5, 1], [1, 0, 1, 0]),  # a part comes out of the one that is open already
        ([1, 1, 16], [1, 0, 2]),
    ],
)
def test_all_parts_open_what_all_units_take(parts: list[int], opened: list[int]) -> None:
    job, made, used, found = transfer(18, ("a", 1), ("b", 2)), 0, 0, []
    for count in parts:
        units = sum(lot.units for lot in parents_opened(job, count, Before(made, used)))
        found.append(units)
        made, used = made + count, used + units
    assert found == opened


def test_those_opened_before_are_passed_over() -> None:
    job = transfer(18, ("a", 1), ("b", 2))
    assert parents_opened(job, 6) == (LotAmount("a", 1),)
    assert parents_opened(job, 12, Before(6, 1)) == (LotAmount("b", 2),)
    assert parents_opened(job, 12, Before(12, 2)) == (LotAmount("b", 2),)


def test_what_is_open_already_is_named_without_a_unit() -> None:
    job = transfer(18, ("a", 1), ("b", 2))
    assert parents_opened(job, 2, Before(4, 1)) == (LotAmount("a", 0),)
    assert parents_opened(job, 8, Before(4, 1)) == (LotAmount("a", 0), LotAmount("b", 1))
    assert parents_opened(job, 8, Before(10, 2)) == (LotAmount("b", 1),)
    assert parents_opened(job, 2, Before(4, 1, LotAmount("c", 1))) == (LotAmount("c", 0),)


def test_what_was_opened_beyond_the_plan_was_used_up() -> None:
    assert parents_opened(transfer(24, ("a", 3)), 16, Before(8, 5)) == (LotAmount("a", 2),)


def test_parents_laid_anew_for_the_rest_are_for_the_rest() -> None:
    """Twelve of 18 were made of two; planned again, one is laid for the six that are left."""
    again = replace(transfer(18, ("b", 1)), laid_after=12)
    assert parents_opened(again, 6) == (LotAmount("b", 1),)
    assert parents_opened(again, 12) == (LotAmount("b", 2),)


def test_parents_laid_anew_count_what_is_open_still() -> None:
    """Nine of 16 were made of two that give eight each: seven are left in the second."""
    again = replace(transfer(16, ("b", 1)), laid_after=9)
    before = Before(opened=LotAmount("a", 2), rest=7)
    assert parents_opened(again, 7, before) == (LotAmount("a", 0),)
    assert parents_opened(again, 8, before) == (LotAmount("a", 0), LotAmount("b", 1))
    assert parents_opened(again, 3, replace(before, made=4)) == (LotAmount("a", 0),)
