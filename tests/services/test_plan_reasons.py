"""Why a plan differs: what was left undone, and how much of it."""

from __future__ import annotations

from datetime import timedelta

import pytest

from farm.small_farm import NOW, TODAY
from pinset.services.job_records import JobKind, PlannedJob
from pinset.services.jobs_matching import KnownJob
from pinset.services.plan_reasons import reasons

YESTERDAY = TODAY - timedelta(days=1)
MOVE = PlannedJob(
    "move:lion", JobKind.MOVE, "move", YESTERDAY, 33, "units", "blocks in", "growing",
    step="fruiting", variety="lion",
)  # fmt: skip


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("done", "said"),
    [
        (0, "Fruiting of 11 March was not done."),
        (20, "Of fruiting of 11 March 20 of 33 were done."),
    ],
)
def test_what_was_partly_done_was_not_left_undone(done: int, said: str) -> None:
    reason = reasons(0, NOW, [KnownJob("J1", MOVE, done)], TODAY, YESTERDAY)
    assert reason(MOVE) == said
