"""What was soaked beyond what was filled stands there wet, beside what was filled."""

from __future__ import annotations

from datetime import timedelta

import pytest

from farm.small_farm import TODAY
from pinset.chain.register import FarmBook
from pinset.services.answers import recording
from pinset.services.day import today
from pinset.services.loads.loaded import loaded_since
from pinset.services.loads.uncooked import waiting_for_a_cook
from pinset.services.plans import planning_day
from services.conftest import LayJob
from services.straw import Jobs, do, drop, lay_cook, lay_task, notes, thrown, with_straw


@pytest.fixture
def book(farm: FarmBook, monkeypatch: pytest.MonkeyPatch) -> FarmBook:
    monkeypatch.setattr(planning_day, "latest", lambda: None)
    return with_straw(farm)


@pytest.fixture
def jobs(book: FarmBook, lay: LayJob) -> Jobs:
    """Codes of the jobs of a cook of twenty bags."""
    return lay_cook(book, lay)


def fill_fewer(jobs: Jobs) -> None:
    """Chop and soak for twenty bags, and fill twelve."""
    do(jobs["chop"])
    do(jobs["soak"])
    do(jobs["fill"], count=12, reason="no more bags")


def test_what_was_soaked_beyond_what_was_filled_stands(jobs: Jobs, book: FarmBook) -> None:
    fill_fewer(jobs)
    said = (
        "Straw for 8 blocks stands there wet (chop and soak done for the cook of today), more "
        "than the cook of today is planned with: fill it and put it in, too, if there is room, or "
        "throw it out; a day after the cook it was prepared for is the latest (common practice)."
    )
    assert notes(book) == [said]
    assert said in today.day_view().notes
    do(jobs["load"])
    [after] = notes(book)
    assert after.startswith("Straw for 8 blocks stands there wet (chop and soak done")
    assert after.endswith(
        "no cook takes it: cook it tomorrow at the latest, or throw it out; a day after the cook "
        "it was prepared for is the latest (common practice)."
    )
    assert notes(book, TODAY + timedelta(days=2))[0].endswith("cooked now; throw it out.")


def test_filled_and_merely_soaked_are_thrown_out_apart(
    jobs: Jobs, book: FarmBook, lay: LayJob
) -> None:
    fill_fewer(jobs)
    drop(jobs)
    filled, soaked = thrown(book, lay)
    assert [today.job_view(code).count for code in (filled, soaked)] == [12, 8]
    do(soaked, recording.part_done, count=3, reason="it smells sour")
    assert [each.split(" blocks")[0] for each in notes(book)] == ["Straw for 12", "Straw for 5"]
    do(soaked, reason="it smells sour")
    assert [each.split(" blocks")[0] for each in notes(book)] == ["Straw for 12"]
    do(filled, reason="it smells sour")
    assert notes(book) == []


def test_what_was_soaked_beyond_is_for_the_next_cook(
    jobs: Jobs, book: FarmBook, lay: LayJob
) -> None:
    fill_fewer(jobs)
    do(jobs["load"])
    waiting = waiting_for_a_cook(book, TODAY, loaded_since(TODAY, book.farm.time_zone))
    assert {task: units for (_, task, _), units in waiting.units.items()} == {
        "chop": 8, "soak": 8, "fill": 0,
    }  # fmt: skip
    more = lay_task(book, lay, "fill", 8)
    assert len(notes(book)) == 1
    do(more)
    assert notes(book)[0].startswith("Straw for 8 blocks stands there wet (chop, soak and fill")


@pytest.mark.parametrize(("filled", "stands"), [(20, 0), (18, 0), (17, 3)])
def test_a_few_lost_in_filling_are_not_for_the_next_cook(
    jobs: Jobs, book: FarmBook, lay: LayJob, filled: int, stands: int
) -> None:
    for task in ("chop", "soak"):
        do(jobs[task])
    do(jobs["fill"], count=filled, reason="some fell beside" if filled < 20 else "")
    do(jobs["load"])
    waiting = waiting_for_a_cook(book, TODAY, loaded_since(TODAY, book.farm.time_zone))
    assert {task: units for (_, task, _), units in waiting.units.items()} == {
        "chop": stands, "soak": stands, "fill": 0,
    }  # fmt: skip
    more = lay_task(book, lay, "fill", 9, TODAY + timedelta(days=1))
    assert today.job_view(more).count == (stands or 9)


def test_what_is_being_filled_is_not_lost(jobs: Jobs, book: FarmBook) -> None:
    do(jobs["soak"])
    do(jobs["fill"], recording.part_done, count=19)
    waiting = waiting_for_a_cook(book, TODAY, ())
    assert {task: units for (_, task, _), units in waiting.units.items()} == {
        "soak": 20, "fill": 19,
    }  # fmt: skip


def test_what_was_filled_for_the_next_cook_is_not_beyond(
    jobs: Jobs, book: FarmBook, lay: LayJob
) -> None:
    fill_fewer(jobs)
    do(jobs["load"])
    morrow = TODAY + timedelta(days=1)
    for task, units in (("soak", 7), ("fill", 15)):
        do(lay_task(book, lay, task, units, morrow))
    assert [each[:22] for each in notes(book)] == ["Straw for 15 blocks st"]


def test_what_is_still_to_be_filled_is_not_beyond(jobs: Jobs, book: FarmBook) -> None:
    do(jobs["soak"])
    do(jobs["fill"], recording.part_done, count=12)
    assert notes(book) == []
