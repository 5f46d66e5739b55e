"""A cook that is watched, as plain records: what was read, and how it stands."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from pinset.science.judging.records import UNKNOWN_ERROR_K
from pinset.science.thinning import Piece
from pinset.services.cooks.judge.judged import JudgedFinding


class What(StrEnum):
    """What a reading is of."""

    CHAMBER = "chamber_c"  # degC
    GAUGE = "gauge_bar"  # bar above the air outside
    CORE = "core_c"  # in the middle of a unit, degC


@dataclass(frozen=True, slots=True)
class WatchReading:
    """What was read at one moment; what was not read is None."""

    at: datetime
    chamber_c: float | None = None
    gauge_bar: float | None = None
    core_c: float | None = None


@dataclass(frozen=True, slots=True)
class WatchErrors:
    """Largest errors of the instruments, either way."""

    chamber_k: float = UNKNOWN_ERROR_K
    core_k: float = UNKNOWN_ERROR_K
    gauge_kpa: float = 0.0


@dataclass(frozen=True, slots=True)
class Curve:
    """A temperature so far. Points are minutes from the first reading, and degC."""

    name: str  # of a core; empty: the chamber
    role: str  # chamber, core
    pieces: tuple[Piece, ...]
    is_ruling: bool = False


@dataclass(frozen=True, slots=True)
class Curves:
    """What can be drawn of a cook so far."""

    curves: tuple[Curve, ...] = ()
    killing: tuple[Piece, ...] = ()  # minutes, lethal rate of the ruling core
    enough_min: float | None = None  # from here on the rule is reached
    started: str = ""  # ISO 8601 of minute 0


class Stage(StrEnum):
    """How far a cook is."""

    WAITING = "waiting"  # nothing was read yet
    COMING_UP = "coming up"
    HOLDING = "holding"
    INTERRUPTED = "interrupted"  # it was hot and has fallen
    UNREAD = "unread"  # it should be enough by now, and no reading shows it
    TOO_MUCH = "too much pressure"  # heat off; no hold is offered
    DOUBTED = "doubted"  # its core reads what can't be; no hold is offered
    TOO_COLD = "too cold"  # the rule does not come within two days
    ENOUGH = "enough"


class Unsure(StrEnum):
    """Why no end is promised."""

    SINCE = "since"  # hot when it was first read, and nobody said since when it is heated
    BEFORE = "before"  # hot when it was first read; the core does not bear out yet what was said
    ALONE = "alone"  # a core of whose chamber nothing was read
    ONCE = "once"  # a core that was read a single time
    LAW = "law"  # its core tells not yet how the load conducts where it will be
    CLOCK = "clock"  # of its logger


BOUNDS = frozenset({Unsure.SINCE, Unsure.BEFORE, Unsure.ALONE, Unsure.ONCE, Unsure.LAW})
"""Those of which the latest end is known still."""


@dataclass(frozen=True, slots=True)
class CookNow:
    """How a cook stands at a moment; a reckoning, not a proof."""

    stage: Stage
    sentence: str
    now: datetime
    last_at: datetime | None  # of the last reading
    rule: str  # in words
    chamber_c: float | None
    chamber_by: str  # probe, gauge; empty: not read
    wanted_c: float
    gauge_bar: float | None  # last reading
    steam_c: float | None  # saturated steam at it
    core_c: float | None  # measured, or the cautious case
    core_quick_c: float | None  # the quick case; None if measured
    core_by: str  # measured, reckoned; empty: nothing to reckon by
    f0_min: float | None  # what counts of it
    f0_low_min: float | None  # if the probe reads too high by its error
    held_min: float | None  # at the rule's temperature, where it asks for a hold
    left_min: float | None  # to hold from now as it is; None: never so, or not known
    left_quick_min: float | None  # the same in the quick case
    again_min: float | None  # to hold once it is hot again
    again_quick_min: float | None
    end_at: datetime | None
    latest_at: datetime | None  # instead of an end: where the time to hold is a bound
    likely_at: datetime | None  # about when it is enough, beside what is the latest
    unsure: Unsure | None
    enough_since: datetime | None
    open_at: datetime | None  # liquids below 80 degC; None: no liquid, or not known
    inoculate_at: datetime | None
    findings: tuple[JudgedFinding, ...]
    cautions: tuple[str, ...]  # keys
    curves: Curves
    readings: int
