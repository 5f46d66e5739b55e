"""The rule of a lime bath as it is typed."""

from __future__ import annotations

import pytest

from pinset.chain.lime import LimeRule, is_lime, read_lime
from pinset.errors import InputError


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ("lime=12h/pH12", LimeRule(12.0, 12.0)),
        ("lime=16", LimeRule(16.0)),
        ("Lime = 8.5 h / 12.2", LimeRule(8.5, 12.2)),
    ],
)
def test_rules_are_read(text: str, rule: LimeRule) -> None:
    assert is_lime(text)
    assert read_lime(text) == rule


@pytest.mark.parametrize("text", ["lime", "lime=", "lime=0", "lime=200h", "lime=12h/pH3", "f0=15"])
def test_what_is_no_rule_is_refused(text: str) -> None:
    with pytest.raises(InputError, match="rule"):
        read_lime(text)
