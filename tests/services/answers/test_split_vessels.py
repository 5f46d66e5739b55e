"""A vessel that split in a transfer leaves the books with it; others that are left stay as good."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import CODES, NOW, TODAY, Taps, lot
from pinset.chain.stages import Stage
from pinset.farm import door, trade
from pinset.services.answers import recording, taking_back
from pinset.services.cooks.judge import verdict_entries as cook_verdict_entries
from pinset.services.jobs.records import JobKind, LotAmount
from services.conftest import LayJob
from services.recorded import counts, do, new_id

JARS = CODES[30]
COOK = "kettle-20260310-1000"


@pytest.fixture
def job(lay: LayJob, stock: dict[str, str], tap: Taps) -> str:
    """A transfer into twelve jars of a cook that passed two days ago."""
    made = lot(JARS, Stage.PREPARED, "grain", variety="", culture="",
               made_on=TODAY - timedelta(days=2))  # fmt: skip
    entry = trade.cook(
        replace(tap(hours=-47), job=""), COOK, [(made, 12)], "bay-1",
        steriliser="kettle", cook_kind="grain", hold_minutes=92, details={"count": 12},
    )  # fmt: skip
    door.record([entry], now=NOW)
    cook_verdict_entries.judge_by_hand(new_id(), "ada", COOK, "pass", "gauge and clock")
    plates = (LotAmount(stock["plate"], 3, "plate"),)
    return lay(JobKind.TRANSFER, step="grain", stage="grain", lots=plates, vessels=(JARS,))


@pytest.mark.parametrize(
    ("done", "reason", "out"),
    [
        (11, "one split", 1),
        (10, "2 jars cracked", 2),
        (9, "one bag tore, the rest on Friday", 1),
        (9, "torn at the seam", 3),
    ],
)
def test_what_split_is_offered_to_no_later_transfer(
    job: str, done: int, reason: str, out: int
) -> None:
    answer = do(job, count=done, reason=reason)
    left = {"alive": 12 - done - out} if done + out < 12 else {}
    assert counts(JARS) == {"made": 12, "used": done, "culled": out, **left}
    assert answer.sentence.endswith(f"{out} of {JARS} taken out of the books.")
    taking_back.undo(answer.entry, person="ada", client_id=new_id(), reason="a slip")
    assert counts(JARS) == {"made": 12, "alive": 12}


def test_what_is_left_whole_stays_and_the_answer_says_so(job: str) -> None:
    answer = do(job, count=10, reason="no more spawn")
    assert counts(JARS) == {"made": 12, "used": 10, "alive": 2}
    assert (
        f"2 vessels of {JARS} stay in the books as good: what is split or leaks is lost, to be "
        "said on the lot's page."
    ) in answer.findings


def test_a_part_and_a_whole_say_nothing_of_it(job: str) -> None:
    part = recording.part_done(job, person="ada", client_id=new_id(), count=5, reason="one split")
    assert counts(JARS) == {"made": 12, "used": 5, "alive": 7}, "the rest is still to be done"
    assert part.findings == ()
    assert do(job).findings == ()
    assert counts(JARS) == {"made": 12, "used": 12}
