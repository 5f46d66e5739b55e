"""What labels say of lots of every stage, and of where they came from."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from farm.small_farm import CODES, NOW, Taps, lot
from pinset.chain.register import FarmBook
from pinset.chain.stages import Stage
from pinset.errors import InputError, RefusedError
from pinset.farm import door, trade
from pinset.farm.entries import NewEntry
from pinset.farm.trade import ParentShare, Taken
from pinset.services.labels.facts import facts_of

TUBE, PLATE, OTHER, GRAIN, JARS, BAGS, BLOCK = CODES[20:27]


@pytest.fixture
def family(farm: FarmBook, tap: Taps) -> FarmBook:
    """A tube, plates of it, bought plates, grain of both in prepared jars, blocks of the grain."""
    plate, grain = lot(PLATE, Stage.PLATE, "plate"), lot(GRAIN, Stage.GRAIN, "grain")
    entries: list[NewEntry] = [
        trade.opening(tap(hours=-9), lot(TUBE, Stage.TUBE, "plate", transfers=2), 3, "lab-1"),
        trade.inoculate(tap(hours=-8), [ParentShare(TUBE, 1, "lab-1")], plate, 8, "lab-1"),
        trade.receive(
            tap(hours=-7), lot(OTHER, Stage.PLATE, "plate", bought_from="Invented Labs"), 4, "lab-1"
        ),
        trade.cook(
            tap(hours=-6), "kettle-7", [(lot(JARS, Stage.PREPARED, "grain"), 24)], "inc-1",
            steriliser="kettle", cook_kind="grain",
        ),
        trade.inoculate(
            tap(hours=-5), [ParentShare(PLATE, 2, "lab-1"), ParentShare(OTHER, 1, "lab-1")], grain,
            20, "inc-1", vessels=[Taken(JARS, 20, "inc-1")],
        ),
        trade.inoculate(
            tap(hours=-4), [ParentShare(GRAIN, 2, "inc-1")], lot(BLOCK, Stage.BLOCK, "block"), 30,
            "inc-2",
        ),
    ]  # fmt: skip
    door.record(entries, now=NOW)
    return farm


def said(code: str, book: FarmBook, level: int = 0) -> list[str]:
    return [fact.at(level).replace("\u00a0", " ") for fact in facts_of(code, book).facts]


def test_a_grain_jar_says_stage_variety_generation_date_and_parents(family: FarmBook) -> None:
    assert said(GRAIN, family) == [
        "Grain jar, Grey oyster",
        "generation 1, made 12 March 2026",
        f"from plates {PLATE} and {OTHER}",
    ]
    assert said(GRAIN, family, 1) == [
        "Grain, Grey oyster",
        "gen. 1, 12 Mar 2026",
        f"from plate {PLATE}, {OTHER}",
    ]
    assert said(GRAIN, family, 2) == [
        "Grain, Grey oyster",
        "G1, 12 Mar 26",
        f"from {PLATE}, {OTHER}",
    ]


def test_a_plate_says_its_transfers_and_its_culture(family: FarmBook) -> None:
    assert said(PLATE, family) == [
        "Plate, Grey oyster",
        "transfer 2, made 12 March 2026",
        f"from tube {TUBE}, culture g1",
    ]


def test_a_tube_without_parents_says_its_culture_and_source(family: FarmBook) -> None:
    assert said(TUBE, family)[2] == "culture g1: invented"
    assert said(TUBE, family, 2)[1:] == ["T2, 12 Mar 26", "g1"]


def test_a_clone_says_until_it_is_cleared_that_it_is_not(family: FarmBook) -> None:
    told = {fact.choices for fact in facts_of(TUBE, family).facts}
    uncleared = tuple(replace(each, cleared=False) for each in family.cultures)
    facts = facts_of(TUBE, replace(family, cultures=uncleared)).facts
    assert facts[1].choices == ("not cleared for use", "not cleared")
    assert told == {fact.choices for fact in facts if fact is not facts[1]}


def test_bought_units_say_from_whom(family: FarmBook) -> None:
    assert said(OTHER, family)[2] == "bought from Invented Labs, culture g1"


def test_a_block_carries_its_generation_on(family: FarmBook) -> None:
    assert said(BLOCK, family)[1:] == [
        "generation 1, made 12 March 2026",
        f"from grain jar {GRAIN}",
    ]


def test_prepared_vessels_say_for_what_and_which_cook(family: FarmBook) -> None:
    found = said(JARS, family)
    assert found[0].startswith("Prepared vessel for grain")
    assert found[-1] == "cook kettle-7"


def test_many_parents_are_counted_beyond_three(farm: FarmBook, tap: Taps) -> None:
    plates = CODES[40:45]
    door.record(
        [
            *(
                trade.opening(tap(hours=-9), lot(code, Stage.PLATE, "plate"), 3, "lab-1")
                for code in plates
            ),
            trade.inoculate(
                tap(hours=-5),
                [ParentShare(code, 1, "lab-1") for code in plates],
                lot(GRAIN, Stage.GRAIN, "grain"),
                20,
                "inc-1",
            ),
        ],
        now=NOW,
    )
    a, b, c, *_ = plates
    assert said(GRAIN, farm)[2] == f"from plates {a}, {b}, {c} and 2 more"


def test_a_slip_and_an_unknown_code_are_named(family: FarmBook) -> None:
    slip = GRAIN[:-1] + ("2" if GRAIN[-1] != "2" else "3")
    with pytest.raises(InputError, match=GRAIN):
        facts_of(slip, family)
    with pytest.raises(RefusedError, match="No lot of this farm"):
        facts_of(CODES[150], family)


def test_counts_come_with_the_facts(family: FarmBook) -> None:
    found = facts_of(GRAIN.lower(), family)
    assert (found.lot, found.made, found.alive, found.made_on) == (
        GRAIN,
        20,
        18,
        date(2026, 3, 12),
    )
