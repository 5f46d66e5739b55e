"""A part that was weighed leaves the rest open, as a part that was counted does."""

from __future__ import annotations

import secrets

import pytest

from farm.small_farm import TODAY
from pinset.farm import job_store
from pinset.farm.models import Entry
from pinset.farm.queries.lots import lot_by_code, rows_of
from pinset.services.answers import recording, taking_back
from pinset.services.day import today
from pinset.services.jobs.records import JobKind, LotAmount
from pinset.services.views import Done, JobState
from services.conftest import LayJob


def part(job: str, **more: object) -> Done:
    return recording.part_done(
        job,
        person="ada",
        client_id=secrets.token_hex(16),
        **more,  # type: ignore[arg-type]
    )


def do(job: str, **more: object) -> Done:
    return recording.done(
        job,
        person="ada",
        client_id=secrets.token_hex(16),
        **more,  # type: ignore[arg-type]
    )


def is_closed(job: str) -> bool:
    row = job_store.job_by_code(job)
    assert row is not None
    return row.is_closed


def delivered(lot: str) -> int:
    [row] = rows_of([lot_by_code(lot)])
    return row.counts.delivered_g


@pytest.fixture
def picked(lay: LayJob, stock: dict[str, str]) -> str:
    """A lot of which 9 kg are in the store."""
    pick = lay(JobKind.PICK, count=9, unit="kg", lots=(LotAmount(stock["fruiting"], 20),))
    do(pick, grams=9000)
    return stock["fruiting"]


def deliver(lay: LayJob, grams: int = 5000) -> str:
    count = max(1, round(grams / 1000))
    return lay(
        JobKind.DELIVER, count=count, unit="kg", grams=grams, promise="market-grey", day=TODAY
    )


@pytest.mark.parametrize("grams", [300, 2400, 4600, 4900])
def test_a_weighed_part_of_a_delivery_leaves_the_rest(lay: LayJob, picked: str, grams: int) -> None:
    job = deliver(lay)
    answer = part(job, grams=grams)
    assert answer.sentence.endswith("the rest stays open.")
    assert not is_closed(job)
    view = today.job_view(job)
    assert view.state is JobState.PART
    assert view.left >= 1
    do(job)
    assert delivered(picked) == 5000, "what is left, not the whole once more"
    assert is_closed(job)


def test_less_than_a_kilogram_of_one_leaves_the_rest(lay: LayJob, picked: str) -> None:
    job = deliver(lay, 1000)
    part(job, grams=400)
    assert not is_closed(job)
    assert today.job_view(job).state is JobState.PART
    do(job, grams=600)
    assert delivered(picked) == 1000


def test_parts_that_make_the_whole_close_it(lay: LayJob, picked: str) -> None:
    job = deliver(lay)
    part(job, grams=2600)
    part(job, grams=2400)
    assert is_closed(job)
    assert delivered(picked) == 5000


def test_a_part_that_is_picked_never_closes_the_pick(lay: LayJob, stock: dict[str, str]) -> None:
    """What is to be picked is only expected; who says part means that more stands there."""
    job = lay(JobKind.PICK, count=6, unit="kg", lots=(LotAmount(stock["fruiting"], 20),))
    part(job, grams=5700)
    assert not is_closed(job)
    part(job, lots=[(stock["fruiting"], 900)])
    assert not is_closed(job)
    assert today.job_view(job).state is JobState.PART


@pytest.mark.usefixtures("picked")
def test_a_weighed_part_that_is_packed_leaves_the_rest(lay: LayJob) -> None:
    job = lay(JobKind.PACK, count=5, unit="kg", grams=5000, variety="")
    answer = part(job, grams=2000)
    assert Entry.objects.get(client_id=answer.entry).details["count"] == 2
    assert not is_closed(job)
    assert today.job_view(job).left == 3
    taking_back.undo(answer.entry, person="ada", client_id=secrets.token_hex(16), reason="a slip")
    assert today.job_view(job).state is JobState.OPEN


@pytest.mark.usefixtures("picked")
def test_what_is_thrown_out_in_part_leaves_the_rest(lay: LayJob) -> None:
    job = lay(JobKind.WASTE, count=1, unit="kg", grams=1400)
    part(job, grams=600, reason="bruised")
    assert not is_closed(job)
