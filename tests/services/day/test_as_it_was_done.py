"""A job that is done is shown with the lots and shelves it was done on, not as it was laid."""

from __future__ import annotations

from datetime import timedelta

import pytest

from farm.small_farm import CODES, NOW, TODAY, Taps, lot
from pinset.chain.stages import Stage
from pinset.farm import door, trade
from pinset.services.answers import recording, taking_back
from pinset.services.day.today import day_view, job_view
from pinset.services.jobs.records import JobKind, LotAmount
from pinset.services.views import JobState, JobView
from services.recorded import LayJob, do, new_id


@pytest.fixture
def other() -> str:
    """Return the code of 20 more blocks of the same variety, on the other shelf."""
    more = lot(CODES[160], Stage.BLOCK, "block", made_on=TODAY - timedelta(days=14))
    door.record([trade.opening(Taps(start=50_000)(hours=-48), more, 20, "inc-2")], now=NOW)
    return more.code


def move(lay: LayJob, code: str, units: int = 20) -> str:
    return lay(
        JobKind.MOVE,
        count=units,
        what=f"blocks {code} into Grow room",
        place="Grow room",
        to_step="fruiting",
        to_room="grow",
        lots=(LotAmount(code, units, "block"),),
    )


def shown(job: str) -> list[JobView]:
    """Return the job as Today and as its own page show it."""
    today = [each for section in day_view().sections for each in section.jobs if each.job == job]
    return [*today, job_view(job)]


def test_a_move_of_another_lot_is_shown_with_that_lot_where_it_stands(
    lay: LayJob, stock: dict[str, str], other: str
) -> None:
    job = move(lay, stock["block"])
    do(job, lots=[(other, 20)], reason="stood nearer")
    for view in shown(job):
        assert view.state is JobState.DONE
        assert view.what == f"blocks {other} into Grow room"
        assert [(use.lot, use.units, use.place) for use in view.from_lots] == [
            (other, 20, "grow-1")
        ]
    assert len(shown(job)) == 2


def test_a_move_of_a_few_names_the_shelf_they_came_to(lay: LayJob, stock: dict[str, str]) -> None:
    """Most of the lot stands where it stood: that is not where the job carried its units."""
    job = move(lay, stock["block"])
    do(job, lots=[(stock["block"], 3)])
    for view in shown(job):
        assert [(use.lot, use.units, use.place) for use in view.from_lots] == [
            (stock["block"], 3, "grow-1")
        ]


def test_parts_are_shown_together_and_as_laid_once_they_are_taken_back(
    lay: LayJob, stock: dict[str, str], other: str
) -> None:
    job = move(lay, stock["block"])
    recording.part_done(job, person="ada", client_id=new_id(), lots=[(stock["block"], 12)])
    done = do(job, lots=[(other, 8)], reason="stood nearer")
    for view in shown(job):
        used = {use.lot: use.units for use in view.from_lots}
        assert used == {stock["block"]: 12, other: 8}
        assert view.what == f"blocks (12 of {stock['block']} and 8 of {other}) into Grow room"
    taking_back.undo(done.entry, person="ada", client_id=new_id(), reason="a slip")
    for view in shown(job):
        assert [use.lot for use in view.from_lots] == [stock["block"]]
        assert view.what == f"blocks {stock['block']} into Grow room"


def test_what_was_done_as_laid_is_shown_as_laid(lay: LayJob, stock: dict[str, str]) -> None:
    job = move(lay, stock["block"])
    do(job)
    for view in shown(job):
        assert view.what == f"blocks {stock['block']} into Grow room"
        assert [(use.lot, use.units) for use in view.from_lots] == [(stock["block"], 20)]
