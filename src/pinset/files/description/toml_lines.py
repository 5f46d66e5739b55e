"""On which line of a TOML text a value stands, so that a finding can point at it.

The standard reader gives values without their places. This follows headers and keys line by line;
where a text is too unusual for that, a place is not known and the finding names the path alone.
"""

from __future__ import annotations

import re

Path = tuple[str | int, ...]

_MANY = re.compile(r"\s*\[\[\s*([A-Za-z0-9_.\-]+)\s*\]\]")
_ONE = re.compile(r"\s*\[\s*([A-Za-z0-9_.\-]+)\s*\]")
_KEY = re.compile(r"""\s*["']?([A-Za-z0-9_\-]+)["']?\s*=""")
_STRING = re.compile(r'"(?:[^"\\]|\\.)*"|\'[^\']*\'')


def lines_of(text: str) -> dict[Path, int]:
    """Return the line of every header, key and inline table found, counted from 1."""
    found: dict[Path, int] = {}
    count: dict[Path, int] = {}
    prefix: Path = ()
    key: Path = ()
    depth = tables = 0  # open brackets, and inline tables so far, of the key's value
    for number, raw in enumerate(text.splitlines(), start=1):
        line = _STRING.sub("''", raw).partition("#")[0]
        if not depth:
            if header := _MANY.match(line):
                name = _resolved(header[1].split("."), count)
                count[name] = count.get(name, -1) + 1
                prefix = (*name, count[name])
                found[prefix] = number
                continue
            if header := _ONE.match(line):
                prefix = _resolved(header[1].split("."), count)
                found[prefix] = number
                continue
            named = _KEY.match(raw)
            if not named:
                continue
            key, tables = (*prefix, named[1]), 0
            found[key] = number
        for _ in range(line.count("{")):
            found[(*key, tables)] = number
            tables += 1
        depth = max(0, depth + line.count("[") - line.count("]"))
    return found


def _resolved(names: list[str], count: dict[Path, int]) -> Path:
    """Put the running number behind each name that is a repeated table."""
    path: Path = ()
    for name in names[:-1]:
        path = (*path, name)
        if path in count:
            path = (*path, count[path])
    return (*path, names[-1])


def line_of(path: Path, lines: dict[Path, int]) -> int | None:
    """Return the line of a path, or of the nearest thing that holds it."""
    while path:
        if path in lines:
            return lines[path]
        path = path[:-1]
    return None
