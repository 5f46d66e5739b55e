"""What was soaked is not taken back under what was filled, nor that under what was loaded."""

from __future__ import annotations

import pytest

from farm.small_farm import TODAY
from pinset.chain.register import FarmBook
from pinset.errors import RefusedError
from pinset.farm.models import Entry
from pinset.services.answers import putting_off, recording
from pinset.services.plans import planning_day
from pinset.services.views import Done
from services.conftest import LayJob
from services.straw import Jobs, do, lay_cook, take_back, with_straw


@pytest.fixture
def book(farm: FarmBook, monkeypatch: pytest.MonkeyPatch) -> FarmBook:
    monkeypatch.setattr(planning_day, "latest", lambda: None)
    return with_straw(farm)


@pytest.fixture
def jobs(book: FarmBook, lay: LayJob) -> Jobs:
    """Codes of the jobs of a cook of twenty bags."""
    return lay_cook(book, lay)


def number(done: Done) -> int:
    return Entry.objects.get(client_id=done.entry).pk


def test_a_soak_under_a_fill_stays(jobs: Jobs) -> None:
    soaked = do(jobs["soak"])
    filled = do(jobs["fill"])
    with pytest.raises(RefusedError) as refused:
        take_back(soaked)
    assert str(refused.value) == (
        f"This soak cannot be taken back: fill was written down after it, for 20 on {TODAY}. "
        f"Take back that entry first; it is number {number(filled)}, of job {jobs['fill']}."
    )
    assert not Entry.objects.get(client_id=soaked.entry).is_corrected
    take_back(filled)
    take_back(soaked)


def test_a_fill_under_a_load_stays(jobs: Jobs) -> None:
    filled = do(jobs["fill"])
    loaded = do(jobs["load"])
    with pytest.raises(RefusedError) as refused:
        take_back(filled)
    assert str(refused.value) == (
        f"This fill cannot be taken back: load was written down after it, for 20 on {TODAY}. "
        f"Take back that entry first; it is number {number(loaded)}, of job {jobs['load']}."
    )
    take_back(loaded)
    take_back(filled)


def test_the_last_that_stands_on_it_is_named(jobs: Jobs) -> None:
    soaked = do(jobs["soak"])
    do(jobs["fill"])
    loaded = do(jobs["load"])
    with pytest.raises(RefusedError, match=f"load was written .* number {number(loaded)},"):
        take_back(soaked)


def test_a_part_nothing_stands_on_is_taken_back(jobs: Jobs) -> None:
    do(jobs["soak"], recording.part_done, count=12)
    more = do(jobs["soak"])
    do(jobs["fill"], recording.part_done, count=12)
    take_back(more)
    do(jobs["soak"])
    rest = do(jobs["fill"])
    do(jobs["load"], recording.part_done, count=12)
    take_back(rest)


def test_what_was_written_down_late_is_taken_back(jobs: Jobs) -> None:
    do(jobs["fill"], recording.part_done, count=12)
    do(jobs["load"], recording.part_done, count=12)
    take_back(do(jobs["soak"], count=11))


def test_work_that_took_none_of_it_does_not_hold_it(
    jobs: Jobs, book: FarmBook, lay: LayJob
) -> None:
    other = lay_cook(book, lay, 9)
    dropped = do(other["fill"], putting_off.not_at_all, reason="no bags")
    soaked = do(jobs["soak"])
    take_back(dropped)
    take_back(soaked)
