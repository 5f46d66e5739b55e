"""What a judged logger's file says, as plain records.

They hold plain values only, so that they stand in JSON, in an entry of the ledger and on a page as
they are.
"""

from __future__ import annotations

from dataclasses import dataclass

from pinset.science.judging.records import WANTED_C
from pinset.services.cooks.judge.layout import LayoutLine

CAUTIONS = ("not-proof", "pressure")


@dataclass(frozen=True, slots=True)
class Instrument:
    """What is known of a probe or gauge that wrote a column of a log."""

    column: str  # name in the file
    error: float  # largest error either way [K] or [kPa]
    note: str = ""  # calibrated when, against what
    complaint: str = ""  # such as: calibration overdue since 1 March
    is_error_known: bool = True  # somebody wrote it down; else it is the judgement's own


@dataclass(frozen=True, slots=True)
class ToldOfCore:
    """What is known of the loads in a cook, said of one core of its log."""

    column: int  # in the file, from 0
    doubt: str  # why it can be in none of them; empty: it can
    explains: str  # the load it may be in, in words; empty: none
    untold: str = ""  # why its pace could not be held against them; empty: it was


@dataclass(frozen=True, slots=True)
class JudgedProbe:
    """What one probe says. Minutes are F0 at 121.1 degC with z = 10 K."""

    name: str
    role: str  # core, chamber, other
    f0_min: float
    f0_low: float  # if it reads too high by its error
    f0_high: float
    f0_above_110_min: float
    max_c: float
    come_up_min: float | None  # to what is wanted, from the first reading; None: never there
    hold_min: float | None  # longest time there or hotter; None: an older verdict does not say
    error_k: float
    error_note: str
    falls_short: bool | None  # None: no rule, no core, or not to be told
    unclear: str


@dataclass(frozen=True, slots=True)
class JudgedFinding:
    """One thing worth knowing about a log or a cook."""

    id: str
    severity: str  # wrong, warning, note
    record: str
    sentence: str
    hint: str
    say: tuple[str, ...] = ()  # keys of the layout with the value that settles it


@dataclass(frozen=True, slots=True)
class JudgedSteam:
    """How the chamber lay to the saturation line while it held."""

    checked_min: float
    off_k: float  # median of chamber less saturation
    lowest_k: float
    highest_k: float
    air: float  # share of the moles that would explain the lowest
    is_steam: bool


@dataclass(frozen=True, slots=True)
class JudgedCook:
    """A verdict with all it rests on."""

    verdict: str  # pass, fail, unjudged
    sentence: str
    slowest: str
    rule: str  # in words; empty: none
    probes: tuple[JudgedProbe, ...]
    steam: JudgedSteam | None
    findings: tuple[JudgedFinding, ...]
    file: str
    digest: str  # SHA-256 of the file
    started: str  # ISO 8601, of the first reading; empty: the file has no date
    minutes: float  # from the first reading to the last
    readings: int
    altitude_m: float
    method: str
    layout: tuple[LayoutLine, ...]  # how the file was read, and how sure that is
    cautions: tuple[str, ...] = CAUTIONS
    wanted_c: float = WANTED_C  # by which come-up and hold are told: of the rule's hold, or 121.1
    replaces: tuple[str, ...] = ()  # SHA-256 of logs kept with the cook that are its beginning
