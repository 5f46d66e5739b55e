"""The same tap is one entry, and no other answer."""

from __future__ import annotations

import pytest

from pinset.errors import InputError, RefusedError
from pinset.farm.models import Entry
from pinset.services.answers import putting_off, recording, taking_back
from pinset.services.jobs.records import JobKind
from services.recorded import LayJob, counts, do, new_id, transfer


def test_the_same_tap_twice_is_one_entry(lay: LayJob, stock: dict[str, str]) -> None:
    job, tap = transfer(lay, stock), new_id()
    first = recording.done(job, person="ada", client_id=tap)
    again = recording.done(job, person="ada", client_id=tap)
    assert (first.already, again.already) == (False, True)
    assert counts(stock["plate"])["used"] == 3
    assert Entry.objects.filter(job=job).count() == 1


def test_a_finished_job_is_not_done_again_by_another_tap(
    lay: LayJob, stock: dict[str, str]
) -> None:
    job = transfer(lay, stock)
    do(job)
    with pytest.raises(RefusedError, match="recorded as done"):
        do(job)


def test_an_id_that_belongs_to_something_else_is_no_answer(
    lay: LayJob, stock: dict[str, str]
) -> None:
    first, second = transfer(lay, stock), lay(JobKind.ROUND, count=1, unit="rooms", variety="")
    tap = new_id()
    recording.done(first, person="ada", client_id=tap)
    with pytest.raises(InputError, match="fresh random id"):
        recording.done(second, person="ada", client_id=tap)
    with pytest.raises(InputError, match="fresh random id"):
        taking_back.undo(tap, person="ada", client_id=tap, reason="a slip")


@pytest.mark.parametrize(
    ("first", "second", "words"),
    [
        ({"count": 8}, {"count": 9}, "done, count 8; now it says: done, count 9"),
        ({}, {"count": 9}, "done; now it says: done, count 9"),
        ({"lots": "plate=1"}, {"lots": "plate=2"}, "lots plate 1; now it says: done, lots plate 2"),
    ],
)
def test_one_id_with_other_numbers_is_another_answer(
    lay: LayJob,
    stock: dict[str, str],
    first: dict[str, object],
    second: dict[str, object],
    words: str,
) -> None:
    def answer(said: dict[str, object]) -> dict[str, object]:
        if "lots" not in said:
            return said
        return {"lots": [(stock["plate"], int(str(said["lots"])[-1]))]}

    job, tap = transfer(lay, stock), new_id()

    def tell(said: dict[str, object]) -> recording.Done:
        return recording.done(job, person="ada", client_id=tap, **answer(said))  # type: ignore[arg-type]

    tell(first)
    assert tell(first).already
    before = Entry.objects.count()
    with pytest.raises(RefusedError, match=words.replace("plate", stock["plate"])):
        tell(second)
    with pytest.raises(RefusedError, match="now it says: part done"):
        recording.part_done(job, person="ada", client_id=tap, count=8)
    with pytest.raises(RefusedError, match="now it says: not today"):
        putting_off.not_today(job, person="ada", client_id=tap, reason="no time")
    assert Entry.objects.count() == before
