"""Instruments of the farm at a judgement: their error, and a calibration that is overdue."""

from __future__ import annotations

from datetime import date

import pytest

from pinset.chain.register import Farm, FarmBook, Instrument, InstrumentKind
from pinset.services.cook_setting import complaint, known_instruments

TODAY = date(2026, 3, 12)


def probe(**more: object) -> Instrument:
    given = {"error": 0.3, "calibrated_on": date(2025, 6, 1), "reference": "melting ice", **more}
    return Instrument("core", "Core probe", InstrumentKind.PROBE, **given)  # type: ignore[arg-type]


def book(*instruments: Instrument) -> FarmBook:
    return FarmBook(Farm("Invented", 1240.0, "Europe/Vienna"), instruments=instruments)


def test_an_instrument_is_known_by_its_column_or_its_name() -> None:
    found = known_instruments(book(probe(reads="core [°C]"), probe()), TODAY)
    assert [each.column for each in found] == [
        "core [°C]", "chamber (instrument 8765) [°C]", "Core probe",
        "chamber (instrument 8765) [°C]", "core (instrument 8765) [°C]",
    ]  # fmt: skip
    one = found[0]
    assert one.error == 0.3
    assert one.note == "compared with melting ice on 2025-06-01"


def test_one_without_a_known_error_is_left_out() -> None:
    assert known_instruments(book(probe(error=None)), TODAY) == ()


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({}, ""),
        ({"calibrated_on": date(2025, 3, 12)}, ""),
        ({"calibrated_on": date(2025, 3, 11)}, "overdue since 2026-03-11"),
        ({"every_days": 90}, "overdue since 2025-08-30"),
        ({"calibrated_on": None}, "never compared"),
    ],
)
def test_a_calibration_holds_to_its_last_day(more: dict[str, object], said: str) -> None:
    found = complaint(probe(**more), TODAY)
    assert said in found
    assert bool(found) == bool(said)
