"""A load for which nothing is written down as filled is asked about before it is booked."""

from __future__ import annotations

from datetime import timedelta

import pytest

from farm.small_farm import TODAY
from pinset.chain.register import FarmBook
from pinset.errors import RefusedError
from pinset.farm import job_store
from pinset.farm.models import Entry
from pinset.services.answers import putting_off, recording
from pinset.services.jobs.records import JobKind, LotAmount
from pinset.services.plans import planning_day
from services.conftest import LayJob
from services.straw import Jobs, do, lay_cook, notes, take_back, with_straw


@pytest.fixture
def book(farm: FarmBook, monkeypatch: pytest.MonkeyPatch) -> FarmBook:
    monkeypatch.setattr(planning_day, "latest", lambda: None)
    return with_straw(farm)


@pytest.fixture
def jobs(book: FarmBook, lay: LayJob) -> Jobs:
    """Codes of the jobs of a cook of twenty bags."""
    return lay_cook(book, lay)


def still_open() -> set[str]:
    return {row.code for row in job_store.open_jobs()}


def test_nothing_is_booked_before_it_is_asked_about(jobs: Jobs) -> None:
    said = (
        "20 are to be loaded, and none are written down as filled: chop, soak and fill are still "
        "open. Write down what was filled first, or, if it was filled all the same, give a "
        "reason: that closes its preparation."
    )
    with pytest.raises(RefusedError) as asked:
        do(jobs["load"])
    assert str(asked.value) == said
    assert not Entry.objects.filter(job=jobs["load"]).exists()
    assert set(jobs.values()) <= still_open()


def test_with_a_reason_it_is_loaded_and_its_preparation_closed(jobs: Jobs, book: FarmBook) -> None:
    answer = do(jobs["load"], reason="filled by the neighbour")
    assert len(answer.findings) == 1
    assert still_open().isdisjoint(jobs.values())
    assert notes(book) == []
    take_back(answer)
    assert set(jobs.values()) <= still_open()


def test_what_is_soaked_is_not_filled(jobs: Jobs) -> None:
    do(jobs["chop"])
    do(jobs["soak"])
    with pytest.raises(RefusedError, match="written down as filled: fill is still open"):
        do(jobs["load"])


def test_of_a_second_part_it_is_asked_too(jobs: Jobs) -> None:
    do(jobs["fill"], recording.part_done, count=8)
    do(jobs["load"], recording.part_done, count=8)
    with pytest.raises(RefusedError, match="12 are to be loaded, and none are written down"):
        do(jobs["load"])


def test_where_filling_was_dropped_nothing_is_asked(jobs: Jobs) -> None:
    do(jobs["fill"], putting_off.not_at_all, reason="done another way")
    assert do(jobs["load"]).findings == ()
    assert still_open().isdisjoint(jobs.values())


def test_preparation_another_load_still_takes_stays_open(
    jobs: Jobs, book: FarmBook, lay: LayJob
) -> None:
    lay(
        JobKind.COOK, key=f"cook:kettle:grain:{TODAY}:2", task="load", steriliser="kettle",
        cook_kind="grain", variety="", count=9, step="block",
        feeds=(LotAmount("", 9, "block", book.routes[0].code),),
    )  # fmt: skip
    do(jobs["load"], reason="filled by the neighbour")
    assert jobs["fill"] in still_open()


def test_preparation_for_another_day_says_nothing(book: FarmBook, lay: LayJob) -> None:
    lay_cook(book, lay, day=TODAY + timedelta(days=1))
    alone = lay_cook(book, lay, count=11)
    for task in ("chop", "soak", "fill"):
        do(alone[task], putting_off.not_at_all, reason="done another way")
    assert do(alone["load"]).findings == ()
