"""`pinset size`: what is promised, or what is asked for, in words and for programs."""

from __future__ import annotations

import pytest

from cli.conftest import Terminal


def test_what_is_promised_in_words(pinset: Terminal) -> None:
    said = pinset("size")
    assert said.startswith("This farm is big enough for 10.5 kg a week")
    for part in ("What a week takes", "Full first", "Cooks", "People, a week", "no proof"):
        assert part in said


def test_for_programs(pinset: Terminal) -> None:
    view = pinset.json("size", "--variety", "oyster=21", "--units", "oyster:grain=5")
    assert {"sentence", "rows", "bottlenecks", "cooks", "tasks", "method"} <= set(view)
    sizing = view["sizing"]
    assert sizing["grams"] == 21_000
    needs = {each["key"]: each for each in sizing["resources"]}
    assert {"key", "need", "in_proportion", "has", "unit"} <= set(needs["grow cool"])
    first = sizing["full"][0]
    # as much as is wanted, times the factor, is what there is
    assert needs["grow cool"]["has"] == 120
    assert first["factor"] <= 120 / needs["grow cool"]["need"] * 1.001


@pytest.mark.parametrize(
    ("asked", "why"),
    [
        (("--variety", "oyster=-1"), "0 kg a week or more"),
        (("--variety", "oyster=0"), "more than 0 of at least one variety"),
        (("--variety", "blue=3"), "accepted is oyster"),
        (("--variety", "oyster"), "CODE=KG"),
        (("--units", "oyster=3"), "CODE:STEP=N"),
        (("--units", "oyster:fruiting=3"), "fruiting"),
        (("--units", "oyster:grain=many"), "a number of units a week"),
    ],
)
def test_what_is_refused(pinset: Terminal, asked: tuple[str, ...], why: str) -> None:
    assert why in pinset("size", *asked, status=1)
