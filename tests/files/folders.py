"""A described farm in a folder, and how tests read it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from pinset.chain.register import FarmBook
from pinset.errors import Finding
from pinset.files.description.example import example_book
from pinset.files.description.folder import read_folder

TODAY = date(2026, 3, 12)
BOOK = example_book(TODAY)


def read(folder: Path) -> tuple[FarmBook | None, tuple[Finding, ...]]:
    return read_folder(folder, today=TODAY)
