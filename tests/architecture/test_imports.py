"""The import table is data; this holds every module to it, and finds cycles."""

import ast
import sys
import tomllib
from pathlib import Path

import pytest

SOURCE = Path(__file__).parents[2] / "src" / "pinset"
PARTS = tomllib.loads((Path(__file__).parent / "import_rules.toml").read_text())["parts"]
MODULES = sorted(p for p in SOURCE.rglob("*.py") if "migrations" not in p.parts)
RECORDS_ONLY = {"web", "cli"}
CHAIN_RECORDS = {
    "pinset.chain.register",
    "pinset.chain.stages",
    "pinset.chain.plain",
    "pinset.chain.upkeep",
}


def module_name(path: Path) -> str:
    """Return the dotted name of a file below src."""
    parts = path.relative_to(SOURCE.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imported(path: Path) -> set[str]:
    """Return every dotted name a module imports, inside functions too, resolved to modules."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: relative import"
            base = node.module or ""
            for alias in node.names:
                full = f"{base}.{alias.name}"
                found.add(full if full in NAMES else base)
    return found


NAMES = {module_name(path) for path in MODULES}


def part_of(name: str) -> str:
    """Return the part a pinset module belongs to."""
    pieces = name.split(".")
    return pieces[1] if len(pieces) > 1 else ""


@pytest.mark.parametrize("path", MODULES, ids=module_name)
def test_a_module_imports_only_what_its_part_may(path: Path) -> None:
    part = part_of(module_name(path))
    if not part:
        assert not imported(path), "pinset/__init__.py imports nothing"
        return
    assert part in PARTS, f"{part} is not in import_rules.toml"
    allowed = {part, *PARTS[part]["ours"]}
    for name in imported(path):
        top = name.split(".")[0]
        if top == "pinset":
            used = part_of(name)
            assert used, f"{name}: the top package is for nobody inside"
            assert used in allowed, f"{part} may not import {name}"
            if part in RECORDS_ONLY and used == "chain":
                assert name in CHAIN_RECORDS, f"{part} may import records only, not {name}"
            if part == "cli" and used == "demo":
                assert path.name == "demo.py", "only the demo command imports the demo"
        elif top not in sys.stdlib_module_names:
            assert top in PARTS[part]["outside"], f"{part} may not import {name}"


def test_no_import_cycles_even_inside_functions() -> None:
    graph = {
        module_name(path): {
            name for name in imported(path) if name in NAMES and name != module_name(path)
        }
        for path in MODULES
    }
    done: set[str] = set()

    def visit(name: str, trail: tuple[str, ...]) -> None:
        assert name not in trail, " -> ".join((*trail[trail.index(name) :], name))
        if name in done:
            return
        for other in sorted(graph[name]):
            visit(other, (*trail, name))
        done.add(name)

    for name in sorted(graph):
        visit(name, ())


def test_the_table_itself_has_no_cycle() -> None:
    for part, rule in PARTS.items():
        for other in rule["ours"]:
            assert part not in PARTS[other]["ours"], f"{part} and {other} may import each other"


def test_a_forbidden_import_is_found(tmp_path: Path) -> None:
    sample = tmp_path / "sample.py"
    sample.write_text("def f():\n    import django.db\n    from pinset.farm import door\n")
    assert "django.db" in imported(sample)
    assert any(name.startswith("pinset.farm") for name in imported(sample))
