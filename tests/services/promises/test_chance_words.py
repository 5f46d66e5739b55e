"""How sure a promise is, as it is said."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from farm.small_farm import BOOK, TODAY
from pinset.planning.problem import Problem
from pinset.planning.season.chances import Cause, FarmChances, OrderChance, WeekSurplus
from pinset.planning.season.odds import Odds
from pinset.planning.season.tuning import Tuned, Tuning
from pinset.services.book_reader import Reader
from pinset.services.promises import how_sure
from pinset.services.promises.chance_words import (
    chances_by_day,
    in_seasons,
    is_weak,
    surplus_in_words,
    why_weak,
    with_chance,
)
from pinset.services.promises.how_sure import Aim, aim_for, aims_in_words

DAY = date(2026, 3, 20)
WEAK = OrderChance(
    "market-grey", DAY, "grey", "gram", 5000.0, 0.78, 4500.0, 3000.0, 5000.0, 2270.0,
    Cause.DAYS, 0.97,
)  # fmt: skip


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (0.842, "in 84 of 100 seasons"),
        (1.0, "in more than 99 of 100 seasons"),
        (0.996, "in more than 99 of 100 seasons"),
        (0.0, "in fewer than 1 of 100 seasons"),
        (0.005, "in fewer than 1 of 100 seasons"),
        (0.01, "in 1 of 100 seasons"),
    ],
)
def test_a_chance_is_never_said_as_certain(chance: float, words: str) -> None:
    assert in_seasons(chance) == words


def test_a_weak_promise_says_what_is_missing_and_what_makes_it_so() -> None:
    said = why_weak(WEAK, "metric")
    assert said.startswith("Met in 78 of 100 seasons; where it is not, about 2.3 kg are missing.")
    assert "ready, and bear, earlier or later than planned" in said
    assert "without that it would be in 97 of 100 seasons" in said
    assert "surer" not in said, "what makes it surer is said only where it was tried"
    assert "5 lb" in why_weak(WEAK, "us")
    assert "What makes it so" not in why_weak(replace(WEAK, cause=None), "metric")
    assert is_weak(WEAK)
    assert not is_weak(replace(WEAK, chance=0.93))
    assert not is_weak(None)


def test_of_the_parts_of_a_promise_on_a_day_the_weakest_counts() -> None:
    parts = (replace(WEAK, promise="market-grey@1", chance=0.9), WEAK)
    assert chances_by_day(FarmChances(10, parts)) == {("market-grey", DAY): WEAK}


def test_what_the_plan_aims_at_is_said() -> None:
    tuning = Tuning(
        0.95,
        (
            Tuned("grey", 0.2, 0.96),
            Tuned("gold", 0.6, 0.6, is_reached=False),
            Tuned("pink", 0.0, 1.0),
            Tuned("grey", 0.1, 0.97, step="grain"),
        ),
    )
    said = aims_in_words(Aim(tuning, TODAY, 1), Reader(BOOK, TODAY))
    assert said[0] == (
        "The plan aims at 20% more Grey oyster than is promised, so that its promises are met as "
        "wanted."
    )
    assert "Gold is not as sure as wanted (95%)" in said[1]
    assert "met in 60 of 100 seasons" in said[1]
    assert said[2].startswith("The plan aims at 10% more Grey oyster grain jars than is promised")
    assert len(said) == 3
    assert aims_in_words(None, Reader(BOOK, TODAY)) == ()


@pytest.mark.parametrize(
    ("days", "register", "is_kept"), [(0, 7, True), (6, 7, True), (7, 7, False), (1, 8, False)]
)
def test_what_was_tried_holds_a_week_for_the_same_farm(
    monkeypatch: pytest.MonkeyPatch, days: int, register: int, *, is_kept: bool
) -> None:
    monkeypatch.setattr(how_sure, "described_stamp", lambda: register)
    monkeypatch.setattr(how_sure, "tune", lambda *_, **__: Tuning(0.5))
    before = Aim(Tuning(0.95), TODAY - timedelta(days=days), 7)
    said: list[str] = []
    problem = Problem(TODAY, 14, 7, ())
    found = aim_for(before, problem, Odds(), TODAY, said.append)
    assert (found is before) is is_kept
    assert bool(said) is not is_kept


def test_what_is_met_now_and_then_is_not_said_to_be_impossible() -> None:
    never = replace(WEAK, chance=0.01)
    assert with_chance("unavoidable", "No more by then.", never) == (
        "unavoidable",
        "No more by then.",
    )
    assert with_chance("unavoidable", "No more by then.", replace(WEAK, chance=0.37)) == (
        "short",
        "No more by then. That is on average; it is met in 37 of 100 seasons.",
    )


def test_what_is_left_over_is_said_week_by_week() -> None:
    monday = date(2026, 3, 16)
    rows = (
        WeekSurplus(monday, "grey", 3200.0, 0.0, 9100.0),
        WeekSurplus(monday + timedelta(days=7), "grey", 500.0, 0.0, 2000.0),
        WeekSurplus(monday + timedelta(days=77), "grey", 500.0, 0.0, 2000.0),
    )
    said = surplus_in_words(
        FarmChances(10, surplus=rows), Reader(BOOK, TODAY), monday + timedelta(days=20)
    )
    assert len(said) == 2
    assert said[0] == (
        "Week of 16 March: about 3.2 kg Grey oyster (one season in ten more than 9.1 kg)."
    )
