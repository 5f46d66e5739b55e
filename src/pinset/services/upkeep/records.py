"""What services say of upkeep, with words already chosen."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime


@dataclass(frozen=True, slots=True)
class ChoreLine:
    """One chore in a list."""

    code: str
    title: str
    state: str  # overdue, due today, due soon, later
    on: date | None  # None: by use, and not reached yet
    when: str  # "overdue since 3 March", "due Friday"
    why: str
    often: str
    by: str  # name; empty: anybody
    minutes: int
    asks_change: bool
    put_off: str  # until when and why; empty: it is not


@dataclass(frozen=True, slots=True)
class UpkeepView:
    """All chores, by when they are due."""

    day: date
    sentence: str
    due: tuple[ChoreLine, ...]
    soon: tuple[ChoreLine, ...]
    later: tuple[ChoreLine, ...]


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading of a chore."""

    on: date
    value: float  # in the unit of the chore
    words: str
    is_changed: bool


@dataclass(frozen=True, slots=True)
class Times:
    """One time that a chore was done."""

    entry: str  # client id
    at: datetime
    by: str
    words: str  # "done, 150 Pa", "found amiss"
    note: str


@dataclass(frozen=True, slots=True)
class InstructionView:
    """How the farm wants a kind of job done, and who has understood it."""

    code: str  # kind of job
    title: str
    text: str  # empty: nothing is written
    version: int  # 0: nothing is written
    since: date | None
    read_on: date | None  # when the person looking ticked this version; None: not yet
    read_by: tuple[tuple[str, date], ...]  # names and days, of this version
    not_read_by: tuple[str, ...]  # names
    earlier: tuple[tuple[int, date, str], ...] = ()  # versions before it: since when, by whom


@dataclass(frozen=True, slots=True)
class ChorePage:
    """One chore with all there is to it."""

    line: ChoreLine
    kind: str  # in words
    instructed: str  # kind of job its instruction is under
    reads: str  # unit; empty: nothing
    reads_said: str  # what is asked for
    is_instrument: bool
    wears: bool  # its reading rises until something is changed
    wear: str  # how far, what is left; empty: nothing was read
    limit: float | None
    limit_words: str
    readings: tuple[Reading, ...]  # oldest first
    history: tuple[Times, ...]  # newest first
    times: int  # how often it was done in all
    cautions: tuple[str, ...]
    note: str
    job: str  # code of its open job; empty: none
    room: str  # code of the room that is emptied; empty: another chore


@dataclass(frozen=True, slots=True)
class Proposal:
    """A chore that is proposed for one thing of the farm."""

    key: str
    title: str
    often: str
    limit: str  # in words; empty: none
    known_from: str
    note: str
    is_taken: bool  # a chore of that kind stands there already
