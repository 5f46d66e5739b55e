"""What is said first of losses, and of each stage: all lost, little looked at, long ago."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from pinset.chain.histories import LotHistory, Seen, Shared
from pinset.chain.stages import Stage
from pinset.learning.losses.reckoned import reckon
from pinset.learning.losses.records import Reckoned
from pinset.learning.showing import Usual
from pinset.services.losses.first_words import first_sentence
from pinset.services.losses.words import stage_sentence

MADE = datetime(2026, 1, 5, 8, tzinfo=UTC)
NOW = MADE + timedelta(days=20)
ZONE = "Europe/Vienna"


def farm(found: int, *, lots: int = 8, units: int = 14, age: float = 9.0) -> list[LotHistory]:
    return [
        LotHistory(
            lot=f"L{number}",
            variety="grey",
            step="grain",
            stage=Stage.GRAIN,
            made_at=MADE,
            units=units,
            standing=units - found,
            seen=(Seen(0.0, age, units, found, ("green-dust",) if found else ()),),
            shared={Shared.PERSON: "p"},
        )
        for number in range(lots)
    ]


def reckoned(lots: list[LotHistory], *, share: float = 0.03, now: datetime = NOW) -> Reckoned:
    usual = {Stage.GRAIN: {"green-dust": Usual(3.0, 5.0, 9.0)}}
    expected = {("grey", "grain"): share}
    return reckon(lots, usual, expected, predicted={}, pointing={}, now=now)[0]


def said(found: Reckoned, now: datetime = NOW) -> str:
    return first_sentence(found, now, ZONE)


def test_everything_lost_is_said_first() -> None:
    found = reckoned(farm(14))
    assert said(found).startswith(
        "All units of grain spawn made in the last eight weeks are lost: 112 of 112 units."
    )
    assert "look at what all of them have in common" in said(found)
    assert "too few" not in stage_sentence(found.stages[0])


@pytest.mark.parametrize(("lots", "lost"), [(4, 9), (1, 14), (2, 5)])
def test_many_finds_where_few_are_expected_are_compared(lots: int, lost: int) -> None:
    found = reckoned(farm(lost, lots=lots), share=0.01)
    [grain] = found.stages
    assert grain.lately.expected < 1.0
    assert "too few to compare" not in stage_sentence(grain)
    assert "times as many (from" in stage_sentence(grain)
    assert str(lost * lots) in said(found)


def test_few_finds_where_few_are_expected_say_nothing() -> None:
    found = reckoned([*farm(1, lots=2), *farm(0, lots=1)])
    assert "too few to compare" in stage_sentence(found.stages[0])
    assert said(found) == "Nothing your lots share stands out."


def test_finds_before_anything_should_show_are_no_thousandfold() -> None:
    [grain] = reckoned(farm(6, lots=1, age=0.1)).stages
    assert grain.lately.ratio == pytest.approx(6 / 0.25)


def test_nobody_looked_is_said_as_such() -> None:
    unseen = [replace(lot, seen=()) for lot in farm(0)]
    found = reckoned(unseen)
    assert stage_sentence(found.stages[0]) == (
        "Nobody has looked yet at the 112 units of grain spawn made in the last eight weeks."
    )
    assert "No lot has been looked at yet" in said(found)
    assert found.last_look is None


def test_clean_for_long_is_no_zero_times() -> None:
    [grain] = reckoned(farm(0, lots=60), share=0.05).stages
    assert "0 times" not in stage_sentence(grain)
    assert "fewer than chance does (at most 0." in stage_sentence(grain)
