"""A question whose worker is killed is taken again when its lease has run out."""

from __future__ import annotations

import pytest

from farm.own_database import run_program


@pytest.mark.kill
def test_a_killed_workers_question_is_answered_by_the_next(own_database: dict[str, str]) -> None:
    found = run_program("lost_worker.py", {**own_database, "PINSET_TODAY": "2026-03-12"})
    assert found["killed"]
    assert found["after"]["taken"]
    assert not found["after"]["ended"]
    assert found["after"]["progress"] == "planning with it"
    assert found["within_the_lease"] is None
    assert found["ended"]["ended"]
    assert found["ended"]["problem"] == ""
    assert found["ended"]["verdict"] in {"yes", "later", "no"}
