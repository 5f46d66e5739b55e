"""The terminal's list shows of a part-done job what is left."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date

import pytest

from pinset.cli.today import print_day
from pinset.services.views import DayView, JobState, JobView, Section

JOB = JobView(
    job="J7", kind="transfer", task="transfer", day=date(2026, 3, 12), count=20, unit="units",
    what="blocks from 2 spawn bags AB633", detail="Grey oyster", stage="block", step="block",
    variety="Grey oyster", variety_code="grey", place="", room_kind="preparation", from_lots=(),
    minutes=70, due="", at="08:00", fixed=False, why="", serves=(), spoils="", late_days=0,
    late_cost="", state=JobState.OPEN, done_count=0, claimed_by="", cautions=(), act="Done",
)  # fmt: skip
DAY = DayView(
    day=JOB.day, title="Thursday 12 March", summary="", fixed=(), sections=(), later=(),
    changes=(), notes=(), warnings=(), grow_room_warning="", plan_age="",
)  # fmt: skip


@pytest.mark.parametrize(
    ("state", "done", "line", "minutes"),
    [
        (JobState.OPEN, 0, "20 blocks from 2 spawn bags AB633", 70),
        (JobState.PART, 14, "6 blocks from 2 spawn bags AB633 [left of 20, part done]", 21),
        (JobState.DONE, 20, "20 blocks from 2 spawn bags AB633 [done]", 70),
    ],
)
def test_what_is_left_is_shown(
    capsys: pytest.CaptureFixture[str], state: JobState, done: int, line: str, minutes: int
) -> None:
    job = replace(JOB, state=state, done_count=done)
    print_day(replace(DAY, sections=(Section("Preparation", "", (job,)),)))
    said = capsys.readouterr().out
    assert re.search(rf"08:00 +{re.escape(line)}$", said, re.MULTILINE)
    assert f"Grey oyster. {minutes} min" in said
