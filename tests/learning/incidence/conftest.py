"""Small matrices on one thread, as the fit itself holds them."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from pinset.learning.incidence.one_thread import one_thread


@pytest.fixture(autouse=True)
def held() -> Iterator[None]:
    with one_thread():
        yield
