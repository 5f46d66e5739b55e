"""Fixtures of the ledger's tests."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from farm.own_database import fresh_database
from farm.small_farm import BOOK, Taps, describe
from pinset.chain.register import FarmBook


@pytest.fixture
def tap() -> Taps:
    return Taps()


@pytest.fixture
def farm(db: None) -> FarmBook:  # noqa: ARG001 - the database must be there
    describe()
    return BOOK


@pytest.fixture
def own_database(tmp_path: Path) -> Iterator[dict[str, str]]:
    with fresh_database(tmp_path) as environment:
        yield environment
