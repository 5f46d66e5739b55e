"""Four tablets at once, each also sending what the others send."""

from __future__ import annotations

from farm.own_database import run_program

WRITERS = 4
TURNS = 30


def test_each_entry_is_taken_once_whoever_sends_it(own_database: dict[str, str]) -> None:
    found = run_program("many_writers.py", own_database, str(WRITERS), str(TURNS))
    assert found["shared"] == [1] * TURNS
    assert found["entries"] == 1 + TURNS + WRITERS * TURNS
    assert found["alive"] == 500 - TURNS - WRITERS * TURNS
    assert found["codes_given_twice"] == 0
    assert found["findings"] == []
