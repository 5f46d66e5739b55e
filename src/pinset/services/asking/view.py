"""The answer to "Can I promise it?", as it is read and kept."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from pinset.services.asking.promise_asked import Question


class Verdict(StrEnum):
    """What is answered first."""

    YES = "yes"  # as sure as wanted on every day
    LATER = "later"  # from a later day on
    NO = "no"


@dataclass(frozen=True, slots=True)
class DayRow:
    """One day on which it would be due."""

    day: date
    amount: float  # grams or units
    chance: float
    expected: float  # grams or units, on average
    is_enough: bool


@dataclass(frozen=True, slots=True)
class CostRow:
    """One thing it takes, in words."""

    what: str
    a_week: str  # empty for a promise of one day
    in_all: str


@dataclass(frozen=True, slots=True)
class EndangeredRow:
    """A delivery promised already that becomes less sure."""

    promise: str
    buyer: str
    variety: str
    day: date
    before: float
    after: float
    is_clear: bool  # more than one plan differs from the next by itself


@dataclass(frozen=True, slots=True)
class HelpRow:
    """A change that was tried, and how sure the promise is with it."""

    change: str
    sentence: str
    chance: float
    is_enough: bool


@dataclass(frozen=True, slots=True)
class Numbers:
    """What it takes, as numbers for programs."""

    days: int
    bench_hours: float
    hands_hours: float
    cooks: float
    substrate_kg: float
    room_places: float
    bought_cents: int


@dataclass(frozen=True, slots=True)
class PromiseAnswer:
    """Whether it can be promised, and everything that is said beside it."""

    verdict: Verdict
    sentence: str
    question: Question
    asked: str  # the question in words
    answered_on: date  # the farm's day
    last_entry: int  # the newest the answer knows of
    register: int  # stamp of how the farm described itself
    days: tuple[DayRow, ...]
    cost: tuple[CostRow, ...]
    cost_note: str
    numbers: Numbers
    endangered: tuple[EndangeredRow, ...]
    short: tuple[str, ...]
    helps: tuple[HelpRow, ...]
    helps_note: str
    method: tuple[str, ...]
    seconds: float
    warning: str = ""  # what it does to much of what is promised already
    holds_from: date | None = None  # of a promise of every week
    later_day: date | None = None  # of a promise of one day
    remarks: tuple[str, ...] = ()
