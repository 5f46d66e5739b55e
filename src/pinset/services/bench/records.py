"""A bench session as pages, the terminal and programs see it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from pinset.services.views import LotUse


class SessionState(StrEnum):
    """How a session stands."""

    OPEN = "open"
    LEFT_OPEN = "left open"  # of an earlier day, and nobody said that it ended
    ENDED = "ended"


@dataclass(frozen=True, slots=True)
class AtIt:
    """Somebody who worked in a session, since when, and what they had not ticked."""

    person: str  # worker code
    name: str
    since: datetime
    unticked: tuple[str, ...] = ()  # lines of the entry list, in words
    reason: str = ""  # why it was begun all the same


@dataclass(frozen=True, slots=True)
class Plates:
    """Settle plates at one place."""

    where: str  # key
    words: str
    count: int


@dataclass(frozen=True, slots=True)
class PlateCount:
    """Colonies that were counted on the settle plates of a session."""

    colonies: tuple[Plates, ...]  # by place
    plates: int
    minutes: int  # that each stood open
    sentence: str


@dataclass(frozen=True, slots=True)
class Parent:
    """A parent lot of a transfer, or prepared vessels that were filled."""

    lot: str
    units: int  # 0: of one opened before
    words: str  # "3 plates", "part of a grain jar", "24 prepared vessels"


@dataclass(frozen=True, slots=True)
class Transfer:
    """One transfer of a session."""

    entry: str  # client id
    turn: int
    at: datetime
    person: str  # name
    parents: tuple[Parent, ...]
    vessels: tuple[Parent, ...]
    child: str  # lot code
    count: int
    what: str  # "24 grain jars of Grey oyster"
    minutes_open: int
    plates: tuple[Plates, ...]
    job: str
    against: tuple[str, ...]  # what spoke against it
    despite: tuple[str, ...]  # why vessels of cooks that did not pass were used
    reason: str  # why it was done all the same


@dataclass(frozen=True, slots=True)
class BenchSession:
    """A session with all that was made in it."""

    session: str  # code
    bench: str
    bench_name: str
    state: SessionState
    begun: datetime
    ended: datetime | None
    is_end_asked: bool  # its end was told afterwards
    last: datetime  # when something of it was last written down
    people: tuple[AtIt, ...]
    plates: tuple[Plates, ...]  # that stand, or stood last
    plates_out: tuple[Plates, ...]  # the last that were set out, also if they were taken in since
    plate_count: PlateCount | None  # colonies on them
    transfers: tuple[Transfer, ...]
    not_cleaned: tuple[str, ...]  # lines of the clean-down list that were not ticked, in words
    minutes: int  # from begin to end, or so far
    minutes_open: int  # of all transfers together
    sentence: str
    findings: tuple[str, ...]

    @property
    def is_over(self) -> bool:
        """Whether it was ended."""
        return self.state is SessionState.ENDED


@dataclass(frozen=True, slots=True)
class BenchLine:
    """A bench that can be worked at."""

    code: str
    name: str
    open: BenchSession | None


@dataclass(frozen=True, slots=True)
class Line:
    """A line of a list that is ticked."""

    key: str
    words: str


@dataclass(frozen=True, slots=True)
class Share:
    """A parent lot in hand, and how much of it a transfer takes unless another number is set."""

    lot: str
    words: str  # "plates, Grey oyster, day 12"
    units: int
    most: int  # alive
    is_part: bool  # the route takes a part and keeps the rest
    amount: int  # of a part, as the route says; 0: not known
    measure: str  # pieces, g, mL


@dataclass(frozen=True, slots=True)
class Making:
    """A transfer that the lots in hand can go into, recorded by one tap."""

    words: str  # "10 grain jars of Grey oyster"
    detail: str
    variety: str  # code
    step: str
    job: str  # that it answers; empty: none asks for it
    makes: int
    shares: tuple[Share, ...]
    vessels: tuple[str, ...]
    is_usual: bool = False


@dataclass(frozen=True, slots=True)
class BenchHand:
    """What lies on the bench, and what can be made of it."""

    parents: tuple[LotUse, ...]
    vessels: tuple[LotUse, ...]
    remarks: tuple[str, ...]
    makings: tuple[Making, ...]
    sentence: str  # what to do next, where nothing can be made yet
    cautions: tuple[str, ...]
