"""Fixtures of the ledger's tests."""

from __future__ import annotations

import pytest

from farm.small_farm import BOOK, Taps, describe
from pinset.chain.register import FarmBook


@pytest.fixture
def tap() -> Taps:
    return Taps()


@pytest.fixture
def farm(db: None) -> FarmBook:  # noqa: ARG001 - the database must be there
    describe()
    return BOOK
