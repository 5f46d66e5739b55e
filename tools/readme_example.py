"""Run the worked example of the README and put its real output there, or compare it.

Usage: readme_example.py [--write]   Without --write it exits 1 if the README says something else.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[1]
README = ROOT / "README.md"
DAY = "2026-03-12"
BLOCK = re.compile(
    r"(<!-- example[^\n]*-->\n```console\n)(.*?)(```\n<!-- end of example -->)", re.DOTALL
)
MADE_AT = re.compile(r"(Planned today at )\d\d:\d\d")


def run_example(block: str) -> str:
    """Return the block with the output its commands print now."""
    commands = [line[2:] for line in block.splitlines() if line.startswith("$ ")]
    environment = {k: v for k, v in os.environ.items() if not k.startswith(("PINSET_", "DJANGO_"))}
    environment["PINSET_TODAY"] = DAY
    shown = []
    with tempfile.TemporaryDirectory() as folder:
        for command in commands:
            words = command.split()
            done = subprocess.run(
                [Path(sys.executable).parent / words[0], *words[1:]],
                cwd=folder,
                env=environment,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                text=True,
                check=True,
            )
            said = MADE_AT.sub(r"\g<1>10:15", done.stdout.rstrip())
            kept = [line.rstrip() for line in said.splitlines()]
            shown.append("\n".join([f"$ {command}", *kept]))
    return "\n".join(shown) + "\n"


def _told(block: str) -> str:
    """Return an example without the proven gap, which differs by how quick the machine is."""
    return re.sub(r"gap \d+(\.\d+)?%", "gap", block)


def main() -> int:
    """Write or compare."""
    text = README.read_text(encoding="utf-8")
    found = BLOCK.search(text)
    if found is None:
        print("README.md has no example")
        return 1
    block = run_example(found.group(2))
    if "--write" in sys.argv:
        README.write_text(text.replace(found.group(2), block), encoding="utf-8")
        return 0
    if _told(block) != _told(found.group(2)):
        print(block)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
