"""What to tell people when the disk or the database fails in the middle of something."""

from __future__ import annotations

from pinset.farm.trouble import trouble_of


def plain(problem: BaseException) -> str | None:
    """Return a sentence or two for an error of the database or the disk; None for any other."""
    found = trouble_of(problem)
    return str(found) if found else None
