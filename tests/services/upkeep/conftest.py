"""The small farm with a bench, a probe and some chores."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import TODAY, describe
from pinset.chain.register import Bench, FarmBook, Instrument, InstrumentKind
from pinset.chain.upkeep import Chore, ChoreAt, ChoreKind, Reads
from pinset.services import clock
from services.conftest import FULL_BOOK

CHORES = (
    Chore(
        "floor",
        "Wash the floor",
        ChoreKind.ROOM_CLEANING,
        ChoreAt.ROOM,
        "lab",
        7,
        since=TODAY - timedelta(days=9),
        by="ben",
        minutes=40,
        cautions=("disinfectants",),
    ),
    Chore(
        "hepa",
        "Read the main filter",
        ChoreKind.HEPA,
        ChoreAt.BENCH,
        "bench",
        30,
        reads=Reads.PRESSURE_DROP,
        limit_times=2.0,
        first_reading=110.0,
        since=TODAY - timedelta(days=10),
    ),
    Chore(
        "lamp",
        "Read the lamp's hours",
        ChoreKind.LAMP,
        ChoreAt.BENCH,
        "bench",
        30,
        reads=Reads.HOURS,
        limit=2000.0,
        since=TODAY - timedelta(days=27),
        cautions=("uv-c",),
    ),
    Chore(
        "seal",
        "Look at the door seal",
        ChoreKind.GASKET,
        ChoreAt.STERILISER,
        "kettle",
        None,
        3,
        since=TODAY - timedelta(days=20),
        cautions=("pressure",),
    ),
    Chore(
        "probe",
        "Compare the probe",
        ChoreKind.PROBE_CHECK,
        ChoreAt.INSTRUMENT,
        "core",
        reads=Reads.OFF_DEGREES,
        limit=0.5,
    ),
    Chore(
        "empty",
        "Empty, clean and refill",
        ChoreKind.ROOM_EMPTIED,
        ChoreAt.ROOM,
        "grow",
        90,
        since=TODAY - timedelta(days=60),
    ),
)
PROBE = Instrument(
    "core",
    "Core probe",
    InstrumentKind.PROBE,
    error=0.4,
    calibrated_on=TODAY - timedelta(days=400),
    reference="ice",
)
KEPT_BOOK = replace(
    FULL_BOOK,
    benches=(Bench("bench", "Clean bench", "lab", 240),),
    instruments=(PROBE,),
    upkeep=CHORES,
)


@pytest.fixture
def farm(db: None, monkeypatch: pytest.MonkeyPatch) -> FarmBook:  # noqa: ARG001
    monkeypatch.setenv(clock.PRETENDED, TODAY.isoformat())
    describe(KEPT_BOOK)
    return KEPT_BOOK
