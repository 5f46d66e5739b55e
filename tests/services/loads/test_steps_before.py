"""More than the step before gave is not filled without a word."""

from __future__ import annotations

from datetime import timedelta

import pytest

from farm.small_farm import TODAY
from pinset.chain.register import FarmBook
from pinset.errors import RefusedError
from pinset.services.answers import recording
from pinset.services.day.today import job_view
from pinset.services.plans import planning_day
from pinset.services.views import JobState
from services.conftest import LayJob
from services.straw import Jobs, do, lay_cook, lay_task, take_back, with_straw


@pytest.fixture
def book(farm: FarmBook, monkeypatch: pytest.MonkeyPatch) -> FarmBook:
    monkeypatch.setattr(planning_day, "latest", lambda: None)
    return with_straw(farm)


@pytest.fixture
def jobs(book: FarmBook, lay: LayJob) -> Jobs:
    """Codes of the jobs of a cook of twenty bags."""
    return lay_cook(book, lay)


def test_more_than_was_soaked_is_filled_with_a_reason_only(jobs: Jobs) -> None:
    do(jobs["soak"])
    with pytest.raises(RefusedError, match="30 are said for fill, and soak before it leaves 20"):
        do(jobs["fill"], count=30)
    answer = do(jobs["fill"], count=30, reason="ten were soaked last night")
    doubt = "30 are said for fill, and soak before it leaves 20."
    assert answer.findings == (f"Written down although: {doubt}",)


def test_parts_count_together(jobs: Jobs) -> None:
    do(jobs["soak"], recording.part_done, count=12)
    first = do(jobs["fill"], recording.part_done, count=8)
    with pytest.raises(RefusedError, match="5 are said for fill, and soak before it leaves 4"):
        do(jobs["fill"], recording.part_done, count=5)
    do(jobs["fill"], recording.part_done, count=4)
    with pytest.raises(RefusedError, match="leaves none"):
        do(jobs["fill"])
    do(jobs["soak"])
    do(jobs["fill"], recording.part_done, count=8)
    assert take_back(first).findings == ()


def test_the_last_step_that_was_written_down_counts(jobs: Jobs) -> None:
    do(jobs["chop"], count=15, reason="no more straw")
    with pytest.raises(RefusedError, match="20 are said for fill, and chop before it leaves 15"):
        do(jobs["fill"], count=20)
    do(jobs["soak"], count=18, reason="three from the heap")
    do(jobs["fill"], count=18)


def test_where_nothing_was_written_down_before_it_nothing_is_asked(jobs: Jobs) -> None:
    assert do(jobs["fill"], count=25).findings == ()


def test_a_soak_that_nobody_wrote_down_is_not_called_done(jobs: Jobs) -> None:
    filled = do(jobs["fill"])
    assert job_view(jobs["soak"]).state is JobState.PASSED
    with pytest.raises(RefusedError, match=r"What comes after .* is written down as done"):
        do(jobs["soak"])
    take_back(filled)
    assert job_view(jobs["soak"]).state is JobState.OPEN
    do(jobs["soak"])
    assert job_view(jobs["soak"]).state is JobState.DONE


def test_what_was_chopped_yesterday_says_nothing_of_today(
    jobs: Jobs, book: FarmBook, lay: LayJob
) -> None:
    do(jobs["chop"])
    do(jobs["soak"])
    assert do(lay_task(book, lay, "soak", 9, TODAY + timedelta(days=1))).findings == ()


def test_what_the_day_before_left_counts(jobs: Jobs, book: FarmBook, lay: LayJob) -> None:
    do(jobs["soak"])
    do(jobs["fill"], count=12)
    do(jobs["load"])
    morrow = TODAY + timedelta(days=1)
    do(lay_task(book, lay, "soak", 7, morrow))
    fill = lay_task(book, lay, "fill", 15, morrow)
    with pytest.raises(RefusedError, match="16 are said for fill, and soak before it leaves 15"):
        do(fill, count=16)
    assert do(fill).findings == ()
