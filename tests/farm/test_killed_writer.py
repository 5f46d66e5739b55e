"""A writer killed with SIGKILL at random moments loses nothing it was told is recorded."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from urllib.parse import urlsplit, urlunsplit

import pytest

from pinset.settings import DATABASES

TIMES = 200
ENOUGH = 60
"""Acknowledged entries below which the kills came too early to show anything."""
SECONDS = 120
ROOT = Path(__file__).parents[2]


def run(environment: dict[str, str]) -> dict[str, list[str]]:
    said = subprocess.run(
        [sys.executable, str(Path(__file__).with_name("kill_writer.py")), str(TIMES), "2026"],
        env={**os.environ, **environment, "PYTHONPATH": str(ROOT / "tests")},
        capture_output=True,
        text=True,
        timeout=SECONDS,
        check=False,
    )
    assert said.returncode == 0, said.stderr
    found: dict[str, list[str]] = json.loads(said.stdout)
    return found


def nothing_lost(found: dict[str, list[str]]) -> None:
    assert len(found["acknowledged"]) >= ENOUGH
    assert set(found["acknowledged"]) <= set(found["kept"])
    # a list of three is whole or not there: nothing is half-written
    assert len(found["kept"]) % 3 == 1
    assert found["findings"] == []


@pytest.mark.kill
def test_sqlite_loses_nothing_acknowledged(tmp_path: Path) -> None:
    nothing_lost(run({"PINSET_FARM": str(tmp_path), "PINSET_DATABASE": ""}))


@pytest.mark.kill
@pytest.mark.postgres
def test_postgresql_loses_nothing_acknowledged() -> None:
    if "postgresql" not in DATABASES["default"]["ENGINE"]:
        pytest.skip("no PostgreSQL: name one by PINSET_DATABASE to run this")
    import psycopg

    name = f"pinset_kill_{os.getpid()}"
    parts = urlsplit(os.environ["PINSET_DATABASE"])
    server = urlunsplit(parts._replace(path="/postgres"))
    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}")
        try:
            nothing_lost(run({"PINSET_DATABASE": urlunsplit(parts._replace(path=f"/{name}"))}))
        finally:
            connection.execute(f"DROP DATABASE {name} WITH (FORCE)")
