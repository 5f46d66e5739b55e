"""Parents of a transfer in parts: as many as all its units take, whole ones, in order."""

from __future__ import annotations

import pytest

from farm.small_farm import TODAY
from pinset.services.building.parents_opened import parents_opened
from pinset.services.job_records import JobKind, LotAmount, PlannedJob


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
    ],
)
def test_all_parts_open_what_all_units_take(parts: list[int], opened: list[int]) -> None:
    job, made, used, found = transfer(18, ("a", 1), ("b", 2)), 0, 0, []
    for count in parts:
        units = sum(lot.units for lot in parents_opened(job, count, made=made, used=used))
        found.append(units)
        made, used = made + count, used + units
    assert found == opened


def test_those_opened_before_are_passed_over() -> None:
    job = transfer(18, ("a", 1), ("b", 2))
    assert parents_opened(job, 6) == (LotAmount("a", 1),)
    assert parents_opened(job, 12, made=6, used=1) == (LotAmount("b", 2),)
    assert parents_opened(job, 12, made=12, used=2) == (LotAmount("b", 2),)


def test_parents_laid_anew_for_the_rest_are_for_the_rest() -> None:
    """Twelve of 18 were made of two; planned again, one is laid for the six that are left."""
    again = transfer(18, ("b", 1))
    assert parents_opened(again, 6, made=12, used=2) == (LotAmount("b", 1),)
    assert parents_opened(again, 12, made=12, used=2) == (LotAmount("b", 2),)
