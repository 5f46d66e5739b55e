"""The examples in docstrings."""

from __future__ import annotations

import doctest
from types import ModuleType

import pytest

from pinset.learning.incidence import links, rates


@pytest.mark.parametrize("module", [links, rates], ids=lambda module: module.__name__)
def test_examples(module: ModuleType) -> None:
    ran = doctest.testmod(module)
    assert ran.attempted > 0
    assert ran.failed == 0
