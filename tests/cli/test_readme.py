"""The README tells the truth: its example runs, its links lead somewhere, its settings exist."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pinset.settings

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_the_example_prints_what_the_readme_shows() -> None:
    done = subprocess.run(
        [sys.executable, ROOT / "tools" / "readme_example.py"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr


def test_links_lead_somewhere() -> None:
    for target in re.findall(r"\]\(([^)#]+)\)", README):
        if not target.startswith("http"):
            assert (ROOT / target).exists(), target


def test_every_setting_is_documented() -> None:
    for name in pinset.settings.VARIABLES:
        assert f"`{name}`" in README


def test_the_make_targets_exist() -> None:
    makefile = (ROOT / "Makefile").read_text()
    for target in set(re.findall(r"`make ([a-z]+)`", README)) | {"demo", "test"}:
        assert f"\n{target}:" in makefile
