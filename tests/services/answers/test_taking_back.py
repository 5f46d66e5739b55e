"""What was recorded is taken back by a correcting entry."""

from __future__ import annotations

import pytest

from pinset.errors import RefusedError
from pinset.farm import job_store
from pinset.farm.check import check
from pinset.farm.models import Entry
from pinset.services.answers import lot_actions, putting_off, taking_back
from pinset.services.answers.lot_actions import Saying
from pinset.services.jobs.records import JobKind, LotAmount
from services.recorded import LayJob, counts, do, new_id, transfer


def test_undo_is_a_correcting_entry_and_opens_the_job_again(
    lay: LayJob, stock: dict[str, str]
) -> None:
    job = transfer(lay, stock)
    answer = do(job)
    taking_back.undo(answer.entry, person="ben", client_id=new_id(), reason="wrong jars")
    assert counts(stock["plate"]) == {"made": 20, "alive": 20}
    assert not job_store.job_by_code(job).is_closed  # type: ignore[union-attr]
    assert Entry.objects.filter(job=job).count() == 2
    assert check() == ()
    do(job)
    assert counts(stock["plate"])["used"] == 3


def test_undoing_an_old_put_off_leaves_a_finished_job_finished(
    lay: LayJob, stock: dict[str, str]
) -> None:
    job = transfer(lay, stock)
    off = putting_off.not_today(job, person="ada", client_id=new_id(), reason="no time")
    do(job, count=20)
    taking_back.undo(off.entry, person="ada", client_id=new_id(), reason="a slip")
    with pytest.raises(RefusedError, match="recorded as done"):
        do(job)
    assert counts(stock["plate"])["used"] == 3


def test_taking_back_what_was_used_since_is_said(lay: LayJob, stock: dict[str, str]) -> None:
    move = lay(
        JobKind.MOVE,
        count=20,
        to_step="fruiting",
        to_room="grow",
        lots=(LotAmount(stock["block"], 20, "block"),),
    )
    answer = do(move)
    lot_actions.lose(Saying(stock["block"], "ada", new_id()), 20, "green dust")
    back = taking_back.undo(answer.entry, person="ada", client_id=new_id(), reason="wrong room")
    assert back.findings
