"""`pinset own-figures`: in words, for programs, and taken over."""

from __future__ import annotations

import pytest

from cli.conftest import Terminal


def test_a_farm_without_old_lots_says_so(pinset: Terminal) -> None:
    said = pinset("own-figures")
    assert said.startswith("No lot is old enough yet")
    for part in ("route", "own records", "together", "Blocks lost", "prove nothing"):
        assert part in said


def test_for_programs(pinset: Terminal) -> None:
    view = pinset.json("own-figures", "--variety", "oyster")
    assert {"sentence", "varieties", "method"} == set(view)
    [variety] = view["varieties"]
    [block] = [step for step in variety["steps"] if step["step"] == "block"]
    [group] = block["groups"]
    assert {"what", "words", "lines", "can_take", "taken", "remark"} == set(group)
    figure = group["lines"][0]["figure"]
    assert (figure["what"], figure["unit"], figure["lots"]) == ("loss", "fraction", 0)
    assert (figure["own"], figure["planned"], figure["refusal"]) == (None, None, "no-lots")


@pytest.mark.parametrize(
    ("asked", "why"),
    [
        (("--variety", "blue"), "accepted is oyster"),
        (("--variety", "oyster", "--take", "block", "loss"), "something to plan with"),
        (("--variety", "oyster", "--take", "block", "taste"), "accepted is loss"),
        (("--take", "block", "loss"), "--variety"),
    ],
)
def test_what_is_refused(pinset: Terminal, asked: tuple[str, ...], why: str) -> None:
    assert why in pinset("own-figures", *asked, status=1)
