"""A writer killed with SIGKILL at random moments loses nothing it was told is recorded."""

from __future__ import annotations

import pytest

from farm.own_database import run_program

TIMES = 200
ENOUGH = 60
"""Acknowledged entries below which the kills came too early to show anything."""


def nothing_lost(found: dict[str, list[str]]) -> None:
    assert len(found["acknowledged"]) >= ENOUGH
    assert set(found["acknowledged"]) <= set(found["kept"])
    # a list of three is whole or not there: nothing is half-written
    assert len(found["kept"]) % 3 == 1
    assert found["findings"] == []


@pytest.mark.kill
def test_nothing_acknowledged_is_lost(own_database: dict[str, str]) -> None:
    nothing_lost(run_program("kill_writer.py", own_database, str(TIMES), "2026"))
