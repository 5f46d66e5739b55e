"""What is said of losses, as it is kept."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from pinset.chain.histories import Shared
from pinset.chain.stages import Stage
from pinset.errors import Finding
from pinset.learning.losses.alarms import Alarm
from pinset.learning.losses.by_stage import StageLosses
from pinset.learning.losses.mended import Helped
from pinset.learning.losses.ranking import Ranked
from pinset.learning.losses.rooms import RoomChart
from pinset.learning.losses.sisters import Sister
from pinset.learning.losses.weeks import StageWeeks


@dataclass(frozen=True, slots=True)
class SignSeen:
    """A sign that was seen on units of a lot."""

    sign: str  # key of the table of signs
    where: str  # key of a place in the vessel; empty: not said
    units: int


@dataclass(frozen=True, slots=True)
class LotSaid:
    """One lot of a suspect."""

    lot: str
    variety: str
    step: str
    made_at: datetime
    units: int
    standing: int
    found: int
    expected: float  # finds, by its route, as far as they would have shown
    last_seen_days: float
    signs: tuple[SignSeen, ...] = ()


@dataclass(frozen=True, slots=True)
class SuspectLots:
    """The lots of one suspect, the newest first."""

    kind: Shared
    level: str
    lots: tuple[LotSaid, ...]


@dataclass(frozen=True, slots=True)
class Shows:
    """How soon contamination shows in one stage."""

    stage: Stage
    half_days: float  # by which half of it has shown
    most_days: float  # by which nine in ten have
    units: int  # of the farm's own it rests on
    by_day: tuple[float, ...]  # share shown at the age of 0, 1, 2 ... days

    def shown_by(self, days: float) -> float:
        """Return the share that has shown by an age; that of the last day kept beyond it."""
        at = min(max(days, 0.0), len(self.by_day) - 1.0)
        low = int(at)
        high = min(low + 1, len(self.by_day) - 1)
        return self.by_day[low] + (at - low) * (self.by_day[high] - self.by_day[low])


@dataclass(frozen=True, slots=True)
class Mother:
    """A culture or first-generation lot on which contamination was found, with what came of it."""

    lot: str
    variety: str
    step: str
    stage: Stage
    found: int
    found_at: datetime  # of the last find
    standing: int
    children: tuple[str, ...]  # lots made from it that still grow
    children_units: int


@dataclass(frozen=True, slots=True)
class Mended:
    """Something that was found and mended of a suspect."""

    entry: str
    kind: Shared
    level: str
    at: datetime


@dataclass(frozen=True, slots=True)
class WhatHelped:
    """Something that was mended, and losses before and after."""

    mended: Mended
    helped: Helped


@dataclass(frozen=True, slots=True)
class Reckoned:
    """What is said of losses."""

    lots: int
    looked_at: int  # lots that any look tells of
    stages: tuple[StageLosses, ...]
    ranked: tuple[Ranked, ...]  # what stands out most first
    standing_out: tuple[Ranked, ...]  # the short list of what can still be helped
    earlier: tuple[Ranked, ...]  # the short list of what is over
    costly: tuple[Ranked, ...]
    alarms: tuple[Alarm, ...]
    sisters: tuple[Sister, ...]
    mothers: tuple[Mother, ...]
    helped: tuple[WhatHelped, ...]
    of_suspects: tuple[SuspectLots, ...]
    shows: tuple[Shows, ...]
    findings: tuple[Finding, ...]
    rooms: tuple[RoomChart, ...] = ()
    weeks: tuple[StageWeeks, ...] = ()
    last_look: datetime | None = None  # at any lot; None: there was none
