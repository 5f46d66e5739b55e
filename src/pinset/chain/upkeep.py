"""The register of upkeep: what is cleaned, read off, checked or changed, how often, and by whom."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum


class ChoreKind(StrEnum):
    """Kinds of upkeep."""

    ROOM_CLEANING = "room-cleaning"
    BENCH_CLEANING = "bench-cleaning"
    ROOM_EMPTIED = "room-emptied"  # emptied, cleaned, dried, refilled
    LAMP = "lamp"  # UV-C, by the hours on its counter
    PRE_FILTER = "pre-filter"
    HEPA = "hepa"
    GASKET = "gasket"  # door seal and lugs of a steriliser
    GAUGE_CHECK = "gauge-check"
    VALVE = "valve"  # safety valve
    PROBE_CHECK = "probe-check"
    SCALE_CHECK = "scale-check"
    WATER_TEST = "water-test"
    LAUNDRY = "laundry"
    OTHER = "other"


class ChoreAt(StrEnum):
    """What a chore is done at."""

    ROOM = "room"
    BENCH = "bench"
    STERILISER = "steriliser"
    INSTRUMENT = "instrument"
    FARM = "farm"  # nothing of the register: the laundry, a scale, the water


class Reads(StrEnum):
    """What is read off when a chore is done; the word is its unit."""

    NOTHING = ""
    HOURS = "h"  # on a counter that only goes up until what it counts is changed
    PRESSURE_DROP = "Pa"
    OFF_DEGREES = "degC"  # off from what it was compared with, either way
    OFF_PRESSURE = "kPa"  # likewise
    OFF_GRAMS = "g"  # likewise


MOST_READ = {
    Reads.HOURS: 200_000.0,
    Reads.PRESSURE_DROP: 2_500.0,
    Reads.OFF_DEGREES: 20.0,
    Reads.OFF_PRESSURE: 500.0,
    Reads.OFF_GRAMS: 5_000.0,
}
"""The most that is believed of a reading, in its unit; what is above it was misread or is broken
beyond checking (our own limits)."""

WEARS = frozenset({Reads.HOURS, Reads.PRESSURE_DROP})
"""Readings that rise as something wears out or clogs, until it is changed. Only they can have a
limit that is so many times the first one."""


@dataclass(frozen=True, slots=True)
class Chore:
    """One chore of the farm.

    It falls due by days, by use (cooks of a steriliser, sessions at a bench), or by both, whichever
    comes first. A reading at its limit asks for the thing to be changed or mended.
    """

    code: str
    name: str
    kind: ChoreKind
    at: ChoreAt
    which: str = ""  # code of the room, bench, steriliser or instrument; of the farm: empty
    every_days: int | None = None  # of an instrument: None, its calibration says it
    every_uses: int | None = None
    reads: Reads = Reads.NOTHING
    limit: float | None = None  # in the unit of the reading
    limit_times: float | None = None  # the same, as times the reading of a new one
    first_reading: float | None = None  # what a new one read: pressure drop, or its counter
    since: date | None = None  # last done before the books begin; None: not known
    last_reading: float | None = None  # what was read off then
    amiss: str = ""  # what was found amiss then and is not mended yet
    by: str = ""  # worker code of who usually does it; empty: anybody
    minutes: int = 10
    cautions: tuple[str, ...] = ()  # keys of sentences
    note: str = ""


@dataclass(frozen=True, slots=True)
class Instruction:
    """How the farm wants one kind of job done, in its own words.

    Each change is a new version in the register; people say of each that they understood it.
    """

    code: str  # the kind of job: a word of `INSTRUCTED`
    text: str


JOBS_INSTRUCTED = (
    "transfer",
    "prepare",
    "cook",
    "open",
    "judge",
    "decide",
    "order",
    "receive",
    "move",
    "shake",
    "look",
    "round",
    "pick",
    "pack",
    "deliver",
    "give",
    "dry",
    "waste",
    "clear",
    "discard",
    "culture",
)
"""Kinds of the day's jobs that can have an instruction, beside the kinds of upkeep."""

INSTRUCTED = (*JOBS_INSTRUCTED, *(kind.value for kind in ChoreKind))
"""Kinds of job that can have an instruction."""
