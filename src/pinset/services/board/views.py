"""What the board shows: days across, places down, and cards with what the plan has there."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from pinset.services.views import Change


@dataclass(frozen=True, slots=True)
class Head:
    """One day of the board."""

    day: date
    words: str  # "Thursday 12 March"
    short: str  # "Thu 12"
    is_today: bool = False
    is_off: bool = False  # nobody works
    is_far: bool = False  # only on wide screens


@dataclass(frozen=True, slots=True)
class Card:
    """What the plan has on one day at one place, or a pin that it has nothing for."""

    kind: str  # "start", "order", "move", "cook", "none" (pinned: not on this day)
    day: date
    variety: str  # code; of a cook the steriliser's
    step: str  # code; of a cook its kind
    words: str  # "11 blocks"
    name: str  # of the variety
    detail: str = ""
    stage: str = ""
    is_pinned: bool = False
    is_broken: bool = False  # pinned, and the plan cannot keep it
    is_cook: bool = False


@dataclass(frozen=True, slots=True)
class Cell:
    """One place on one day."""

    head: Head
    cards: tuple[Card, ...] = ()
    full: str = ""  # "80 of 120 places", "full"
    is_full: bool = False
    is_out: bool = False  # out of use


@dataclass(frozen=True, slots=True)
class Row:
    """One place on all days."""

    code: str
    title: str
    note: str
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class BoardView:
    """The whole board."""

    days: tuple[Head, ...]
    rows: tuple[Row, ...]
    planned_at: datetime | None
    notes: tuple[str, ...] = ()  # what is newer than the plan, which pins break, what is out
    pins_cost: tuple[str, ...] = ()
    changes: tuple[Change, ...] = ()


@dataclass(frozen=True, slots=True)
class CardView:
    """One card with its reasons, and what may be done with it."""

    card: Card
    title: str
    when: str
    why: str = ""
    source: str = ""  # what it is made from
    serves: tuple[str, ...] = ()
    spoils: str = ""
    slack: str = ""
    count: int = 0
    pin: str = ""  # code of its pin; empty: none
    pinned: str = ""  # what is pinned, in words
    broken: str = ""
    days: tuple[tuple[str, str], ...] = ()  # where it may be moved: date, words
    can_change: bool = False


@dataclass(frozen=True, slots=True)
class DayPage:
    """One day: whether it is worked, and what is out of use."""

    head: Head
    is_week_off: bool  # its weekday is never worked
    is_marked_off: bool  # it is a day off by itself
    outages: tuple[tuple[str, str], ...] = ()  # code, sentence
