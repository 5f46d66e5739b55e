"""What is said first of losses, and of each stage: all lost, little looked at, long ago."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from farm.small_farm import BOOK
from pinset.chain.histories import LotHistory, Seen, Shared
from pinset.chain.stages import Stage
from pinset.learning.losses.reckoned import reckon
from pinset.learning.losses.records import LotSaid, Reckoned, SignSeen, SuspectLots
from pinset.learning.showing import Usual
from pinset.services.losses.evidence import evidence_of
from pinset.services.losses.first_words import first_sentence
from pinset.services.losses.words import day_words, stage_sentence

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
        "All that was made in the last eight weeks is lost of grain spawn (112 of 112 units)."
    )
    assert "look at what all of them have in common" in said(found)
    assert "e+" not in stage_sentence(found.stages[0])
    assert "too few" not in stage_sentence(found.stages[0])


@pytest.mark.parametrize(("lots", "lost"), [(4, 9), (1, 14), (2, 5), (1, 4)])
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


def test_a_farm_that_looked_at_nothing_for_years_is_told_so() -> None:
    lots = [
        replace(lot, shared={**lot.shared, Shared.SESSION: f"s{number % 4}"})
        for number, lot in enumerate([*farm(10, lots=4), *farm(0, lots=12)])
    ]
    soon, later = reckoned(lots), reckoned(lots, now=NOW + timedelta(days=1100))
    assert "Nothing was looked at since" not in said(soon)
    assert "Nothing was looked at since 14 January" in said(later, NOW + timedelta(days=1100))
    assert "what follows speaks of then" in said(later, NOW + timedelta(days=1100))
    assert later.standing_out == ()


def test_days_of_another_year_carry_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PINSET_TODAY", "2026-02-10T09:00+01:00")
    assert day_words(MADE, ZONE) == "5 January"
    assert day_words(MADE - timedelta(days=10), ZONE) == "26 December 2025"


def test_looks_of_one_lot_are_one_lot_behind_a_sign() -> None:
    seen = (SignSeen("green-dust", "", 9), SignSeen("green-dust", "", 2))
    lots = tuple(
        LotSaid(code, "grey", "grain", MADE, 14, 3, 11, 0.4, 9.0, seen) for code in ("A", "B")
    )
    found = evidence_of(Shared.PLACE, "inc-1", SuspectLots(Shared.PLACE, "inc-1", lots), BOOK)
    assert found[0].words.startswith("Green dust: 22 units in 2 lots.")
