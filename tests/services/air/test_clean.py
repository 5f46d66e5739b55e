"""A clean room's answer beside the worked case of reference/air.md, 1.3."""

from __future__ import annotations

import pytest

from pinset.errors import InputError
from pinset.services.air.answer import Answer
from pinset.services.air.clean import USUAL, clean_answer
from pinset.services.air.typed import Typed

FORM = {
    **USUAL,
    "volume": "30",
    "fresh": "600",
    "leak-in": "20",
    "filter": "filter.us-hepa",
    "clothes": "own-clothes",
    "counted": "35200000",
    "mixing": "1",
    "target": "8",
}


def answer(**typed: str) -> Answer:
    form = {**FORM, **{name.replace("_", "-"): text for name, text in typed.items()}}
    return clean_answer(Typed(form, "metric"), "EUR")


def test_the_split_is_that_of_the_worked_case() -> None:
    # one person, 600 m3/h through 99.97 %, 20 m3/h from ISO 9 air: 1 135 000, 206 000, 10 200
    found = answer()
    rows = dict(row[:2] for row in found.sheets[0].rows)
    assert rows["leaks in, unfiltered"] == "1,140,000 /m³"
    assert rows["people"].startswith("206,000 /m³")
    assert rows["through the filter from outside"] == "10,200 /m³"
    assert "close the gaps before a better filter" in found.flags[0]
    assert "ISO 8" in found.sentence
    assert found.sheets[1].rows[0][0] == "half the leaks closed"


def test_100_to_1_takes_what_cdc_says() -> None:
    # 20 changes an hour: 13.8 min for 100:1; ISO 9 to ISO 7 is 100:1 (CDC 1994)
    facts = {
        fact.name: fact.value for fact in answer(leak_in="0", filter="filter.u15", target="7").facts
    }
    assert facts["To ISO 7 after everybody left"] == "14 min"


def test_pressure_is_that_of_the_door_table() -> None:
    # a single leaf of 0.040 m2 lets 129 L/s through at 15 Pa: 463 m3/h of 0.83 A sqrt(dP)
    facts = {fact.name: fact.value for fact in answer(gap="0.04 m2", exhaust="137").facts}
    assert facts["Pressure held"] == "15 Pa"
    assert facts["Leaks at 15 Pa"] == "463 m³/h"


def test_money_ranks_what_helps() -> None:
    rows = {row[0]: row for row in answer(cost_leak="40", cost_filter="900").sheets[1].rows}
    assert rows["half the leaks closed"][2:] == ("40 EUR", "1.")


@pytest.mark.parametrize(
    ("field", "text"),
    [
        ("volume", ""),
        ("fresh", "-600"),
        ("fresh", ""),
        ("filter", "sieve"),
        ("people", "-1"),
        ("mixing", "0"),
        ("target", "2"),
        ("target", "7.3"),
        ("cost-leak", "-1"),
    ],
)
def test_what_is_refused_names_its_field(field: str, text: str) -> None:
    with pytest.raises(InputError) as caught:
        clean_answer(Typed({**FORM, field: text}, "metric"), "EUR")
    assert caught.value.field == field
