"""Instruments of the farm at a judgement: their error, and a calibration that is overdue."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from pinset.chain.register import Farm, FarmBook, Instrument, InstrumentKind
from pinset.services.books import settings_page
from pinset.services.cooks.judge.judging import judge_file
from pinset.services.cooks.setting import complaint, known_instruments
from pinset.services.plans import planning_day

TODAY = date(2026, 3, 12)


def probe(**more: object) -> Instrument:
    given = {"error": 0.3, "calibrated_on": date(2025, 6, 1), "reference": "melting ice", **more}
    return Instrument("core", "Core probe", InstrumentKind.PROBE, **given)  # type: ignore[arg-type]


def book(*instruments: Instrument) -> FarmBook:
    return FarmBook(Farm("Invented", 1240.0, "Europe/Vienna"), instruments=instruments)


def test_an_instrument_is_known_by_its_column_or_its_name() -> None:
    found = known_instruments(book(probe(reads="core [°C]"), probe()), TODAY)
    assert [each.column for each in found] == [
        "core [°C]", "chamber (instrument: Core probe) [°C]", "chamber (instrument 8765) [°C]",
        "core (instrument 8765) [°C]", "Core probe", "chamber (instrument: Core probe) [°C]",
        "core (instrument: Core probe) [°C]", "chamber (instrument 8765) [°C]",
        "core (instrument 8765) [°C]",
    ]  # fmt: skip
    one = found[0]
    assert one.error == 0.3
    assert one.note == "compared with melting ice on 2025-06-01"


def test_of_one_without_a_known_error_the_calibration_counts_all_the_same() -> None:
    gauge = replace(probe(error=None, calibrated_on=None), kind=InstrumentKind.GAUGE)
    for instrument, taken in ((probe(error=None, calibrated_on=None), 0.5), (gauge, 0.0)):
        found = known_instruments(book(instrument), TODAY)[0]
        assert found.error == taken
        assert not found.is_error_known
        assert found.complaint == "Core probe was never compared with a reference."


@pytest.mark.django_db
def test_settings_say_of_an_instrument_that_its_calibration_is_over(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    known = book(probe(error=None, calibrated_on=date(2024, 1, 1)), probe())
    monkeypatch.setattr(planning_day, "farm_book", lambda _now=None: (known, TODAY))
    old, held = settings_page.records("instrument")[1]
    assert "The calibration of Core probe is overdue since" in old.summary
    assert "overdue" not in held.summary


def test_the_verdict_says_that_one_of_unknown_error_is_overdue() -> None:
    old = probe(error=None, calibrated_on=date(2024, 1, 1), reads="core")
    data = "\n".join(["min,chamber,core", *(f"{m},{20 + m / 2},{20 + m / 4}" for m in range(240))])
    known = known_instruments(book(old), TODAY)
    judged = judge_file(data.encode(), "cook.csv", instruments=known)[0]
    said = {each.id: each.sentence for each in judged.findings if each.record == "core"}
    assert "overdue since" in said["cook.calibration-overdue"]
    assert "The error of core is not known" in said["cook.uncalibrated"]
    [core] = [each for each in judged.probes if each.name == "core"]
    assert core.error_k == 0.5 + 0.25 / 2  # and half of the step it reads in


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
