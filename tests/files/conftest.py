"""The described example in a folder of its own."""

from __future__ import annotations

from pathlib import Path

import pytest

from files.folders import BOOK
from pinset.files.description.writing import write_folder


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    write_folder(BOOK, tmp_path)
    return tmp_path
