"""Rules for cooks, as typed."""

from __future__ import annotations

import pytest

from pinset.errors import InputError
from pinset.science.judging.cook_rules import read_rule, rule_from_words, rule_in_words
from pinset.science.judging.records import Rule


@pytest.mark.parametrize(
    ("text", "rule", "words"),
    [
        ("f0=15", Rule(f0=15.0), "F0 15 min"),
        (" F0 = 8 min ", Rule(f0=8.0), "F0 8 min"),
        ("hold=121/15", Rule(hold_c=121.0, hold_minutes=15.0), "15 min at 121 °C"),
        ("f0=8, hold=121/15", Rule(8.0, 121.0, 15.0), "F0 8 min and 15 min at 121 °C"),
    ],
)
def test_what_is_typed(text: str, rule: Rule, words: str) -> None:
    assert read_rule(text) == rule
    assert rule_in_words(rule) == words
    assert rule_from_words(words) == rule


def test_degrees_fahrenheit() -> None:
    rule = read_rule("hold=250F/15")
    assert rule.hold_c == pytest.approx(121.11, abs=0.005), "(250 - 32) / 1.8"


@pytest.mark.parametrize(
    "text",
    ["", "15", "f0", "f0=", "f0=long", "f0=-3", "f0=nan", "hold=121", "hold=121/", "hold=/15",
     "f0=8,f0=9", "sal=6", "hold=15/121"],
)  # fmt: skip
def test_what_is_no_rule(text: str) -> None:
    with pytest.raises(InputError):
        read_rule(text)


def test_no_words_are_no_rule() -> None:
    assert rule_from_words("") is None


@pytest.mark.parametrize(
    "words", ["F0", "F0 many min", "15 min", "F0 8 min and F0 9 min", "15 min at hot °C"]
)
def test_what_are_no_words_of_a_rule(words: str) -> None:
    with pytest.raises(InputError):
        rule_from_words(words)
