"""The lines of `pinset today` are sentences: one stop each, and one word before an hour."""

from __future__ import annotations

import pytest

from pinset.cli.today import _print_job
from pinset.services.views import JobState, JobView


def job(**more: object) -> JobView:
    texts = [
        *("job", "kind", "task", "unit", "what", "detail", "stage", "step", "variety"),
        *("variety_code", "place", "room_kind", "due", "at", "why", "spoils", "late_cost"),
        *("claimed_by", "act"),
    ]
    given: dict[str, object] = dict.fromkeys(texts, "") | {
        "day": None, "count": 3, "from_lots": (), "minutes": 20, "fixed": False, "serves": (),
        "late_days": 0, "state": JobState.OPEN, "done_count": 0, "cautions": (),
    }  # fmt: skip
    return JobView(**(given | more))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("due", "said"),
    [
        ("", ""),
        ("14:00", "by 14:00"),
        ("before 17:00", "before 17:00"),
        ("after 9:00", "after 9:00"),
    ],
)
def test_an_hour_is_said_with_one_word(due: str, said: str) -> None:
    assert job(due=due).due_said == said


def test_no_sentence_ends_twice(capsys: pytest.CaptureFixture[str]) -> None:
    _print_job(job(stop="Not without a reason.", detail="62% water", due="before 17:00"))
    said = capsys.readouterr().out.splitlines()[-1].strip()
    assert said == "Not without a reason. 62% water. 20 min. before 17:00"


@pytest.mark.parametrize(
    ("done", "said"),
    [(4, "4 blocks [of 14, done]"), (14, "14 blocks [done]"), (0, "14 blocks [done]")],
)
def test_of_what_is_done_the_number_that_was_done_is_said(
    capsys: pytest.CaptureFixture[str], done: int, said: str
) -> None:
    _print_job(job(count=14, what="blocks", state=JobState.DONE, done_count=done))
    assert capsys.readouterr().out.splitlines()[0].endswith(said)
