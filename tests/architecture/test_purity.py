"""The core neither opens files, reads clocks, prints nor draws unseeded random numbers."""

import ast
from pathlib import Path

import pytest

SOURCE = Path(__file__).parents[2] / "src" / "pinset"
PURE = ["science", "chain", "planning", "learning"]
FILES = sorted(path for part in PURE for path in (SOURCE / part).rglob("*.py"))

FORBIDDEN_CALLS = {"open", "print", "input", "exec", "eval"}
FORBIDDEN_MODULES = {"os", "random", "socket", "sqlite3", "subprocess", "io", "pathlib", "secrets"}
FORBIDDEN_ATTRIBUTES = {
    ("datetime", "now"),
    ("datetime", "utcnow"),
    ("date", "today"),
    ("time", "time"),
    ("random", "default_rng"),
}
SEEDED = {"PCG64", "SeedSequence", "Generator"}
STOPWATCH = {("planning", "solve.py")}  # may measure how long the solver took


def faults(text: str) -> list[str]:
    """Return what a pure module must not do."""
    found = []
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Call):
            if isinstance(node.func, ast.Name) and node.func.id in FORBIDDEN_CALLS:
                found.append(f"line {node.lineno}: {node.func.id}()")
            is_seed = isinstance(node.func, ast.Attribute) and node.func.attr in SEEDED
            if is_seed and not node.args:
                found.append(f"line {node.lineno}: unseeded random numbers")
        elif isinstance(node, ast.Attribute) and isinstance(node.value, (ast.Name, ast.Attribute)):
            owner = node.value.id if isinstance(node.value, ast.Name) else node.value.attr
            if (owner, node.attr) in FORBIDDEN_ATTRIBUTES:
                found.append(f"line {node.lineno}: {owner}.{node.attr}")
        elif isinstance(node, ast.Import):
            found += [
                f"line {node.lineno}: import {alias.name}"
                for alias in node.names
                if alias.name.split(".")[0] in FORBIDDEN_MODULES
            ]
        elif isinstance(node, ast.ImportFrom) and (node.module or "") in FORBIDDEN_MODULES:
            found.append(f"line {node.lineno}: from {node.module}")
    return found


@pytest.mark.parametrize("path", FILES, ids=lambda p: f"{p.parent.name}/{p.name}")
def test_core_is_pure(path: Path) -> None:
    assert faults(path.read_text()) == []


def test_the_net_catches() -> None:
    text = "import os\nfrom datetime import date\ndate.today()\nopen('x')\n"
    assert len(faults(text)) == 3
    assert faults("np.random.Generator(np.random.PCG64())")
    assert not faults("np.random.Generator(np.random.PCG64(3))")


@pytest.mark.parametrize("path", sorted((SOURCE / "farm").rglob("*.py")), ids=lambda p: p.name)
def test_only_the_door_writes_entries(path: Path) -> None:
    if "migrations" in path.parts:
        return
    text = path.read_text()
    writes = ("Entry.objects.create", "Entry.objects.bulk_create", "Posting.objects.bulk_create")
    if any(word in text for word in writes):
        assert path.name in {"door.py", "copying.py"}, f"{path.name} writes to the ledger"
