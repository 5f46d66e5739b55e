"""What is not right with chores is said, each at its record."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from chain.book import BOOK, TODAY
from pinset.chain.register import FarmBook, Instrument, InstrumentKind
from pinset.chain.route_rules import check_book
from pinset.chain.rules_upkeep import check_upkeep
from pinset.chain.upkeep import Chore, ChoreAt, ChoreKind, Instruction, Reads
from pinset.errors import Severity

CLEAN = Chore("floor", "Wash the floor", ChoreKind.ROOM_CLEANING, ChoreAt.ROOM, "lab", 7)
HEPA = Chore(
    "hepa",
    "Pressure drop",
    ChoreKind.HEPA,
    ChoreAt.BENCH,
    "hood",
    30,
    reads=Reads.PRESSURE_DROP,
    limit_times=2.0,
    first_reading=110.0,
)
PROBE = Chore(
    "probe",
    "Compare",
    ChoreKind.PROBE_CHECK,
    ChoreAt.INSTRUMENT,
    "core",
    reads=Reads.OFF_DEGREES,
    limit=0.5,
)
SEAL = Chore("seal", "Door seal", ChoreKind.GASKET, ChoreAt.STERILISER, "big", None, 40)
CORE = Instrument("core", "Core", InstrumentKind.PROBE, error=0.3, calibrated_on=date(2026, 1, 1))


def with_upkeep(*chores: Chore, texts: tuple[Instruction, ...] = ()) -> FarmBook:
    return replace(BOOK, instruments=(CORE,), upkeep=chores, instructions=texts)


def test_a_sound_register_has_nothing_said_of_it() -> None:
    book = with_upkeep(CLEAN, HEPA, PROBE, SEAL, texts=(Instruction("hepa", "Fan on."),))
    assert not list(check_upkeep(book, TODAY))
    assert all(not each.record.startswith("upkeep") for each in check_book(book, TODAY))


@pytest.mark.parametrize(
    ("rule", "chore", "says"),
    [
        ("book.code", replace(CLEAN, code="a b"), "letters"),
        ("upkeep.name", replace(CLEAN, name=" "), "a name"),
        ("upkeep.number", replace(CLEAN, every_days=0), "1 to 3650 days"),
        ("upkeep.number", replace(SEAL, every_uses=0), "1 to 10000 uses"),
        ("upkeep.number", replace(CLEAN, minutes=-1), "0 to 1440"),
        ("upkeep.before", replace(HEPA, last_reading=120.0), "since as well"),
        ("upkeep.before", replace(CLEAN, amiss="torn"), "since as well"),
        ("upkeep.reads", replace(CLEAN, since=TODAY, last_reading=3.0), "reads nothing off"),
        ("upkeep.reading", replace(HEPA, since=TODAY, last_reading=-3.0), "0 to 2500"),
        ("upkeep.reading", replace(PROBE, last_reading=-30.0), "-20 to 20"),
        ("upkeep.number", replace(HEPA, limit_times=1.0), "1.05 to 10"),
        ("book.unknown", replace(CLEAN, which="attic"), "one of the rooms"),
        ("book.unknown", replace(CLEAN, by="bob"), "people"),
        ("upkeep.which", replace(CLEAN, at=ChoreAt.FARM), "nothing"),
        ("upkeep.often", replace(CLEAN, every_days=None), "every_uses"),
        ("upkeep.uses", replace(CLEAN, every_uses=4), "steriliser"),
        ("upkeep.since", replace(CLEAN, since=date(2026, 3, 13)), "up to today"),
        ("upkeep.caution", replace(CLEAN, cautions=("bleech",)), "disinfectants"),
        ("upkeep.reads", replace(CLEAN, limit=3.0), "reads nothing"),
        ("upkeep.reading", replace(HEPA, limit=9000.0, limit_times=None), "0 to 2500 Pa"),
        ("upkeep.limit", replace(HEPA, limit=200.0), "nothing"),
        ("upkeep.limit", replace(HEPA, reads=Reads.HOURS), "pressure drop"),
        ("upkeep.reading", replace(PROBE, first_reading=0.1), "anew each time"),
        ("upkeep.reads", replace(PROBE, reads=Reads.OFF_PRESSURE), "degC"),
        ("upkeep.often", replace(PROBE, every_days=90), "stands with the instrument"),
        ("upkeep.since", replace(PROBE, since=TODAY), "stands with the instrument"),
    ],
)
def test_every_slip_of_a_chore_is_found(rule: str, chore: Chore, says: str) -> None:
    found = [each for each in check_upkeep(with_upkeep(chore), TODAY) if each.id == rule]
    assert found
    assert found[0].record == f"upkeep {chore.code}"
    assert found[0].severity is Severity.WRONG
    assert says in found[0].sentence


def test_an_instrument_is_compared_by_one_chore_only() -> None:
    [found] = check_upkeep(with_upkeep(PROBE, replace(PROBE, code="again")), TODAY)
    assert (found.id, found.record) == ("upkeep.twice", "upkeep again")
    assert "probe compares it already" in found.sentence


def test_a_chore_must_not_stand_twice() -> None:
    [found] = check_upkeep(with_upkeep(CLEAN, CLEAN), TODAY)
    assert found.id == "book.code-repeated"


def test_an_instruction_is_for_a_kind_of_job_and_says_something() -> None:
    texts = (
        Instruction("sing", "La."),
        Instruction("pick", " "),
        Instruction("cook", "x" * 30_000),
    )
    found = list(check_upkeep(with_upkeep(texts=texts), TODAY))
    assert [(each.id, each.severity) for each in found] == [
        ("instruction.job", Severity.WRONG),
        ("instruction.empty", Severity.WARNING),
        ("instruction.long", Severity.WRONG),
    ]
