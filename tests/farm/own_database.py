"""A database for programs of their own: a folder for SQLite, a fresh name on the server."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit, urlunsplit

SECONDS = 180
TESTS = Path(__file__).parents[1]


@contextmanager
def fresh_database(folder: Path) -> Iterator[dict[str, str]]:
    """Give the environment that points at a new, empty database of the kind the tests run on."""
    url = os.environ.get("PINSET_DATABASE", "")
    if not url:
        yield {"PINSET_FARM": str(folder), "PINSET_DATABASE": ""}
        return
    import psycopg

    name, parts = f"pinset_own_{os.getpid()}", urlsplit(url)
    server = urlunsplit(parts._replace(path="/postgres"))
    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}")
        try:
            yield {
                "PINSET_FARM": str(folder),
                "PINSET_DATABASE": urlunsplit(parts._replace(path=f"/{name}")),
            }
        finally:
            connection.execute(f"DROP DATABASE {name} WITH (FORCE)")


def run_program(name: str, environment: dict[str, str], *arguments: str) -> dict[str, Any]:
    """Run a program of this folder and return the JSON it prints."""
    said = subprocess.run(
        [sys.executable, str(Path(__file__).with_name(name)), *arguments],
        env={**os.environ, **environment, "PYTHONPATH": str(TESTS)},
        capture_output=True,
        text=True,
        timeout=SECONDS,
        check=False,
    )
    assert said.returncode == 0, said.stderr
    found: dict[str, Any] = json.loads(said.stdout)
    return found
