"""Values that cannot be: refused under the option they came by, with what is accepted."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from pinset.cli.main import main

FLOOR = [
    (["done", "J1", "--count", "many"], "--count: 'many' is not accepted", "a whole number from"),
    (["done", "J1", "--count", "-1"], "--count", "from 0 to 100000"),
    (["done", "J1", "--grams", "0"], "--grams: '0' is not accepted", "from 1 to 10000000"),
    (["done", "J1", "--flush", "0"], "--flush", "from 1 to 12"),
    (["look", "7K4MV", "--of", "1e9"], "--of", "a whole number from 1"),
    (["round", "grow", "--days", "nan"], "--days: 'nan'", "above 0, at most 60 days"),
    (["round", "grow", "--flies", "-3"], "--flies", "from 0 to 100000"),
    (["outlets", "--weeks", "1000000000"], "--weeks", "from 1 to 156"),
    (["outlets", "--weeks", "0"], "--weeks", "from 1 to 156"),
    (["promises", "--weeks", "x"], "--weeks", "from 1 to 156"),
    (["lots", "--page", "99999999999999999999"], "--page", "from 1 to 1000000"),
    (
        ["pin", "grey", "block", "yesterday", "3"],
        "DAY: 'yesterday'",
        "a day such as 2026-03-12",
    ),
    (["pin", "grey", "block", "2026-04-01", "x"], "COUNT: 'x'", "a whole number from 0"),
    (["plan", "--seconds", "nan"], "--seconds", "above 0, at most 3600 s"),
    (["promises", "--weeks", "157"], "--weeks: '157'", "from 1 to 156"),
    (["bench", "--days", "99999999999999999999"], "--days", "from 1 to 36500"),
    (["done", "J1", "--flush", "13"], "--flush: '13'", "from 1 to 12"),
    (["demo", "--today", "nonsense"], "--today: 'nonsense'", "a day such as 2026-03-12"),
    (["demo", "--seed", "x"], "--seed: 'x'", "a whole number from 0"),
    (["demo", "--port", "x"], "--port: 'x'", "from 1 to 65535"),
    (["serve", "--port", "99999999999999999999"], "--port", "from 1 to 65535"),
    (["serve", "--workers", "0"], "--workers: '0'", "from 1 to 64"),
    (["cultures", "measure", "7K4MV", "--radius", "0"], "--radius", "above 0, at most 200 mm"),
]


@pytest.mark.parametrize(("call", "at", "accepted"), FLOOR, ids=lambda given: str(given)[:40])
def test_what_cannot_be_is_refused_with_what_can(call: list[str], at: str, accepted: str) -> None:
    said = CliRunner().invoke(main, call)
    assert said.exit_code == 1
    assert at in said.output
    assert accepted in said.output
    assert "valid" not in said.output.lower()  # the library's own word for it
