"""What the pages of looking show: records with their words chosen."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime


@dataclass(frozen=True, slots=True)
class LookLine:
    """A lot that is to be looked at, or may be."""

    lot: str
    words: str  # "grain jars, grey oyster"
    stage: str
    step: str
    age_days: int
    alive: int
    left: int  # of them, units that are to be looked over today
    place: str  # shelf
    shows_now: str  # signs that usually show at this age
    before: str  # what the last look said


@dataclass(frozen=True, slots=True)
class PlaceOfLooks:
    """One room with its lots, those that may lose most first."""

    room: str  # name on the door
    lots: tuple[LookLine, ...]


@dataclass(frozen=True, slots=True)
class LookList:
    """What is to be looked at today, and everything else that stands."""

    sentence: str
    due: tuple[PlaceOfLooks, ...]
    others: tuple[PlaceOfLooks, ...]


@dataclass(frozen=True, slots=True)
class SignTile:
    """A sign to tap on."""

    key: str
    name: str
    looks_like: str
    means: str
    known_from: str
    shows: str  # "day 2 to 5"; empty: no days are known
    is_early: bool  # it has hardly had its time at this age
    out: str  # lost, culled: as what units that show it are taken out


@dataclass(frozen=True, slots=True)
class LookPage:
    """One lot to be looked at."""

    lot: str
    title: str
    variety: str
    stage: str
    step: str
    made_on: date | None
    age_days: int | None
    alive: int
    places: tuple[tuple[str, int], ...]  # shelf, units
    signs: tuple[SignTile, ...]
    wheres: tuple[tuple[str, str], ...]  # key, words
    nothing: str  # what is said if nothing is seen
    early: str  # why that is not yet clean; empty: every sign has had its time
    due: int  # units that an open job asks to look over
    cautions: tuple[str, ...]
    before: tuple[PastLook, ...]


@dataclass(frozen=True, slots=True)
class PastLook:
    """An earlier look at a lot."""

    at: datetime
    words: str
    photo: str = ""  # digest of a photo that can be shown
