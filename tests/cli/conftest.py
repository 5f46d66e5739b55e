"""A farm made by the commands themselves, as a grower would, in its own folder."""

from __future__ import annotations

import json
import os
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from cli.warm import Warm

WARM = Warm()
PINSET = Path(sys.executable).parent / "pinset"


@dataclass(frozen=True)
class Terminal:
    """Runs `pinset` for one farm folder."""

    farm: Path
    today: str = "2026-03-12"

    def __call__(self, *words: object, status: int = 0, typed: str = "") -> str:
        """Run a command, check its exit status and return what it printed."""
        environment = {k: v for k, v in os.environ.items() if k != "PINSET_DATABASE"}
        environment["PINSET_TODAY"] = self.today
        done = WARM.run(PINSET, ["--farm", str(self.farm), *map(str, words)], environment, typed)
        said = done.stdout + done.stderr
        assert "Traceback" not in said, said
        assert done.returncode == status, said
        return said if status else done.stdout

    def json(self, *words: object) -> Any:
        """Run a command with --json and return what it printed, read."""
        return json.loads(self(*words, "--json"))


@pytest.fixture(scope="module")
def described(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The templates, filled in as they come."""
    folder = tmp_path_factory.mktemp("described") / "farm-files"
    terminal = Terminal(folder.parent / "nowhere")
    terminal("new", folder)
    _bring_to(folder, "2026-03-12")
    return folder


def _bring_to(folder: Path, day: str) -> None:
    """Shift the example lots of the templates to just before a day, whenever the test is run."""
    from datetime import date, timedelta

    path = folder / "lots.csv"
    lines = path.read_text(encoding="utf-8-sig").splitlines()
    dates = [word for line in lines if not line.startswith("#") for word in line.split(",")]
    made = [date.fromisoformat(word) for word in dates if _is_date(word)]
    if not made:
        return
    shift = date.fromisoformat(day) - max(made) - timedelta(days=9)
    text = "\n".join(lines) + "\n"
    for old in sorted(set(made), reverse=shift > timedelta(0)):
        text = text.replace(old.isoformat(), (old + shift).isoformat())
    path.write_text(text, encoding="utf-8")


def _is_date(word: str) -> bool:
    parts = word.split("-")
    return len(parts) == 3 and all(part.isdigit() for part in parts) and len(parts[0]) == 4


@pytest.fixture(scope="module")
def pinset(described: Path, tmp_path_factory: pytest.TempPathFactory) -> Terminal:
    """The commands, on a farm loaded from the templates."""
    terminal = Terminal(tmp_path_factory.mktemp("farm") / "my-farm")
    terminal("load", described)
    return terminal
